"""The Report as JSON, as `schemas/report.schema.json` describes it."""

from dataclasses import asdict
from typing import Any

from bomcheck.car.checks import word
from bomcheck.model.box import Range
from bomcheck.model.errors import Place
from bomcheck.model.finding import Finding
from bomcheck.model.report import Report
from bomcheck.model.version import __version__
from bomcheck.paper.compare import compared
from bomcheck.supply.buy_problem import Plan
from bomcheck.supply.buying_words import buying_words


def report_as_json(report: Report) -> dict[str, Any]:
    """Verdict, findings, parts, questions and faults as plain lists and dicts; lengths in mm."""
    return {
        "bomcheck": __version__,
        "source": report.job.source,
        "place": report.job.place,
        "verdict": str(report.verdict),
        "deciding": [finding.check for finding in report.deciding],
        "settled": report.settled,
        "findings": [_finding(finding, report) for finding in report.findings],
        "whole_car": [_system(finding) for finding in report.system],
        "shims": {name: _plan(plan) for name, plan in report.plans.items()},
        "parts": [asdict(line) for line in report.parts],
        "purchase": _purchase(report),
        "axles": [report_as_json(one) for one in report.axles],
        **compared(report),
        "questions": [asdict(question) for question in report.questions],
        "faults": [{
            "kind": fault.kind, "file": fault.place.file, "cell": cell(fault.place), "typed": fault.typed, "wrong": fault.wrong,
            "instead": fault.instead, "field": fault.key, "stops": fault.stops,
        } for fault in report.job.faults],
    }  # fmt: skip


def _system(finding: Finding) -> dict[str, Any]:
    """A finding about the brakes as a whole, with the car as it is now."""
    return {
        "check": finding.check, "title": finding.title, "verdict": str(finding.verdict), "reason": str(finding.reason),
        "judged": word(finding), "weight": str(finding.weight), "unit": finding.unit,
        "before": _range(finding.before), "after": _range(finding.value), "said": finding.said, "do": finding.do,
        "formula": finding.formula, "asks": list(finding.asks), "source": finding.source,
    }  # fmt: skip


def _range(value: Range | None) -> dict[str, float] | None:
    return None if value is None else {"low": value.low, "middle": value.middle, "high": value.high}


def _purchase(report: Report) -> dict[str, Any] | None:
    if report.buying is None or report.buying.compared is None:
        return None
    compared = report.buying.compared
    return {
        "needed_in_days": report.buying.days,
        "cheapest": _bought(compared.plan),
        "week_earlier": _bought(compared.week_earlier),
        "soonest": _bought(compared.soonest),
        "one_supplier": _bought(compared.one_supplier),
        "words": list(buying_words(report.buying, str(report.job.get("currency") or ""))),
    }


def _bought(plan: Plan | None) -> dict[str, Any] | None:
    if plan is None:
        return None
    return {"cost": plan.cost, "suppliers": list(plan.suppliers), "lead_days": plan.lead_days, "exact": plan.exact}


def _finding(finding: Finding, report: Report) -> dict[str, Any]:
    value, limit = finding.value, finding.limit
    return {
        "check": finding.check,
        "title": finding.title,
        "interface": finding.interface,
        "verdict": str(finding.verdict),
        "reason": str(finding.reason),
        "said": finding.said,
        "do": finding.do,
        "formula": finding.formula,
        "unit": finding.unit,
        "value": _range(value),
        "limit": None
        if limit is None
        else {
            "name": limit.name,
            "low": limit.low,
            "high": limit.high,
            "ruled_by": limit.ruled_by,
            "source": limit.source,
        },
        "margin": finding.margin if finding.margin not in (float("inf"), None) else None,
        "shim_stack": finding.with_stack,
        "asks": list(finding.asks),
        "settles_at": finding.settle,
        "reads": [
            {"field": key, "cell": cell(read.place), "typed": read.typed, "plus_minus": read.plus_minus}
            for key in finding.reads
            if (read := report.job.values.get(key)) is not None
        ],
        "source": finding.source,
        "chain": list(finding.chain),
        "pairs": [
            {
                "bodies": [pair.fixed, pair.turning],
                "value": _range(pair.value),
                "verdict": str(pair.verdict),
                "limit": {"name": pair.limit.name, "low": pair.limit.low, "ruled_by": pair.limit.ruled_by},
            }
            for pair in finding.pairs
        ],
        "basis": finding.basis,
    }


def cell(place: Place) -> str:
    """ "Corner!B12"."""
    return f"{place.sheet}!{place.cell}" if place.sheet else ""


def _plan(plan: Any) -> dict[str, Any]:
    stacks = {name: getattr(plan, name) for name in ("likely", "least", "most")}
    return {
        **{name: {"thickness": s.thickness, "pieces": [list(p) for p in s.pieces]} for name, s in stacks.items()},
        "covered": plan.covered,
    }
