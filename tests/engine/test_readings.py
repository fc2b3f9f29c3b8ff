"""Direct readings with the parts offered up: what sizes leave open they settle; against sizes that are sure they never stand.

Sizes are invented; limits are those of the Limits sheet. That a fitter reads a gap with the parts in place instead of adding
up sizes: common practice, no source.
"""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck.assess import assess
from bomcheck.engine.readings import AGAINST, BASIS, GOOD
from bomcheck.io.read.job import read_job
from bomcheck.model.finding import Finding, Reason
from bomcheck.model.job import Job, Value
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict
from bomcheck.rules import all_checks
from bomcheck.tables.fields import fields, readings
from tests.helpers.jobs import good_job

NO = Verdict.DOES_NOT_FIT
DEMO = read_job(folder("demo_workbooks") / "hill_climb_two_seater.xlsx")[0]


def without(*keys: str, **typed: tuple[float, float]) -> Job:
    """The demo with blank fields, and with sizes (value, ±) [mm]."""
    values = {key: value for key, value in DEMO.values.items() if key not in keys}
    return replace(DEMO, values={**values, **{key: Value(key, *size) for key, size in typed.items()}})


def found(job: Job, check: str) -> Finding:
    return next(one for one in assess(job).findings if one.check == check)


OPEN = {
    "pilot_fit": ("hat_bore",), "caliper_centred": ("rotor_plane_position", "rotor_offset", "hat_rotor_plane"),
    "pad_flush": ("caliper_pad_top",), "caliper_bridge": ("caliper_bridge",), "caliper_in_wheel": ("wheel_barrel",),
}  # fmt: skip
"""A size of each chain that is left blank, so that the check is open."""


def test_every_reading_stands_for_a_check() -> None:
    """No reading without its check, none of two."""
    assert readings().keys() == OPEN.keys()
    assert readings().keys() <= all_checks().keys()


@pytest.mark.parametrize("check", ["pilot_fit", "caliper_centred", "pad_flush", "caliper_bridge", "caliper_in_wheel"])
def test_what_a_blank_leaves_open_is_settled(check: str) -> None:
    """Left blank it is not known; read well inside its limit it fits, on the basis of the reading, and nothing is asked."""
    job = without(*OPEN[check])
    assert found(job, check).verdict is Verdict.NOT_KNOWN
    inside = {
        "pilot_fit": 0.1,
        "caliper_centred": 0.1,
        "pad_flush": -0.7,
        "caliper_bridge": 6.0,
        "caliper_in_wheel": 8.0,
    }[check]
    told = found(without(*OPEN[check], **{readings()[check]: (inside, 0.02)}), check)
    assert (told.verdict, told.basis, told.asks) == (Verdict.FITS, BASIS, ())
    assert told.said.startswith("Read with the parts offered up: ")


@pytest.mark.parametrize(
    ("read", "half", "verdict"),
    [
        (0.021, 0.001, Verdict.FITS), (0.199, 0.001, Verdict.FITS), (0.0205, 0.001, Verdict.NOT_KNOWN),
        (0.1995, 0.001, Verdict.NOT_KNOWN), (0.018, 0.001, Verdict.DOES_NOT_FIT), (0.2011, 0.001, Verdict.DOES_NOT_FIT),
    ],
)  # fmt: skip
def test_just_inside_and_just_outside(read: float, half: float, verdict: Verdict) -> None:
    """Pilot clearance 0.02 to 0.20 mm (common practice, no source): the whole reading, its ± too, must lie inside."""
    assert found(without("hat_bore", read_pilot_play=(read, half)), "pilot_fit").verdict is verdict


def test_a_straddling_reading_is_asked_closer() -> None:
    """Not settled, and the reading itself is what is asked."""
    told = found(without("hat_bore", read_pilot_play=(0.2, 0.05)), "pilot_fit")
    assert (told.verdict, told.asks, told.reason) == (Verdict.NOT_KNOWN, ("read_pilot_play",), Reason.STRADDLES)


def test_shims_can_still_put_it_right() -> None:
    """1 mm over the edge where 0 is the most: by hand 1.1 mm with its ±; no refusal, but shims and another reading."""
    told = found(without("caliper_pad_top", read_over_edge=(1.0, 0.1)), "pad_flush")
    assert told.verdict is Verdict.NOT_KNOWN
    assert told.do.startswith("Change the shims there by about 1.10 mm")


def test_against_sure_sizes_nothing_is_known() -> None:
    """Bore 0.10 larger than the pilot within hundredths, 2 mm read: neither is believed, and that is said first."""
    sure = without(hat_bore=(66.6, 0.01), hub_pilot_diameter=(66.5, 0.01))
    assert found(sure, "pilot_fit").verdict is Verdict.FITS
    told = found(
        without(hat_bore=(66.6, 0.01), hub_pilot_diameter=(66.5, 0.01), read_pilot_play=(2.0, 0.01)), "pilot_fit"
    )
    assert (told.verdict, told.reason, told.do) == (Verdict.NOT_KNOWN, Reason.DOUBTED, AGAINST)
    assert "by the sizes 0.10 mm" in told.said


@pytest.mark.parametrize(
    ("check", "read", "verdict"),
    [
        ("caliper_in_wheel", 2.9, Verdict.NOT_KNOWN), ("caliper_in_wheel", 1.0, Verdict.NOT_KNOWN),
        ("caliper_bridge", 1.9, Verdict.NOT_KNOWN), ("caliper_centred", 0.7, Verdict.NOT_KNOWN),
        ("caliper_centred", -1.5, Verdict.NOT_KNOWN), ("caliper_centred", 0.3, Verdict.FITS),
        ("pad_flush", 0.3, Verdict.NOT_KNOWN), ("pad_flush", 2.0, Verdict.NOT_KNOWN), ("pad_flush", -0.4, Verdict.FITS_WITH_PARTS),
    ],
)  # fmt: skip
def test_what_was_read_outside_its_limit_is_never_passed_over(check: str, read: float, verdict: Verdict) -> None:
    """Sizes say that it fits with the right shims; as it lies there it does not: air of 3 and 2, centring within 0.5, flush to 0 mm."""
    assert found(DEMO, check).verdict in GOOD
    told = found(without(**{readings()[check]: (read, 0.05)}), check)
    assert told.verdict is verdict
    assert f"{read:.2f} mm" in told.said or verdict in GOOD


def test_a_reading_across_its_limit_that_the_sizes_cannot_give_is_asked_closer() -> None:
    """Sizes give the bridge more than 4 mm of air, 2.0 ± 0.2 is read where 2 is the least: the sizes alone do not settle it. With
    what they can give, a reading across the limit takes nothing from them."""
    told = found(without(read_bridge_air=(2.0, 0.2)), "caliper_bridge")
    assert (told.verdict, told.asks, told.reason) == (Verdict.NOT_KNOWN, ("read_bridge_air",), Reason.STRADDLES)
    told = found(without(read_bridge_air=(4.5, 3.0)), "caliper_bridge")
    assert told.verdict in GOOD
    assert told.chain[-1].startswith("Read with the parts offered up: 4.50 mm")


def test_the_stack_that_is_read_is_no_question_any_more() -> None:
    """Flush and inner edge both read or known: whether one stack serves both was answered by fitting it."""
    wide = without(caliper_pad_top=(DEMO.values["caliper_pad_top"].value, 2.0))
    assert {one.check for one in assess(wide).findings if one.verdict is Verdict.NOT_KNOWN} & {
        "pad_flush",
        "radial_stack_together",
    }
    told = assess(replace(wide, values={**wide.values, "read_over_edge": Value("read_over_edge", -0.7, 0.1)}))
    assert all(one.verdict is not Verdict.NOT_KNOWN for one in told.findings if one.check == "pad_flush")


@given(st.sampled_from(sorted(OPEN)), st.floats(-3.0, 12.0), st.floats(0.0, 0.5))
@settings(max_examples=60, deadline=None)
def test_a_reading_never_turns_a_sure_verdict(check: str, read: float, half: float) -> None:
    """With all sizes known it confirms them or is contradicted; it never makes "fits" of "does not fit" or the other way."""
    before = found(DEMO, check)
    told = found(without(**{readings()[check]: (read, half)}), check)
    if before.verdict is not Verdict.NOT_KNOWN:
        assert told.verdict in (before.verdict, Verdict.NOT_KNOWN)


def test_readings_take_a_plus_minus_and_are_of_one_car() -> None:
    """Each has a ± of its own, and none is kept in the records or is a column of screening."""
    from bomcheck.io.records.tables import CORNERS, sheet_fields

    keys = set(readings().values())
    assert all(fields()[key].takes_plus_minus for key in keys)
    assert not keys & {one.key for one in sheet_fields(CORNERS)}


def test_final_shims_of_the_bench_are_judged_as_they_lie() -> None:
    """1.0 mm centres this caliper within 0.5 at worst 0.9: 1.3 mm may do, as the bench has measured it; none at all is 1.0 ± 0.4 off,
    3 mm 2.0 off. A thickness may be a sum, or one for each side; what gives none is asked, never passed over."""

    def fitted(text: object, title: str = "Caliper centred on the rotor") -> tuple[str, str]:
        report = assess(replace(good_job(), own={f"bench shims {title}": {"done": text}}))
        (found,) = (one for one in report.findings if one.check.endswith("_shims_fitted"))
        assert found.verdict is not NO or report.verdict is NO
        return str(found.verdict), found.said

    assert fitted("1.30 mm (1 x 1.00 mm + 1 x 0.30 mm)") == fitted("0.3 + 2 x 0.5") == fitted(1.3)
    assert fitted("1.3") == ("fits", "1.30 mm at each screw")
    assert fitted("no shims")[0] == fitted("3")[0] == "does not fit"
    assert "1.00 mm (0.60 to 1.40 mm inside the ±); must be -0.50 to 0.50 mm" in fitted("none")[1]
    assert fitted("left 1.3, right 1.2")[1] == "1.30 mm and 1.20 mm at each screw"
    assert (
        fitted("L 1.3 R 3")[0]
        == fitted("left: 3; right: 1.3")[0]
        == fitted("left none, right 1.3")[0]
        == "does not fit"
    )
    assert fitted("1.3 left, 1.2 right") == fitted("left 1.3, right 1.2")
    assert fitted("3 L, 1.3 R")[0] == "does not fit"
    assert fitted("both 1.3") == fitted("1.3 each side") == fitted("both sides: 1.3") == fitted("1.3")
    assert fitted("1.3 LH, 1.2 RH") == fitted("left 1.3, right 1.2")
    for text in (
        "left 1.3, right",
        "left and right 1.3",
        "as planned",
        "0.8 / 3.0",
        "three",
        "left 1.3",
        "R 1.3",
        "left 1, both 2",
        "L 1 L 2",
        "1 shim",
        "2 shims",
        "1 washer",
        "left 1 shim, right 2 shims",
        "1 (0.5)",
        "0.8 each + 0.8",
        "0.8 left, 1.2 right + 0.5",
        "1 left 0.8, right 1.2",
        "0.8 each, not fitted",
        "1.2 left over, 0.8 fitted",
        "?",
        "tbd",
        "left 0.8, right ?",
        "left (0.8) right (1.2)",
        "-0.8",
    ):
        verdict, said = fitted(text)
        assert (verdict, said.startswith("Not judged: ")) == ("not known", True)
    assert fitted("left 1.3")[1] == "Not judged: nothing is written of the right side's stack"


@pytest.mark.parametrize(("most", "said"), [(1.6, "fits"), (1.29, "does not fit")])
def test_final_shims_thicker_than_a_stack_may_be_do_not_fit(most: float, said: str) -> None:
    """The kit's own figure for the most at one screw rules, centred or not."""
    own = {"bench shims Caliper centred on the rotor": {"done": "1.3"}}
    values = {**good_job().values, "shim_stack_max_axial": Value("shim_stack_max_axial", most)}
    (found,) = (
        one for one in assess(replace(good_job(), own=own, values=values)).findings if one.check == "axial_shims_fitted"
    )
    assert str(found.verdict) == said
    assert ("A stack at one screw must be at most 1.29 mm thick" in found.said) == (most < 1.3)


def test_final_shims_that_leave_the_caliper_outside_as_stated_are_read_again() -> None:
    """0.4 mm leaves it 0.6 ± 0.4 off by hand, 0.5 is the most: it may be right or not, so the reading is asked; once it is read, that counts."""
    job = replace(good_job(), own={"bench shims Caliper centred on the rotor": {"done": "0.4"}})
    (told,) = (one for one in assess(job).findings if one.check == "axial_shims_fitted")
    assert (told.verdict, told.asks) == (Verdict.NOT_KNOWN, (readings()["caliper_centred"],))
    assert "Caliper centred on the rotor: 0.60 mm" in told.said
    read = replace(job, values={**job.values, told.asks[0]: Value(told.asks[0], 0.1, 0.05)})
    (told,) = (one for one in assess(read).findings if one.check == "axial_shims_fitted")
    assert told.verdict is Verdict.FITS


def test_final_shims_take_thread_from_the_screw() -> None:
    """Under the caliper 58 mm of stud: with so thick a stack that the nut no longer shows thread it does not fit, centred or not."""
    job = replace(good_job(), own={"bench shims Pads flush with the rotor's edge": {"done": "12"}})
    (found,) = (one for one in assess(job).findings if one.check == "radial_shims_fitted")
    assert found.verdict is NO
    assert "nut" in found.said
