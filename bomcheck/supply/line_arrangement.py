"""How the flexible hoses lie on the axle: one at each corner, or one in the middle that feeds a tee; the rest is refused.

From a tee on, and where a caliper is fed straight by a rigid tube, the tube is bent and flared on the car; no list of
parts can say how. What such a tube needs at its ends is said, the tube itself is left to the person.
"""

from collections.abc import Collection, Iterator, Sequence
from datetime import date
from typing import Any

from bomcheck.model.job import Job, Part
from bomcheck.model.limits import limit_for
from bomcheck.model.records import dataclass, replace
from bomcheck.model.types import LineEnd
from bomcheck.supply.line_chain import Answer, AskFirst, Closed, solve, solve_corners
from bomcheck.supply.line_ends import Need, Supply, opposite, part_asks
from bomcheck.supply.line_question import ChainLimits, LineQuestion, called
from bomcheck.supply.line_search import Catalogue
from bomcheck.tables.line_joints import joint_rows

EACH_CORNER = "hose at each corner"
CENTRE_HOSE = "one centre hose and a tee"
RIGID_TUBE = "rigid tube to the caliper"
MOVES = "A caliper that slides moves against a rigid tube and breaks it: it needs a hose of its own"
ARRANGEMENTS = (EACH_CORNER, CENTRE_HOSE, RIGID_TUBE)


@dataclass(frozen=True, slots=True)
class AxleLines:
    """Lines of one axle.

    answers: one for each question, or one for the centre hose. tee: the tee it ends in, with where it comes from.
    tubes: what the rigid tubes beyond the tee need at their ends. remarks: what is left to the person. open: where a rigid
    tube cannot be screwed on: the line does not close there. refused: why nothing is planned, "" if something is.
    """

    arrangement: str
    answers: tuple[Answer, ...] = ()
    tee: Part | None = None
    tee_source: str = ""
    tubes: tuple[Need, ...] = ()
    remarks: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    refused: str = ""


def solve_axle(
    supply: Supply, questions: Sequence[LineQuestion], arrangement: str = EACH_CORNER, build: str | None = None
) -> AxleLines:
    """The lines of an axle; questions: one a corner. With a centre hose the first says where the car's line ends. build: of
    the caliper; None where it is not stated."""
    if arrangement == EACH_CORNER:
        ends = [end for question in questions for end in (question.car_end, question.caliper_inlet)]
        return AxleLines(arrangement, solve_corners(Catalogue(supply, ends), questions))
    if arrangement in (CENTRE_HOSE, RIGID_TUBE) and build == "sliding":
        return AxleLines(arrangement, refused=f"{MOVES}; with {arrangement} it has none")
    if arrangement == CENTRE_HOSE:
        hoses = _at_each_corner(supply, questions)
        return AxleLines(arrangement, refused=hoses) if hoses else _centre_hose(supply, questions)
    if arrangement == RIGID_TUBE:
        return AxleLines(arrangement, refused=_rigid_only(questions))
    unknown = f'"{arrangement}" is no arrangement of hoses that is known here; type one of: {", ".join(ARRANGEMENTS)}'
    return AxleLines(arrangement, refused=unknown)


def _at_each_corner(supply: Supply, questions: Sequence[LineQuestion]) -> str:
    """Whether the kit's own hoses close the line at each corner, so that a centre hose cannot be meant; "" if not."""
    ends = [end for question in questions for end in (question.car_end, question.caliper_inlet)]
    answers = solve_corners(Catalogue(Supply(supply.box), ends), questions)
    if len(questions) < 2 or not all(isinstance(answer, Closed) for answer in answers):
        return ""
    return "the kit's own hoses close the line at each corner, and one centre hose would leave them over: say which is meant"


def _rigid_only(questions: Sequence[LineQuestion]) -> str:
    inlets = ", ".join(dict.fromkeys(question.caliper_inlet.name for question in questions))
    return (
        "a rigid tube straight to the caliper is bent and flared on the car and has no hose, so no parts are planned "
        f"for it; the caliper's inlet is {inlets}. {MOVES}"
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
    tubes, problems = _beyond(best.tee, questions)
    bent = "The rigid tubes from the tee to the calipers are bent and flared on the car: measure them there."
    return replace(best, tubes=tubes, remarks=(bent, *problems), open=problems)


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
    """Tube nuts for the rigid tubes from tee to calipers, and where none can be screwed on."""
    outlet = tee.end_b if tee is not None else None
    ends = [(outlet, "the tee's outlet"), *((q.caliper_inlet, f"the {q.side} caliper's inlet") for q in questions)]
    needs, problems = list[Need](), list[str]()
    for end, named in ends:
        pieces = len(questions) if end is outlet else 1
        problem = _tube_problem(end, named)
        if problem or end is None:
            problems.append(problem)
        else:
            nut = opposite(end)
            needs.append(Need("tube nut", pieces, nut.name, f"rigid tube at {named}", thread=nut.thread))
    return tuple(needs), tuple(problems)


def _tube_problem(end: LineEnd | None, named: str) -> str:
    """Why a flared tube cannot be screwed to this end; "" if it can."""
    if end is None or end.unknown:
        return f"State thread, seat and gender of {named}, so that the tube nut can be named."
    if joint_rows()[str(end.seat)].tube and end.gender == "female":
        return ""
    return (
        f"A flared tube cannot be screwed to {named}, {end.name}: it needs an adapter there, or a hose at each corner."
    )


def brake_line(job: Job, today: date | None, without: Collection[Part] = ()) -> Any:
    """The lines of the axle as `bomcheck.supply.line_arrangement.AxleLines`; None while an end is blank. without: parts of shelf
    and price list that were refused."""
    from bomcheck.supply.line_ends import LINKS, Supply

    if not isinstance(job.get("line_end"), LineEnd) or not isinstance(job.get("caliper_inlet"), LineEnd):
        return None
    if job.ordered:  # what was ordered stays, as long as a line closes with it
        held, as_it_was = set().union(*job.ordered.values()), replace(job, ordered={})
        others = [one for one in job.prices if one.role in LINKS and (one.part_number, one.supplier) not in held]
        line = brake_line(as_it_was, today, (*without, *others))
        if all(hasattr(answer, "chain") for answer in line.answers):
            return line
    stock = [
        tuple(part for part in parts if part not in without) if without else parts for parts in (job.shelf, job.prices)
    ]
    how = job.get("hose_arrangement") or EACH_CORNER, job.get("caliper_build")
    return solve_axle(Supply(job.box, *stock), list(_questions(job, today)), *how)


def sides(job: Job) -> tuple[str, ...]:
    """The corners in scope."""
    side = job.get("corner_side")
    if side in ("left", "right"):
        return (side,)
    return ("left",) if job.get("corners") == 1 else ("left", "right")


def _questions(job: Job, today: date | None) -> Iterator[LineQuestion]:
    path = job.values.get("hose_path_length")
    road = job.get("road_use")
    limits = ChainLimits(limit_for("hose_slack", job).low or 0.0, limit_for("hose_excess", job).high or 0.0)
    for side in sides(job):
        yield LineQuestion(
            car_end=job.get("line_end"),
            caliper_inlet=job.get("caliper_inlet"),
            path_length=None if path is None else (path.value, path.plus_minus),
            road_use=None if road is None else road == "yes",
            needed_in_days=job.days_left(today),
            has_bracket=job.get("line_bracket") is not None,
            clip_on_car=job.get("line_bracket") == job.get("line_clip") == "yes",
            side=side,
            limits=limits,
        )
