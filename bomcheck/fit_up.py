"""The Fit-up and test sheet's content, made from a Report: nothing here knows about workbooks."""

from dataclasses import dataclass

from bomcheck.fitting import words
from bomcheck.fitting.setting import Shims, shim_rows
from bomcheck.fitting.steps import Step, steps
from bomcheck.fitting.tools import Tool, tool_list
from bomcheck.fitting.torques import Torque, torques
from bomcheck.report import Report
from bomcheck.system.result import BAD
from bomcheck.verdict.verdict import Verdict

READY = (Verdict.FITS, Verdict.FITS_WITH_PARTS)
WHY = {Verdict.NOT_KNOWN: "not known yet", Verdict.NEEDS_MACHINING: "needs machining first"}
NAMED = 3  # findings that the warning names


@dataclass(frozen=True)
class FitUp:
    """warning: a sentence where the job is not ready for the car, or its brakes as a whole are not good; "" otherwise. steps: in order, with their parts.
    torques, tools, shims: tables. torque_notes, before_wheel, bleeding, bedding, test, cautions: sentences in order."""

    warning: str
    steps: tuple[Step, ...]
    torques: tuple[Torque, ...]
    torque_notes: tuple[str, ...]
    tools: tuple[Tool, ...]
    shims: tuple[Shims, ...]
    before_wheel: tuple[str, ...]
    bleeding: tuple[str, ...]
    bedding: tuple[str, ...]
    test: tuple[str, ...]
    cautions: tuple[str, ...]


def fit_up(report: Report) -> FitUp:
    """All that the fitter needs beside the kit's own sheet."""
    return FitUp(
        warning=_warning(report),
        steps=steps(report),
        torques=torques(report),
        torque_notes=tuple(words.torque_notes(report)),
        tools=tool_list(report),
        shims=shim_rows(report),
        before_wheel=tuple(words.before_wheel(report)),
        bleeding=tuple(words.bleeding(report)),
        bedding=tuple(words.bedding(report)),
        test=tuple(words.trial_before_driving(report)),
        cautions=words.CAUTIONS,
    )


def _warning(report: Report) -> str:
    """Why the work must not begin yet, or what the customer must be told before it does."""
    if report.verdict in READY:
        against = [finding.title for finding in report.system if finding.verdict == BAD]
        return f"Settle first with the customer, the brakes as a whole: {'; '.join(against)}" if against else ""
    titles = [f"{finding.title[:1].lower()}{finding.title[1:]}" for finding in report.deciding]
    named = ", ".join(titles[:NAMED]) + (f" and {len(titles) - NAMED} more" if len(titles) > NAMED else "")
    return f"Do not begin: {WHY.get(report.verdict, str(report.verdict))}: {named}"
