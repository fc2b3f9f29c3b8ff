"""Plain shanks inside the clamped parts: by hand, at the limit, over the whole box, and what becomes of the parts list.

Thread start at most grip less half a pitch: common practice, no source.
"""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck.engine.rounds import Round
from bomcheck.model.job import Part
from bomcheck.model.verdict import Verdict
from bomcheck.notation import read_thread
from tests.helpers.jobs import assessed, finding, good_job, hose
from tests.interfaces.test_worked_values import NUT, THROUGH

EXACT: dict[str, Any] = {
    **NUT, "bracket_screw_length": (60.0, 0.0), "bracket_washer_thickness": (2.5, 0.0), "bracket_ear_thickness": (15.0, 0.0),
    "ear_thickness": (20.0, 0.0),
}  # fmt: skip
STANDARD = 30.0  # mm: thread of an M12 screw of up to 125 mm, 2 d + 6: ISO 4014, from memory


def shank(check: str = "bracket_shank_in_grip", **changes: Any):
    return finding(check, assessed(**changes))


def test_by_hand() -> None:
    """Washer 2.5, bracket 15, ear 20, a shim of 1: grip 38.5. A 60 mm screw with 30 of thread is plain for 30: 8.5 to
    spare, 5.67 pitches of 1.5."""
    found = shank(**EXACT, bracket_screw_thread_length=(STANDARD, 0.0))
    assert found.value is not None
    assert found.value.middle == pytest.approx(8.5 / 1.5)
    assert found.verdict is Verdict.FITS
    assert "(30.00 − (60.00 − 37.50 − 1.00 × 1.00)) ÷ 1.50" in found.formula


@pytest.mark.parametrize(("thread", "verdict"), [(22.26, "fits"), (22.24, "fits with parts")])
def test_just_inside_and_just_outside(thread: float, verdict: str) -> None:
    """Centred within 0.2 only by a shim of 1.0: grip 38.5, so the thread begins at 37.75 at most: 22.25 of 60 are thread."""
    laid = {"shim_sizes_axial": "1.0x4", "shim_stack_max_axial": 1.0}
    exact = {"ear_face_position": (91.0, 0.0), "bracket_offset": (-48.0, 0.0), "rotor_plane_position": (42.0, 0.0)}
    found = shank(**EXACT, **laid, **exact, axial_tolerance=(0.2, 0.0), bracket_screw_thread_length=(thread, 0.0))
    assert str(found.verdict) == verdict, found.said


def test_across_the_limit_the_thread_is_measured_again() -> None:
    """23 ± 1 of thread on a grip of 37.5 to 39: it depends, and the thread's length is what to measure."""
    found = shank(**EXACT, bracket_screw_thread_length=(22.3, 1.0))
    assert found.verdict is Verdict.NOT_KNOWN
    assert found.asks == ("bracket_screw_thread_length",)


def test_a_screw_that_is_threaded_throughout_has_no_shank() -> None:
    """Thread as long as the screw: the whole grip is room."""
    found = shank(**EXACT, bracket_screw_thread_length=(60.0, 0.0))
    assert found.value is not None
    assert found.value.middle == pytest.approx(38.5 / 1.5)


@pytest.mark.parametrize("joint", ["bracket", "caliper"])
def test_a_blank_is_quiet_and_says_so(joint: str) -> None:
    """The check does not apply, says why, asks nothing, and the corner fits as before."""
    report = assessed()
    found = finding(f"{joint}_shank_in_grip", report)
    assert found.verdict is Verdict.DOES_NOT_APPLY
    assert found.said == f"Nothing entered: {joint} screw thread length"
    assert not found.asks
    assert not any(f"{joint}_screw_thread_length" in question.key for question in report.questions)


def test_what_is_blank_around_it_is_asked_once_the_thread_is_stated() -> None:
    """A stated thread on a screw of unknown length: the length is asked for."""
    found = shank(bracket_screw_thread_length=30.0, bracket_screw_length=None)
    assert found.verdict is Verdict.NOT_KNOWN
    assert found.asks == ("bracket_screw_length",)


def test_the_screws_of_the_box_are_not_taken_for_the_better_ones() -> None:
    """The kit's own screws have failed; only one that says it is threaded throughout serves."""
    thread = read_thread("M12x1.5")
    own = Part(
        "bracket screw", thread=thread, length=60.0, strength_class="10.9", quantity=4.0, description="hex screw"
    )
    full = Part(
        "bracket screw",
        thread=thread,
        length=60.0,
        strength_class="10.9",
        quantity=4.0,
        description="hex screw, full thread",
    )
    statuses = []
    for part in (own, full):
        report = assessed(**NUT, bracket_screw_thread_length=20.0, box=(hose(), part))
        statuses.append(next(line for line in report.parts if line.role == "bracket screw").in_kit)
    assert statuses == [0.0, 4.0]


def test_a_longer_screw_needs_more_thread_too() -> None:
    """Too short for its nut: the longer screw with the same thread has a longer shank, which is looked at again."""
    report = assessed(**{**NUT, "bracket_screw_length": 50.0, "bracket_screw_thread_length": 15.0})
    length, thread = report.cured.get("bracket_screw_length"), report.cured.get("bracket_screw_thread_length")
    assert length > 50.0
    assert length - thread <= 37.5 - 0.75
    assert Round(report.cured).findings["bracket_shank_in_grip"].verdict is Verdict.FITS


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_no_true_screw_in_the_box_contradicts_the_verdict(data: st.DataObject) -> None:
    """Any sizes with any ±: where it fits, every true screw has half a pitch to spare; where it fails, none has."""
    sizes = {
        "caliper_screw_length": (75.0, 0.5), "caliper_lug_thickness": (36.0, 0.2), "bracket_caliper_thickness": (15.0, 0.2),
        "caliper_washer_thickness": (2.0, 0.1), "caliper_screw_thread_length": (22.0, 0.5),
    }  # fmt: skip
    typed = {
        key: (middle + data.draw(st.floats(-3, 3)), half * data.draw(st.sampled_from([0.0, 0.3, 1.0])))
        for key, (middle, half) in sizes.items()
    }
    bare = {"shim_stack_max_radial": 0.0, "shim_sizes_radial": ()}
    judged = Round(good_job(**{**THROUGH, **typed, **bare, "bracket_rise": 39.5})).findings["caliper_shank_in_grip"]
    true = {key: middle + half * data.draw(st.floats(-1, 1)) for key, (middle, half) in typed.items()}
    shank = true["caliper_screw_length"] - true["caliper_screw_thread_length"]
    grip = true["caliper_lug_thickness"] + true["bracket_caliper_thickness"] + true["caliper_washer_thickness"]
    room = (grip - shank) / 1.25 - 0.5
    if judged.verdict is Verdict.FITS:
        assert room >= -1e-9
    elif judged.verdict is Verdict.FITS_WITH_PARTS:
        assert room <= 1e-9
    else:
        assert judged.verdict is Verdict.NOT_KNOWN
