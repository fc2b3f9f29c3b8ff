"""What a finding says: the verdict, the limit that ruled, the margin, what was read, and the one size to measure better."""

import pytest

from bomcheck.model.errors import Fault, Place
from bomcheck.model.verdict import Verdict
from tests.helpers.jobs import assessed, finding, good_job


def test_a_fit_states_its_margin_and_its_arithmetic() -> None:
    """66.60 ± 0.02 - 66.50 ± 0.02 = 0.06 .. 0.14: 0.04 above the lower limit, 0.06 below the upper."""
    found = finding("pilot_fit", assessed())
    assert found.value is not None
    assert found.value.low == pytest.approx(0.06)
    assert found.value.high == pytest.approx(0.14)
    assert found.margin == pytest.approx(0.04)
    assert found.formula.endswith("= 66.60 − 66.50")
    assert found.reads == ("hat_bore", "hub_pilot_diameter")
    assert found.source


def test_the_size_that_decides_is_the_one_that_needs_the_least_care() -> None:
    """Bore 66.70 ± 0.04, pilot 66.52 ± 0.08: 0.18 ± 0.12. Room to 0.20 is 0.02, so neither alone settles it. With the
    pilot at 66.56 and the bore 66.70 ± 0.02 the value is 0.14 ± 0.10, room 0.06: the pilot to ±0.04 settles it."""
    open_ = finding("pilot_fit", assessed(hat_bore=(66.70, 0.04), hub_pilot_diameter=(66.52, 0.08)))
    assert open_.verdict is Verdict.NOT_KNOWN
    assert set(open_.asks) == {"hat_bore", "hub_pilot_diameter"}
    assert open_.settle is None
    one = finding("pilot_fit", assessed(hat_bore=(66.70, 0.02), hub_pilot_diameter=(66.56, 0.08)))
    assert one.asks == ("hub_pilot_diameter",)
    assert one.settle == pytest.approx(0.04)


@pytest.mark.parametrize(("pilot", "half"), [(66.56, 0.04), (66.56, 0.039)])
def test_the_plus_minus_asked_for_settles_it(pilot: float, half: float) -> None:
    """Measured again as asked, wherever it then lies, the verdict is no longer open for that size."""
    assert (
        finding("pilot_fit", assessed(hat_bore=(66.70, 0.02), hub_pilot_diameter=(pilot, half))).verdict is Verdict.FITS
    )


def test_the_limit_itself_fits() -> None:
    """Exactly on the limit is inside; rounding of sums does not turn it out."""
    exact = {"hub_pilot_diameter": (66.6, 0.0)}
    assert finding("pilot_fit", assessed(**exact, hat_bore=(66.62, 0.0))).verdict is Verdict.FITS
    assert finding("pilot_fit", assessed(**exact, hat_bore=(66.8, 0.0))).verdict is Verdict.FITS
    assert finding("pilot_fit", assessed(**exact, hat_bore=(66.8001, 0.0))).verdict is Verdict.NEEDS_MACHINING


def test_blank_is_asked_for_by_name() -> None:
    """Not known, the field and its question."""
    found = finding("pilot_fit", assessed(hub_pilot_diameter=None))
    assert (found.verdict, found.asks) == (Verdict.NOT_KNOWN, ("hub_pilot_diameter",))
    assert found.said.startswith("Blank:")
    assert found.do


def test_what_may_not_be_used_is_named_with_its_cell() -> None:
    """A held cell is never judged: the finding says why and where."""
    job = good_job(hub_pilot_diameter=None)
    fault = Fault(
        "out of range", Place("job.xlsx", "Corner", "C12"), "2.6", "2.6 mm is too small for a pilot", "Type it in mm"
    )
    held = type(job)(
        job.values, job.box, job.prices, job.shelf, job.limits, {"hub_pilot_diameter": fault}, (fault,), "job.xlsx"
    )
    from bomcheck.assess import assess

    found = finding("pilot_fit", assess(held))
    assert found.verdict is Verdict.NOT_KNOWN
    assert "too small for a pilot" in found.said
    assert "C12" in found.do


@pytest.mark.parametrize(
    ("check", "changes", "why"),
    [
        ("sliding_piston_travel_worn", {}, "fixed"),
        ("sensor_ring_inside_hat", {}, "sensor ring"),
        ("bracket_nut_on_thread", {"bracket_nut_height": None}, "ear"),
        ("park_shoes_reach", {}, "front"),
        ("closed_nut_bottoms", {}, "no"),
    ],
)
def test_what_the_arrangement_does_not_have_does_not_apply(check: str, changes: dict[str, object], why: str) -> None:
    """A nut's height where there is no nut is never asked for."""
    found = finding(check, assessed(**changes))
    assert found.verdict is Verdict.DOES_NOT_APPLY
    assert why in found.said.lower()
    assert not found.asks


def test_a_failure_whose_cure_hangs_on_a_blank_is_open() -> None:
    """A bore 1 mm too large is cured by a ring; the arrangement of bolts without a depth is asked for, not judged."""
    changes = {"hub_fixing": "bolt", "wheel_bolt_length": 45.0, "hub_thread_depth": None}
    assert finding("bolt_bottoms", assessed(**changes)).verdict is Verdict.NOT_KNOWN


@pytest.mark.parametrize(
    ("height", "shoulder", "verdict"),
    [
        ((0.0, 0.1), (14.0, 0.05), "fits"),  # a typed 0: no knurl is there
        ((2.0, 0.1), (14.0, 0.05), "needs machining"),  # it stands proud: 13.5 - 14
        ((0.05, 0.1), (14.0, 0.05), "not known"),  # inside its ± it may be flush
        ((2.0, 0.1), (12.02, 0.05), "fits"),
    ],
)
def test_a_knurl_that_may_or_may_not_stand_proud(
    height: tuple[float, float], shoulder: tuple[float, float], verdict: str
) -> None:
    """Holes of 13.5 over a thread of 12."""
    found = finding("stud_hole", assessed(hub_stud_shoulder_height=height, hub_stud_shoulder_diameter=shoulder))
    assert found.verdict == verdict


@pytest.mark.parametrize(
    ("hub", "half", "basis", "hat", "verdict"),
    [
        ("5x112.06", 0.1, "measured", "5x112", "fits"),  # snaps to 112, the only named circle within ±0.1
        ("5x114.5", 0.6, "measured", "5x114.3", "not known"),  # 114.3 and 115 both lie within ±0.6
        ("5x112.15", 0.3, "measured", "5x111.95; 5x112.25", "fits"),  # 112, so the nearer pattern is 111.95
        ("5x120.65", 0.1, "nominal", "5x120", "needs machining"),
    ],
)
def test_measured_circles(hub: str, half: float, basis: str, hat: str, verdict: str) -> None:
    """A measured circle is a named one only where exactly one lies within its ±."""
    from bomcheck.notation import read_bolt_circle

    changes = {"hub_bolt_circle": (read_bolt_circle(hub), half), "hub_bolt_circle_basis": basis, "hat_bolt_circle": hat}
    assert finding("bolt_circle", assessed(**changes)).verdict == verdict
