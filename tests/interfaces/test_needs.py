"""What a step takes, where the kit's sheet or the car leaves a choice. Common practice, no source."""

from dataclasses import replace
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.model.job import Part
from bomcheck.model.line import ASK, IN_KIT, NO_SOURCE, SURPLUS, TO_ORDER, Line
from tests.parts.invented_jobs import FRONT, REAR, job

TAPPED_HAT = {**FRONT, "hat_nut_height": 0.0, "bracket_screw_condition": "dry"}


def lines(values: dict[str, Any], role: str, **stock: tuple[Part, ...]) -> list[Line]:
    """The lines of a role; a field with the value None is blank."""
    typed = {key: value for key, value in values.items() if value is not None}
    return [line for line in assess(job(typed, **stock)).parts if line.role == role]


def amount(values: dict[str, Any], role: str) -> float:
    """How much of a role is needed."""
    return sum(line.needed for line in lines(values, role))


@pytest.mark.parametrize(
    ("condition", "drilled", "locker", "wire"),
    [
        (None, "no", 6.0, 0.0),  # nothing else would lock them: 2 x 10 screws x 0.3 mL
        ("threadlocker", "no", 6.0, 0.0),
        ("dry", "no", 0.0, 0.0),
        ("oiled", "no", 0.0, 0.0),
        (None, "yes", 0.0, 1.8),  # 2 x 5 pairs x 0.15 m, a fifth to spare; the wire locks them
    ],
)
def test_screws_in_a_tapped_hat_are_locked(condition: str | None, drilled: str, locker: float, wire: float) -> None:
    """No nuts: threadlocker where the sheet asks for it or says nothing; where the heads are drilled wire in its place."""
    values = {**TAPPED_HAT, "hat_screw_condition": condition, "hat_screw_drilled": drilled}
    assert amount(values, "threadlocker") == pytest.approx(locker)
    assert amount(values, "safety wire") == pytest.approx(wire)
    assert amount(values, "hat nut") == 0


def test_lock_nuts_on_the_hat_take_no_threadlocker_of_their_own() -> None:
    """Ten lock nuts a rotor and a sheet that says nothing: the nuts lock."""
    values = {**TAPPED_HAT, "hat_nut_height": 8.0, "hat_screw_condition": None}
    assert (amount(values, "hat nut"), amount(values, "threadlocker")) == (20, 0)


@pytest.mark.parametrize(
    ("car", "kit", "sets"),
    [
        ("drum in hat", "drum in hat", 1),
        ("in caliper", "drum in hat", 1),  # the kit changes its kind: the car has no shoes yet
        ("drum in hat", "in caliper", 0),  # no drum is left for them
        ("drum in hat", "none", 0),
        ("separate", "drum in hat", 1),  # what the kit brings or keeps are shoes: the separate caliper goes
        ("none", "drum in hat", 0),
    ],
)
def test_shoes_are_taken_by_the_hat_that_has_a_drum(car: str, kit: str, sets: int) -> None:
    """One set of shoes and one of springs for the axle, if they run in the kit's hat."""
    values = {**REAR, "park_brake": car, "kit_park_brake": kit}
    assert [amount(values, role) for role in ("park shoe set", "park hardware set")] == [sets, sets]


def test_a_kit_that_does_not_say_is_asked_whether_its_hat_is_a_drum() -> None:
    """The line stands and asks; what the car has is no answer for the kit."""
    (found,) = lines({**REAR, "kit_park_brake": None}, "park shoe set")
    assert (found.needed, found.status) == (1, ASK)
    assert "Which parking brake does the kit bring" in found.note


def test_shoes_of_another_drum_do_not_serve() -> None:
    """A drum of 190: shoes of 160 in the box stay over and those of 189.5 are taken."""
    small, right = (
        Part(
            "park shoe set", number, f"shoes {size} mm", quantity=1.0, unit="set", outer_diameter=size, unit_price=30.0
        )
        for number, size in (("S", 160.0), ("R", 189.5))
    )
    wrong = lines(REAR, "park shoe set", box=(small,), prices=(right,))
    assert [(line.status, line.part_number) for line in wrong] == [(TO_ORDER, "R"), (SURPLUS, "S")]
    assert [line.status for line in lines(REAR, "park shoe set", box=(right,))] == [IN_KIT]


def test_a_hub_that_comes_off_asks_whether_the_kit_brings_another() -> None:
    """Blank: asked, without a number; no: nothing; yes: one at each corner. A hub that stays on is not asked about."""
    asked = lines({**REAR, "hub_in_kit": None}, "hub")
    assert [(line.needed, line.status) for line in asked] == [(0, ASK)]
    assert "Does the kit bring its own hub?" in asked[0].note
    assert lines(REAR, "hub") == []
    assert amount({**REAR, "hub_in_kit": "yes"}, "hub") == 2
    assert lines({**FRONT, "hub_in_kit": None}, "hub") == []


def test_fluid_is_counted_for_the_axle_of_the_job() -> None:
    """1.0 L to bleed it and 0.3 L for its new calipers, for one corner or both."""
    for corners in ({}, {"corners": 1, "corner_side": "left"}):
        (found,) = lines({**FRONT, **corners}, "fluid")
        assert (found.needed, found.unit, found.per) == (1.3, "L", "1.3 L per axle")


@pytest.mark.parametrize(
    ("path", "half", "ask"),
    [
        (None, 0.0, "How long is the hose's path?"),
        (380.0, 40.0, "Measure the hose's path within ±30 mm"),  # 380 + 40 + 12 is more than 380 - 40 + 12 + 60
    ],
)
def test_a_hose_of_unknown_length_is_asked_about_before_it_is_bought(path: float | None, half: float, ask: str) -> None:
    """Nothing closes the line and nobody knows how long the hose must be: no length, no order, one question."""
    whole = job({key: value for key, value in {**FRONT, "hose_path_length": path}.items() if value is not None})
    values = {
        key: replace(value, plus_minus=half) if key == "hose_path_length" else value
        for key, value in whole.values.items()
    }
    (found,) = [line for line in assess(replace(whole, values=values, prices=())).parts if line.role == "hose"]
    assert (found.needed, found.to_order, found.status) == (2, 2, ASK)
    assert ask in found.note
    assert "length" not in found.spec


def test_a_hose_whose_length_is_known_is_looked_for() -> None:
    """Path 380: at least 392 and at most 452 mm, and no question."""
    (found,) = [line for line in assess(replace(job(FRONT), prices=())).parts if line.role == "hose"]
    assert found.status == NO_SOURCE
    assert "length 392 to 452 mm" in found.spec
