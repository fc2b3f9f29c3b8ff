"""What the box holds beyond what is needed: reported, never ordered."""

from collections.abc import Sequence

from bomcheck.job import Part
from bomcheck.parts.allot import BOX, Allotment
from bomcheck.parts.counting import DONE_BY_PEOPLE, TINY, UNITS
from bomcheck.parts.demand import Demand
from bomcheck.parts.line import SURPLUS, Line
from bomcheck.parts.spec import ALL_STATED, fit
from bomcheck.parts.wanted import Wanted

SPARE_SHIMS = "Neither in the thickest stack nor in the one to start with; keep them for adjusting"


def surplus_lines(allotment: Allotment, wanted: Sequence[Wanted]) -> list[Line]:
    """One line for each row of the box of which something is left over."""
    taken: set[str] = set()
    lines = []
    for row, stock in enumerate(allotment.stock):
        left = allotment.left(row)
        if stock.kind == BOX and left > TINY and not allotment.enough_for_any(row):
            lines.append(_line(stock.part, left, _key(stock.part, taken), wanted))
    return lines


def _key(part: Part, taken: set[str]) -> str:
    name = " | ".join(
        text for text in ("surplus", part.role, part.part_number or part.description, _side(part)) if text
    )
    key, number = name, 1
    while key in taken:
        number += 1
        key = f"{name} | {number}"
    taken.add(key)
    return key


def _side(part: Part) -> str:
    return "" if part.side == "either" else part.side


def _line(part: Part, left: float, key: str, wanted: Sequence[Wanted]) -> Line:
    return Line(
        key=key,
        role=part.role,
        description=part.description or part.role,
        side=part.side or "either",
        in_kit=left,
        unit=part.unit if part.unit in UNITS else "each",
        part_number=part.part_number,
        supplier=part.supplier,
        status=SURPLUS,
        note=_why(part, wanted),
        sources=(str(part.place),) if str(part.place) else (),
    )


def _why(part: Part, wanted: Sequence[Wanted]) -> str:
    """Why it is left over: more than needed, not what is needed, or nothing needs it."""
    demands = [one.demand for one in wanted if one.demand.role == part.role and one.need > 0]
    if part.role == "shim":
        return SPARE_SHIMS
    if part.role in DONE_BY_PEOPLE:
        return "Work is no part of a box; where the job takes it, it has a line of its own"
    if not demands:
        return f"This job takes no {part.role}"
    answers = [_against(part, demand) for demand in demands]
    if "" in answers:
        return "More in the box than the job takes"
    return "Does not serve here: " + "; ".join(dict.fromkeys(answers))


def _against(part: Part, demand: Demand) -> str:
    """Why a part does not serve a demand, "" if it does."""
    answer = fit(part, demand)
    if answer.serves and demand.spec.get(ALL_STATED) and not answer.surely:
        return (
            f"what is needed is another one than the kit's, and this one does not state: {', '.join(answer.unstated)}"
        )
    return ", ".join(answer.against)
