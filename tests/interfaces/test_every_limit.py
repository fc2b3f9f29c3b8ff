"""Every range check at its limit: a value just inside fits, one just outside does not, one across it is not known.

The sizes are moved by hand of the slope: one input of the check is shifted until the value stands a hundredth beside the
limit that the Limits sheet prints, all ± set to 0. Hand-computed values of each check are in its own docstring (doctests).
"""

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import prepare
from bomcheck.engine.settle import settle
from bomcheck.model.affine import Affine, pieces
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.rule import STACKS, Check
from bomcheck.model.verdict import Verdict
from bomcheck.notation import read_bolt_circle
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from tests.helpers.jobs import good_job

BLIND = {"ear_hole": "tapped blind", "bracket_screw_length": 36.0}
NUT = {
    "ear_hole": "plain through", "bracket_screw_into": "nut", "ear_hole_diameter": 12.4, "bracket_nut_height": 12.0,
    "bracket_screw_length": 60.0,
}  # fmt: skip
TAPPED_BRACKET = {
    "ear_hole": "plain through", "bracket_screw_into": "bracket", "ear_hole_diameter": 12.4, "bracket_thread": "M12x1.5",
    "bracket_thread_depth": 30.0, "bracket_ear_tapping": "blind", "bracket_screw_length": 50.0,
}  # fmt: skip
LUG = {"caliper_mount": "axial lug", "axial_shim_joint": "lug", "caliper_lug_side": "outboard"}
BOLT = {"hub_fixing": "bolt", "wheel_bolt_length": 35.0, "hub_thread_depth": 20.0}
SCREW = {
    "caliper_fastening": "screw into bracket",
    "bracket_thread_depth": 25.0,
    "bracket_caliper_tapping": "blind",
    "caliper_screw_length": 62.0,
}
THROUGH = {
    "caliper_fastening": "screw and nut",
    "bracket_caliper_thickness": 15.0,
    "bracket_caliper_hole_diameter": 10.5,
    "caliper_screw_length": 75.0,
}
BODY = {"caliper_fastening": "screw into caliper", "caliper_material": "aluminium", "bracket_caliper_thickness": 15.0, "caliper_thread_depth": 25.0, "caliper_tapping": "blind", "bracket_caliper_hole_diameter": 10.5,
        "caliper_screw_length": 42.0}  # fmt: skip
HAT = {
    "hat_screw_thread": "M8x1.25", "hat_screw_length": 30.0, "hat_clamped_thickness": 16.0, "hat_nut_height": 8.0,
    "hat_screw_thread_length": 18.0,
}  # fmt: skip
HAT_TAPPED = {"hat_screw_thread": "M8x1.25", "hat_screw_length": 30.0, "hat_clamped_thickness": 16.0, "hat_thread_depth": 16.0,
              "hat_tapping": "blind", "hat_thread_material": "steel"}  # fmt: skip
BANJO = {
    "banjo_screw_length": 24.0,
    "banjo_thickness": 10.0,
    "sealing_washer_thickness": 1.0,
    "caliper_inlet_depth": 15.0,
}
ROOT = {"caliper_stud_root_length": 22.0, "bracket_thread_depth": 25.0, "bracket_caliper_tapping": "blind"}
SHANKS = {"bracket_screw_thread_length": 30.0, "caliper_screw_thread_length": 28.0}
REAR = {
    "axle": "rear", "park_brake": "drum in hat", "kit_park_brake": "drum in hat", "hat_park_drum_diameter": 172.0,
    "park_shoe_diameter_min": 170.0, "park_shoe_diameter_max": 175.0,
}  # fmt: skip
EXTRA = {
    "sensor_ring_diameter": 140.0, "shield": "fixed", "shield_position": 70.0, "nut_shank_diameter": 14.0,
    "stock_rotor_flange_thickness": 6.0, "caliper_disc_least": 300.0, "caliper_disc_most": 340.0,
    "hub_wheel_pilot_diameter": 66.5,
}  # fmt: skip
HOLES = ("ear_hole", "ear_hole_medium")  # as wide as a house may set them, so that the head sinks in first
ARRANGEMENTS: tuple[dict[str, Any], ...] = (
    {}, EXTRA, {"nut_closed": "yes", "nut_thread_depth": 32.0}, {"caliper_build": "sliding"}, BLIND, NUT, TAPPED_BRACKET,
    {"wheel_centring": "nuts", "nut_seat": "flat", "wheel_seat": "flat", "nut_shank_diameter": 14.8}, BOLT, SCREW, THROUGH, BODY, LUG, {**LUG, **SCREW}, {**LUG, **THROUGH}, REAR,
    SHANKS, {**NUT, **SHANKS}, {**LUG, **SHANKS}, {**LUG, **BODY},
    HAT, HAT_TAPPED, BANJO, ROOT, {**NUT, **THROUGH, "limits": dict.fromkeys(HOLES, (0.0, 20.0))},
)  # fmt: skip
WIDE = len(ARRANGEMENTS) - 1
BESIDE = 0.01
SHARED = ("ear_face_position", "bracket_offset", "rotor_plane_position", "ear_height", "bracket_rise", "caliper_pad_top",
          "rotor_diameter", "rotor_thickness")  # fmt: skip


@cache
def exact(number: int) -> Job:
    """A complete corner in one arrangement, every ± set to 0, centred and flush without shims, and none in the box."""
    level = {"wheel_barrel": "-30:206; 150:206", "wheel_spoke": "60:20; 210:20"}  # the same wherever the caliper stands
    centred = {**level, "bracket_offset": -49.0, "bracket_rise": 39.5, "shim_sizes_axial": (), "shim_sizes_radial": ()}
    job = good_job(**{**centred, **ARRANGEMENTS[number]})
    return replace(job, values={key: replace(value, plus_minus=0.0) for key, value in job.values.items()})


def found(check: str, job: Job) -> Finding:
    return next(finding for finding in assess(job).findings if finding.check == check)


def slopes(check: Check, job: Job) -> tuple[tuple[Affine, ...], Any] | None:
    """The check's affine pieces with the stack at zero, and its limit; None where it does not apply."""
    open_box = replace(
        job,
        values={
            key: replace(value, plus_minus=1e-6) if isinstance(value.value, float) else value
            for key, value in job.values.items()
        },
    )
    sizes = Inputs(settle(open_box), DERIVATIONS)
    ready = prepare(check, sizes)
    if ready.settled is not None or ready.limit is None:
        return None
    parts = tuple(piece.split(STACKS.get(check.stack, ""))[0] for piece in pieces(check.function(**ready.arguments)))
    return parts, (ready.limit, sizes.box.middle)


OWN_TESTS = ("track_change", "wheel_past_step")  # stated only; three ways to be right, see test_space
CHECKS = [check for check in all_checks().values() if check.kind == "range" and check.name not in OWN_TESTS]


def placed(check: Check) -> tuple[int, Any, Any]:
    for number in (WIDE,) if check.name.endswith("_covered") else range(len(ARRANGEMENTS)):
        known = slopes(check, exact(number))
        if known is not None:
            return number, *known
    raise AssertionError(f"{check.name} applies in none of ARRANGEMENTS: add one with the values in which it does")


def moved(check: Check, beside: float, upper: bool, half: float = 0.0) -> Job | None:
    """The job with one input moved until the deciding piece stands `beside` the bound (+ is inside); None: no such bound."""
    number, parts, (limit, middle) = placed(check)
    bound = limit.high if upper else limit.low
    if bound is None:
        return None
    job, want = exact(number), bound - beside if upper else bound + beside
    for part in parts:
        for key, slope in part.slopes.items():
            value = job.values.get(key)
            if value is None or not isinstance(value.value, float) or not slope:
                continue
            if check.stack and check.target is None and key in SHARED:
                continue  # it would also move what the shims are there for
            shifted = value.value + (want - part.at(middle)) / slope
            values = {**job.values, key: replace(value, value=shifted, plus_minus=half / abs(slope))}
            changed = replace(job, values=values)
            again = slopes(check, changed)
            if again is None:
                continue
            others = [piece.at(again[1][1]) for piece in again[0]]
            reached = max(others) if upper else min(others)
            if abs(reached - want) < 1e-4:
                return changed
    return None


SIDES = [(check, upper) for check in CHECKS for upper in (False, True) if moved(check, BESIDE, upper) is not None]


def test_every_range_check_is_reached_at_one_bound_at_least() -> None:
    """No check escapes this test."""
    assert {check.name for check, _ in SIDES} == {check.name for check in CHECKS} - {"bolt_circle", "wheel_circle"}


@pytest.mark.parametrize(
    ("hub", "hat", "half", "expected"),
    [
        ("5x112", "5x112.14", 0.0, Verdict.FITS),
        ("5x112", "5x112.16", 0.0, Verdict.NEEDS_MACHINING),  # the studs still pass the holes: it can be drilled anew
        ("5x112", "5x111.86", 0.0, Verdict.FITS),
        ("5x113", "5x113.1", 0.1, Verdict.NOT_KNOWN),  # no named circle within the ±: judged as measured
        ("5x112", "5x100-112 slotted", 0.0, Verdict.FITS),
        ("5x112", "5x100-111.8 slotted", 0.0, Verdict.NEEDS_MACHINING),
        ("5x120", "5x120.65", 0.0, Verdict.NEEDS_MACHINING),
    ],
)
def test_circles_at_their_limit(hub: str, hat: str, half: float, expected: Verdict) -> None:
    """0.15 mm between hub and hat; 5x120 and 5x120.65 are not the same."""
    basis = "measured" if half else "nominal"
    circle = read_bolt_circle(hub)
    job = good_job(hub_bolt_circle=(circle, half), hub_bolt_circle_basis=basis, hat_bolt_circle=hat)
    assert found("bolt_circle", job).verdict is expected


@pytest.mark.parametrize(("wheel", "fits"), [("5x112.14", True), ("5x112.16", False), ("5x111.86", True)])
def test_wheel_circle_at_its_limit(wheel: str, fits: bool) -> None:
    """0.15 mm between hub and wheel."""
    assert (found("wheel_circle", good_job(wheel_bolt_circle=wheel)).verdict is Verdict.FITS) is fits


@pytest.mark.parametrize(("check", "upper"), SIDES, ids=lambda one: getattr(one, "name", one))
def test_just_inside_fits_and_just_outside_does_not(check: Check, upper: bool) -> None:
    """0.01 inside the limit fits; 0.01 outside never does, whatever the remedy."""
    inside, outside = moved(check, BESIDE, upper), moved(check, -BESIDE, upper)
    assert inside is not None
    assert outside is not None
    assert found(check.name, inside).verdict is Verdict.FITS
    assert found(check.name, outside).verdict not in (Verdict.FITS, Verdict.DOES_NOT_APPLY)


@pytest.mark.parametrize(("check", "upper"), SIDES, ids=lambda one: getattr(one, "name", one))
def test_across_the_limit_is_never_called_fits(check: Check, upper: bool) -> None:
    """With a ± that reaches over the limit it is not known which; a check that shims move may be cured by them."""
    across = moved(check, 0.0, upper, half=0.05)
    if across is None:
        pytest.skip("the size that moves this value carries no ± of its own at this bound")
    verdict = found(check.name, across).verdict
    if check.stack:
        assert verdict is not Verdict.FITS
    else:
        assert verdict is Verdict.NOT_KNOWN
