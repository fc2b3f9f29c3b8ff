"""How the flexible hoses lie on the axle: one at each corner, or one in the middle that feeds a tee; the rest is refused.

From a tee on, and where a caliper is fed straight by a rigid tube, the tube is bent and flared on the car; no list of
parts can say how. What such a tube needs at its ends is said, the tube itself is left to the person.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bomcheck.job import Part
from bomcheck.notation.types import LineEnd
from bomcheck.parts.chain import Answer, AskFirst, Closed, solve
from bomcheck.parts.ends import FLARED, Need, opposite
from bomcheck.parts.line_catalogue import Catalogue
from bomcheck.parts.line_complete import part_asks
from bomcheck.parts.line_corners import solve_corners
from bomcheck.parts.line_question import LineQuestion, called
from bomcheck.parts.line_stock import Supply

EACH_CORNER = "hose at each corner"
CENTRE_HOSE = "one centre hose and a tee"
RIGID_TUBE = "rigid tube to the caliper"
ARRANGEMENTS = (EACH_CORNER, CENTRE_HOSE, RIGID_TUBE)


@dataclass(frozen=True, slots=True)
class AxleLines:
    """Lines of one axle.

    answers: one for each question, or one for the centre hose. tee: the tee it ends in, with where it comes from.
    tubes: what the rigid tubes beyond the tee need at their ends. remarks: what is left to the person.
    refused: why nothing is planned, "" if something is.
    """

    arrangement: str
    answers: tuple[Answer, ...] = ()
    tee: Part | None = None
    tee_source: str = ""
    tubes: tuple[Need, ...] = ()
    remarks: tuple[str, ...] = ()
    refused: str = ""


def solve_axle(supply: Supply, questions: Sequence[LineQuestion], arrangement: str = EACH_CORNER) -> AxleLines:
    """The lines of an axle; questions: one a corner. With a centre hose the first says where the car's line ends."""
    if arrangement == EACH_CORNER:
        ends = [end for question in questions for end in (question.car_end, question.caliper_inlet)]
        return AxleLines(arrangement, solve_corners(Catalogue(supply, ends), questions))
    if arrangement == CENTRE_HOSE:
        return _centre_hose(supply, questions)
    if arrangement == RIGID_TUBE:
        return AxleLines(arrangement, refused=_rigid_only(questions))
    known = ", ".join(ARRANGEMENTS)
    return AxleLines(
        arrangement, refused=f'"{arrangement}" is no arrangement of hoses that is known here; type one of: {known}'
    )


def _rigid_only(questions: Sequence[LineQuestion]) -> str:
    inlets = ", ".join(dict.fromkeys(question.caliper_inlet.name for question in questions))
    return (
        "a rigid tube straight to the caliper is bent and flared on the car and has no hose, so no parts are planned "
        f"for it; the caliper's inlet is {inlets}. A caliper that moves against the tube needs a hose"
    )


def _centre_hose(supply: Supply, questions: Sequence[LineQuestion]) -> AxleLines:
    """The best hose to any tee that is in the box, on the shelf or in the price list."""
    tees = [row for row in supply.rows() if row[1].role == "tee" and row[1].end_a is not None]
    clear = [row for row in tees if not row[1].end_a.unknown]
    if not clear:
        asks = tuple(part_asks(part, called(part)) for _, part, _ in tees)
        missing = "no tee with a known inlet is in the box, on the shelf or in the price list"
        wanted = (
            f"add one, with its inlet as end A and its outlets as end B; {CENTRE_HOSE} cannot be planned without it"
        )
        return AxleLines(CENTRE_HOSE, remarks=asks, refused=f"{missing}: {wanted}")
    catalogue = Catalogue(supply, [questions[0].car_end, *(part.end_a for _, part, _ in clear)])
    offers = [_to_tee(catalogue, questions[0], part, source) for _, part, source in clear]
    best = min(offers, key=lambda lines: _badness(lines.answers[0], lines))
    tubes, remarks = _beyond(best.tee, questions)
    return replace(best, tubes=tubes, remarks=remarks)


def _to_tee(catalogue: Catalogue, question: LineQuestion, tee: Part, source: str) -> AxleLines:
    centre = replace(question, caliper_inlet=tee.end_a, side="centre")
    return AxleLines(CENTRE_HOSE, (solve(catalogue, centre),), tee, source)


def _badness(answer: Answer, lines: AxleLines) -> tuple[float, ...]:
    """Closed before not known before open; then joints; then the price with the tee's."""
    if not isinstance(answer, Closed):
        return (1.0 if isinstance(answer, AskFirst) else 2.0,)
    tee_price = 0.0 if lines.tee_source != "order" or lines.tee is None else lines.tee.unit_price
    unpriced = answer.chain.price is None or tee_price is None
    price = (answer.chain.price or 0.0) + (tee_price or 0.0)
    return 0.0, float(len(answer.chain.steps)), float(unpriced), price


def _beyond(tee: Part | None, questions: Sequence[LineQuestion]) -> tuple[tuple[Need, ...], tuple[str, ...]]:
    """Tube nuts for the rigid tubes from tee to calipers, and what no parts list can plan."""
    remarks = ["The rigid tubes from the tee to the calipers are bent and flared on the car: measure them there."]
    outlet = tee.end_b if tee is not None else None
    ends = [(outlet, "the tee's outlet"), *((q.caliper_inlet, f"the {q.side} caliper's inlet") for q in questions)]
    needs: list[Need] = []
    for end, named in ends:
        pieces = len(questions) if end is outlet else 1
        problem = _tube_problem(end, named)
        if problem or end is None:
            remarks.append(problem)
        else:
            nut = opposite(end)
            needs.append(Need("tube nut", pieces, nut.name, f"rigid tube at {named}", thread=nut.thread))
    return tuple(needs), tuple(remarks)


def _tube_problem(end: LineEnd | None, named: str) -> str:
    """Why a flared tube cannot be screwed to this end; "" if it can."""
    if end is None or end.unknown:
        return f"State thread, seat and gender of {named}, so that the tube nut can be named."
    if end.seat in FLARED and end.gender == "female":
        return ""
    return (
        f"A flared tube cannot be screwed to {named}, {end.name}: it needs an adapter there, or a hose at each corner."
    )
