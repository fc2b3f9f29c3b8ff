"""Nothing missing: take any one line out of a complete box, and the parts list asks for exactly that line.

And the other way round: what the box holds too much of is reported, and never ordered.
"""

from collections.abc import Iterable
from dataclasses import replace

import pytest

from bomcheck.assess import assess
from bomcheck.engine.inputs import Inputs
from bomcheck.model.job import Job, Part
from bomcheck.model.line import IN_KIT, NO_SOURCE, ON_CAR, SURPLUS, TO_ORDER, Line
from bomcheck.notation.line_end import read_line_end
from bomcheck.notation.thread import read_thread
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.supply.every_need import all_demands
from bomcheck.supply.needs import Assembly
from bomcheck.supply.stock import Wanted, settle
from tests.parts.invented_jobs import JOBS, job, part_for, with_box, without


def complete(given: Job) -> Job:
    """The job with a box that holds just what its own parts list asks for."""
    report = assess(given)
    assembly = Assembly(report.cured, Inputs(report.cured, DERIVATIONS), report.plans, report.line)
    wanted = settle(given, all_demands(assembly)).wanted
    return with_box(given, tuple(part_for(one) for one in wanted if one.need and not one.demand.on_car))


def by_key(lines: Iterable[Line]) -> dict[str, Line]:
    """Lines by their name, each name once."""
    lines = list(lines)
    named = {line.key: line for line in lines}
    assert len(named) == len(lines)
    return named


@pytest.fixture(scope="module", params=JOBS)
def whole(request: pytest.FixtureRequest) -> Job:
    """Each of the invented jobs with its complete box."""
    return complete(job(JOBS[request.param]))


def test_a_complete_box_asks_for_nothing(whole: Job) -> None:
    """With all that is needed in the box, every line is in the kit or on the car and nothing is left over."""
    lines = assess(whole).parts
    assert {line.status for line in lines} <= {IN_KIT, ON_CAR}
    assert all(line.to_order == 0 and line.packs == 0 for line in lines)
    assert len(whole.box) > 15


def test_each_line_taken_out_is_asked_for(whole: Job) -> None:
    """Every single line of the box, one at a time: that line and that quantity are asked for, nothing else changes."""
    before = by_key(assess(whole).parts)
    for part in whole.box:
        after = by_key(assess(with_box(whole, without(whole.box, part))).parts)
        changed = [key for key in before.keys() | after.keys() if before.get(key) != after.get(key)]
        assert len(changed) == 1, (part.description, changed)
        line = after[changed[0]]
        assert (line.role, line.to_order, line.in_kit) == (part.role, part.quantity, 0.0)
        assert line.side == part.side
        assert line.status in (TO_ORDER, NO_SOURCE)
        assert line.status == TO_ORDER or "Supplied by whom" in line.note


def test_one_piece_short_asks_for_one(whole: Job) -> None:
    """A line with one piece too few is asked for by that one piece."""
    before = by_key(assess(whole).parts)
    for part in whole.box:
        if part.unit != "each" or (part.quantity or 0) < 2:
            continue
        fewer = Part(**{**_fields(part), "quantity": (part.quantity or 0) - 1})
        after = by_key(assess(with_box(whole, (*without(whole.box, part), fewer))).parts)
        line = next(line for key, line in after.items() if before[key] != line)
        assert (line.role, line.to_order) == (part.role, 1.0)


SURPLUS_PARTS = (
    Part("wheel nut", "W-1", "wheel nut", thread=read_thread("M12x1.5"), quantity=4),
    Part("hat screw", "H-1", "odd hat screw", thread=read_thread("M8x1.0"), length=28.0, quantity=6),
    Part("cleaner", "C-1", "one can more", quantity=1),
    Part("bracket screw", "B-1", "weak bracket screw", thread=read_thread("M12x1.5"), length=45.0, strength_class="8.8", quantity=2),
)  # fmt: skip


@pytest.mark.parametrize("extra", SURPLUS_PARTS, ids=lambda part: part.part_number)
def test_what_is_too_much_is_reported_not_ordered(whole: Job, extra: Part) -> None:
    """One part more than needed makes one line of its own that is not ordered, and changes no other line."""
    before = by_key(assess(whole).parts)
    after = by_key(assess(with_box(whole, (*whole.box, extra))).parts)
    new = [line for key, line in after.items() if before.get(key) != line]
    assert [(line.role, line.in_kit, line.status) for line in new] == [(extra.role, extra.quantity, SURPLUS)]
    assert not new[0].is_bought
    assert new[0].to_order == 0
    assert new[0].note
    assert before.keys() <= after.keys()


def _fields(part: Part) -> dict[str, object]:
    return {name: getattr(part, name) for name in Part.__dataclass_fields__}


WRONG = {
    "thread": read_thread("M20x2.5"),
    "end_a": read_line_end("9/16-18 inverted flare male"),
    "strength_class": "8.8",
}
FIGURES = ("thread", "length", "thickness", "inner_diameter", "outer_diameter", "strength_class", "end_a")


@pytest.mark.parametrize("name", JOBS)
def test_what_a_shelf_or_box_row_says_otherwise_counts_against_it(name: str) -> None:
    """Each figure that a line asks for, at each part: another one serves neither from box nor shelf; a blank one not from the
    shelf; from the box it does, but for ends, and for a part that takes the place of one that failed a check."""
    given, wrong = job(JOBS[name]), {**WRONG, **({"strength_class": "grade 2"} if name == "inch" else {})}
    report = assess(given)
    demands = all_demands(Assembly(report.cured, Inputs(report.cured, DERIVATIONS), report.plans, report.line))
    wanted = [one for one in settle(given, demands).wanted if one.need and not one.demand.on_car]

    def served(line: Wanted, part: Part, kind: str) -> bool:
        settled = settle(replace(given, **{"box": (), "shelf": (), kind: (part,)}), demands)
        place = next(i for i, one in enumerate(settled.wanted) if one.key == line.key)
        return settled.allotment.lack(place) < line.need

    tried = 0
    for line in wanted:
        right = part_for(line)
        sided = replace(right, side=line.demand.side)
        assert served(line, sided, "box"), line.key
        assert served(line, sided, "shelf"), line.key
        for figure in FIGURES:
            size, key = getattr(right, figure), "class" if figure == "strength_class" else figure
            if size in (None, "") or key not in line.demand.spec:
                continue
            other = replace(sided, **{figure: wrong.get(figure, size + 60 if isinstance(size, float) else size)})
            blank = replace(sided, **{figure: "" if figure == "strength_class" else None}, description=right.role)
            tried += 1
            assert not served(line, other, "box"), (line.key, figure)
            assert not served(line, other, "shelf"), (line.key, figure)
            assert not served(line, blank, "shelf"), (line.key, figure)
            assert served(line, blank, "box") is (figure != "end_a"), (line.key, figure)
    assert tried >= 12
