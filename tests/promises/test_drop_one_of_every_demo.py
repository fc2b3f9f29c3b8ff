"""Nothing missing, on every demo: each single line of a complete box, taken out or halved, is asked for and nothing else.

And each kind of part that nothing needs, put in, is reported and not ordered. What is to be asked for is found here by
subtraction, apart from the way in which the parts list hands out the box. The demos are invented; no outside source.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.demand import BOTH
from bomcheck.model.job import Part, Value
from bomcheck.model.line import ASK, IN_KIT, NO_SOURCE, ON_CAR, SURPLUS, TO_ORDER, Line
from bomcheck.model.line import WORK as IS_WORK
from bomcheck.model.shipped import folder
from bomcheck.notation.line_end import read_line_end
from bomcheck.notation.thread import read_thread
from bomcheck.supply.spec import fit
from bomcheck.tables import rows
from bomcheck.tables.fields import part_fields
from tests.helpers.full_box import WORK, Full, amount, completed, lack, named, served_by
from tests.parts.invented_jobs import with_box, without
from tests.scenarios.test_six_installs import INSTALLS

DEMOS = sorted(path.stem for path in folder("demo_workbooks").glob("*.xlsx"))
# By its nature not in the box: a line that asks for its own number, and work.
STAYS_OPEN = {
    "half_measured_coupe": {("shim", "radial shims", ASK)},  # the ear's height is blank: nobody can count them
    "saloon_drums_to_discs": {("machining", "Bore the hat to 60.18 to 60.25 mm", IS_WORK)},
}
WHAT_IT_IS = (
    "key", "role", "spec", "side", "needed", "per", "on_car", "on_shelf", "unit", "one_time", "used_at",
)  # fmt: skip
# The sizes that are accepted for these come from a judgement of their own once they are to be bought.
JUDGED_SIZES = {row["role"] for row in rows("bought_sizes")}
TWO_CORNERS = ("touring_coupe_both_axles", "left")  # its corners differ and have a sheet each: both are in scope
every_demo = pytest.mark.parametrize("name", DEMOS)
every_job = pytest.mark.parametrize(
    ("name", "side"),
    [
        *((name, side) for name in DEMOS for side in ("both", "left") if (name, side) != TWO_CORNERS),
        *((name, "both") for name in INSTALLS),
    ],
)


@cache
def full(name: str, side: str = "both") -> Full:
    """A demo as it is in its workbook, or with one corner in scope, and a complete box; without the kits that it is compared with."""
    job = INSTALLS[name][0] if name in INSTALLS else read_job(folder("demo_workbooks") / f"{name}.xlsx")[0]
    scope = {"corners": 2 if side == "both" else 1, "corner_side": side}
    typed = {key: Value(key, value) for key, value in scope.items()}
    axles = tuple(replace(one, values={**one.values, **typed}) for one in job.axles)
    return completed(replace(job, values={**job.values, **typed}, axles=axles, kits=()))


def changes(whole: Full, box: tuple[Part, ...]) -> list[tuple[Line | None, Line | None]]:
    """(Line before, line after) with another box, for each that is not the same in every field."""
    before, after = whole.lines, named(assess(with_box(whole.job, box)).parts)
    keys = dict.fromkeys((*before, *after))
    return [(before.get(key), after.get(key)) for key in keys if before.get(key) != after.get(key)]


def only_says_otherwise(was: Line | None, now: Line | None) -> bool:
    """Whether a surplus line is the same but for why it does not serve where a part is missing now."""
    return was is not None and now is not None and replace(was, note="") == replace(now, note="")


def asks_for_just(whole: Full, part: Part, box: tuple[Part, ...]) -> None:
    """With this box, in which there is less of `part`: its line asks for what is lacking, and no other line changes.

    But for the surplus of the same part, and a second kind of pack for the same line where that is cheapest. A part that
    is not fully known yet, as a hose whose path is not measured, is asked about and not ordered.
    """
    found = changes(whole, box)
    places = [line for line in found if SURPLUS not in {one.status for one in line if one}]
    left_over = [line for line in found if line not in places and not only_says_otherwise(*line)]
    assert {one.part_number for line in left_over for one in line if one} <= {part.part_number}
    mine = served_by(part, whole.wanted)
    short = [one for one in mine if lack(one, box)]
    missing = [(one.key, lack(one, box)) for one in short]
    asked = {one.key for one in mine if one.asks}
    changed = [now for was, now in places if now and not now.rest_of]
    if len(mine) < 2:
        assert [(now.key, now.to_order) for now in changed] == missing, part
    else:  # one part for either side, of corners that differ and have a line each: what both lack, whichever gets it
        assert {now.key for now in changed} <= {one.key for one in mine}
        there = sum(amount(one, mine[0]) for one in box if fit(one, mine[0].demand).serves)
        assert sum(now.to_order for now in changed) == sum(one.need for one in mine) - there, part
    for was, now in places:
        if now is None or not now.rest_of:
            assert was is not None
            assert now is not None
            same = [field for field in WHAT_IT_IS if field != "spec" or now.role not in JUDGED_SIZES]
            assert [getattr(now, field) for field in same] == [getattr(was, field) for field in same]
            # a master cylinder in the box is the car's; without it the present one is judged, and says why it does not do
            assert was.reason in now.reason or now.role == "master cylinder"
            assert now.in_kit == pytest.approx(was.in_kit - now.to_order)
            assert not now.to_order or now.status in ((ASK,) if now.key in asked else (TO_ORDER, NO_SOURCE))


def test_every_demo_is_here() -> None:
    """Ten workbooks, one of them of a car with two kits, each with at least 15 lines in its box once it is complete."""
    assert len(DEMOS) == 10
    assert all(len(full(name).job.box) >= 15 for name in DEMOS)


@every_job
def test_a_completed_demo_asks_for_nothing(name: str, side: str) -> None:
    """Every line is in the box or stays on the car, but for what cannot lie in a box."""
    lines = full(name, side).lines.values()
    open_lines = [line for line in lines if line.status not in (IN_KIT, ON_CAR, SURPLUS)]
    assert {(line.role, line.description, line.status) for line in open_lines} == STAYS_OPEN.get(name, set())
    assert all(line.to_order == 0 for line in lines if line.role not in WORK)


@every_job
def test_no_part_of_a_demo_has_two_places(name: str, side: str) -> None:
    """What is lacking can be found by subtraction: each line of the box serves one line of the list, or none; or the same
    part of a left and a right corner that differ."""
    whole = full(name, side)
    for part in whole.job.box:
        mine = served_by(part, whole.wanted)
        assert len(mine) <= 1 or sorted(one.demand.side for one in mine) == ["left", "right"], part


@every_job
def test_each_line_taken_out_is_asked_for(name: str, side: str) -> None:
    """Every line of the box in turn; what the box holds too much of need not be bought again."""
    whole = full(name, side)
    for part in whole.job.box:
        asks_for_just(whole, part, without(whole.job.box, part))


@every_job
def test_half_a_line_taken_out_is_asked_for(name: str, side: str) -> None:
    """Every line of which there is more than one, halved: just the difference is asked for."""
    whole = full(name, side)
    box = whole.job.box
    for part in box:
        quantity = part.quantity or 0
        if quantity > 1:
            half = quantity / 2 if part.unit in ("L", "mL", "m", "g") else quantity // 2
            asks_for_just(whole, part, tuple(replace(one, quantity=half) if one is part else one for one in box))


@every_job
def test_a_part_for_the_wrong_side_is_asked_for(name: str, side: str) -> None:
    """Each part of the box that is for one side, marked for the other: its own side lacks it, and nothing else does."""
    whole = full(name, side)
    for part in whole.job.box:
        if part.side in BOTH:
            turned = replace(part, side="right" if part.side == "left" else "left")
            box = tuple(turned if one is part else one for one in whole.job.box)
            found = [now for was, now in changes(whole, box) if now and now.to_order and not now.rest_of]
            short = [one for one in served_by(part, whole.wanted) if lack(one, box)]
            assert [(now.key, now.to_order, now.side) for now in found] == [
                (one.key, lack(one, box), part.side) for one in short
            ]


def extras() -> Iterator[Part]:
    """One part of each role that no demo needs: of a thread and ends that no demo has."""
    thread, end = read_thread("M24x3.0"), read_line_end("1/2-20 inverted flare male")
    for role in part_fields()["role"].choices:
        ends: dict[str, Any] = (
            {"end_a": end, "end_b": end} if role in ("hose", "adapter", "tee", "union", "brake tube") else {}
        )
        yield Part(role, f"ODD-{role}", f"odd {role}", thread=thread, quantity=1.0, **ends)


@every_demo
def test_one_part_too_many_of_each_role_is_surplus(name: str) -> None:
    """It makes one line of its own, which is not ordered; every other line stays the same in every field."""
    box = full(name).job.box
    for part in extras():
        found = changes(full(name), (*box, part))
        assert [(was, now and (now.role, now.status, now.in_kit, now.part_number)) for was, now in found] == [
            (None, (part.role, SURPLUS, 1.0, part.part_number))
        ], part.role
        (_, line) = found[0]
        assert line is not None
        assert (line.needed, line.to_order, line.packs, line.is_bought) == (0, 0, 0, False)
        assert line.note
