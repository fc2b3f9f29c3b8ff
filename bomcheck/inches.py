"""A report's sentences for an inch job: every length that a sentence states in mm is stated in inches."""

import re
from dataclasses import replace

from bomcheck.model.finding import Finding
from bomcheck.model.report import Report

_LENGTH = re.compile(
    r"(?:(?P<about>(?<![\w.])-?\d+(?:\.\d+)?) )?(?P<pm>±)?(?P<low>(?<![\w.])-?\d+(?:\.\d+)?)(?: to (?P<high>-?\d+(?:\.\d+)?))? mm\b"
)


def in_inches(text: str) -> str:
    """Lengths in mm restated in inches, three decimals.

    >>> in_inches("bore the hat to 60.18 to 60.25 mm, wall 12.7 mm, measured to ±0.05 mm")
    'bore the hat to 2.369 to 2.372 in, wall 0.500 in, measured to ±0.002 in'
    >>> in_inches("path 400 ±5 mm; 2 x 25.4 mm; 4 25.4 mm")
    'path 15.748 ±0.197 in; 2 x 1.000 in; 4 1.000 in'
    """
    return _LENGTH.sub(_restated, text) if " mm" in text else text


def _restated(found: re.Match[str]) -> str:
    if found["about"] and not found["pm"]:
        return f"{found['about']} {in_inches(found[0][len(found['about']) + 1 :])}"
    low, high = float(found["low"]) / 25.4, found["high"]
    about = f"{float(found['about']) / 25.4:.3f} " if found["about"] else ""
    upper = f" to {float(high) / 25.4:.3f}" if high else ""
    return f"{about}{found['pm'] or ''}{low:.3f}{upper} in"


def report_in_inches(report: Report) -> Report:
    """The same report with its own sentences in inches; what the user typed stays as typed."""
    findings = {id(finding): _finding(finding) for finding in report.findings}
    parts = tuple(
        replace(line, spec=in_inches(line.spec), reason=in_inches(line.reason), note=in_inches(line.note))
        for line in report.parts
    )
    questions = tuple(replace(one, how_well=in_inches(one.how_well)) for one in report.questions)
    deciding = tuple(findings.get(id(finding)) or _finding(finding) for finding in report.deciding)
    return replace(report, findings=tuple(findings.values()), deciding=deciding, parts=parts, questions=questions)


def _finding(finding: Finding) -> Finding:
    if not any(" mm" in text for text in (finding.said, finding.do, *finding.chain)):
        return finding
    chain = tuple(in_inches(step) for step in finding.chain)
    return replace(finding, said=in_inches(finding.said), do=in_inches(finding.do), chain=chain)
