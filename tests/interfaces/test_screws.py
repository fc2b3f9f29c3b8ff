"""The torque of a kit's screws: plausible, a question, and never a reason to refuse the kit."""

import pytest

from bomcheck.engine.rounds import Round
from bomcheck.model.job import Job, Value
from bomcheck.model.verdict import Verdict
from bomcheck.notation import read_quantity, read_thread
from bomcheck.rules import all_checks


def judged(check, **values):
    """The finding of one check on a job of these values only."""
    job = Job({key: Value(key, value) for key, value in values.items()})
    return Round(job).findings[check]


def torque(text):
    found = read_quantity(text, "N·m")
    return getattr(found, "value", found)


def hat(newton_metres, thread, grade="grade 8", condition="threadlocker"):
    """The answer on hat screws."""
    sizes = {"torque": newton_metres, "thread": thread, "class": grade, "condition": condition}
    check = all_checks()["hat_screw_torque_plausible"]
    return check.function(**{f"hat_screw_{what}": size for what, size in sizes.items()})


def bracket(text, thread, grade, condition=None):
    rest = {} if condition is None else {"bracket_screw_condition": condition}
    values = {
        "bracket_screw_torque": torque(text),
        "bracket_screw_thread": read_thread(thread),
        "bracket_screw_class": grade,
    }
    return judged("bracket_screw_torque_plausible", **values, **rest)


def test_inch_pounds_on_hat_screws_are_plausible():
    """120 in·lb on a quarter-inch grade 8 screw with threadlocker (common practice, no source)."""
    answer = hat(torque("120 in-lb"), read_thread("1/4-28"))
    assert answer.same is True


@pytest.mark.parametrize("thread", ["1/4-20", "1/4-28"])
def test_the_same_figure_in_foot_pounds_is_a_question_that_names_the_unit(thread):
    """Read as ft·lb it is twelve times as much: not known, and the answer says what in·lb would give."""
    answer = hat(torque("120 ft-lb"), read_thread(thread))
    assert answer.same is None
    assert answer.ask == ("hat_screw_torque", "hat_screw_class")
    assert "120 lb·in instead of 120 lb·ft" in answer.said


def test_bracket_screws_of_14_mm_take_77_foot_pounds_and_those_of_10_mm_do_not():
    """77 lb·ft with threadlocker (common practice, no source): M14 10.9 is in order, M10 is not."""
    assert bracket("77 ft-lb", "M14x1.5", "10.9", "threadlocker").verdict is Verdict.FITS
    small = bracket("77 ft-lb", "M10x1.25", "10.9", "threadlocker")
    assert small.verdict is Verdict.NOT_KNOWN
    assert small.asks == ("bracket_screw_torque", "bracket_screw_class")


def test_a_torque_far_too_small_is_a_question_too():
    """20 in·lb on an M12 screw holds nothing; ft·lb was perhaps meant, but 20 ft·lb is too little as well."""
    found = bracket("20 in-lb", "M12x1.75", "10.9", "dry")
    assert found.verdict is Verdict.NOT_KNOWN
    assert "too little" in found.said


def test_an_unknown_condition_is_judged_for_the_whole_range_of_nut_factors():
    """0.12 to 0.20: inside for both it fits; where only the dry thread would bear it the condition is asked for."""
    assert bracket("70 N·m", "M12x1.75", "10.9").verdict is Verdict.FITS
    open_one = bracket("130 N·m", "M12x1.75", "10.9")
    assert open_one.verdict is Verdict.NOT_KNOWN
    assert open_one.asks == ("bracket_screw_condition",)
    assert bracket("130 N·m", "M12x1.75", "10.9", "dry").verdict is Verdict.FITS


def test_no_torque_on_the_kits_sheet_leaves_the_corner_alone():
    """Without a printed torque the check does not apply."""
    found = judged("bracket_screw_torque_plausible", bracket_screw_thread=read_thread("M12x1.75"))
    assert found.verdict is Verdict.DOES_NOT_APPLY


def test_a_blank_pitch_and_an_unmarked_class_are_asked_for():
    """Neither is assumed."""
    assert bracket("100 N·m", "M12", "10.9").asks == ("bracket_screw_thread",)
    assert bracket("100 N·m", "M12x1.75", "not marked").asks == ("bracket_screw_class",)


@pytest.mark.parametrize("newton_metres", [0.5, 5.0, 50.0, 500.0, 5000.0])
@pytest.mark.parametrize("grade", ["8.8", "12.9", "grade 8"])
def test_no_torque_at_all_refuses_a_kit(newton_metres, grade):
    """Whatever is typed, the answer is fits or not known."""
    assert hat(newton_metres, read_thread("M12x1.5"), grade, None).same is not False


def test_the_limits_may_be_handed_over():
    """A house that wants at least 0.6 of the proof strength gets a question for 0.48."""
    thread = read_thread("M14x1.5")
    for low, expected in ((0.25, True), (0.6, None)):
        sizes = {
            "hat_screw_torque": 104.4,
            "hat_screw_thread": thread,
            "hat_screw_class": "10.9",
            "hat_screw_condition": "threadlocker",
        }
        limits = {"proof_use_low": low, "proof_use_high": 1.0}
        assert all_checks()["hat_screw_torque_plausible"].function(**sizes, **limits).same is expected
