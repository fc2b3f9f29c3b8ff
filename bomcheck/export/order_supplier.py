"""Where the shop has chosen a supplier itself: that supplier's own number, pack and price for the line."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bomcheck.parts.line import NO_SOURCE, TO_ORDER, Line
from bomcheck.report import Report


def same_name(one: str, other: str) -> bool:
    """Whether two names mean the same supplier; capitals and spaces do not count.

    >>> same_name("Supplier  b ", "supplier B"), same_name("A", "B")
    (True, False)
    """
    return one.casefold().split() == other.casefold().split()


def from_chosen_suppliers(report: Report, kept: Mapping[str, Mapping[str, Any]]) -> list[Line]:
    """The lines of the parts list, those with a supplier of the shop's own choice as that one sells them."""
    lines = []
    for line in report.parts:
        chosen = str(kept.get(line.key, {}).get("own_supplier") or "").strip()
        other = bool(chosen) and line.status in (TO_ORDER, NO_SOURCE) and not same_name(chosen, line.supplier)
        lines.append(_as_sold_by(chosen, line, report) if other else line)
    return lines


def _as_sold_by(chosen: str, line: Line, report: Report) -> Line:
    """From the price list where it has the supplier; else without number and price, which are another supplier's."""
    listed = _listed(chosen, line, report)
    if listed is not None:
        return listed
    if line.status == NO_SOURCE:
        return line
    return replace(line, part_number="", supplier=chosen, unit_price=None, line_total=None, lead_days=None)


def _listed(chosen: str, line: Line, report: Report) -> Line | None:
    """The line when all other suppliers' offers of this role are left out; None if the chosen one has none that serves."""
    from bomcheck.assess import assess

    job = report.job
    theirs = tuple(one for one in job.prices if one.role != line.role or same_name(one.supplier, chosen))
    if not any(one.role == line.role for one in theirs):
        return None
    again = assess(replace(job, prices=theirs)).parts
    return next((one for one in again if one.key == line.key and one.status == TO_ORDER), None)
