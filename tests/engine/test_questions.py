"""Questions: of whom, with what, how well; never a ± that no instrument gives, never one coarser than is known."""

from dataclasses import replace

import pytest

from bomcheck.engine.questions import IN_THE_BOX, KIT_MAKER, NO_WAY, ON_THE_CAR, ON_THE_WHEEL, questions_of
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Value
from bomcheck.model.report import Question
from bomcheck.model.verdict import Verdict


def asked(key: str, settle: float | None, *values: Value) -> Question:
    finding = Finding("pilot", "Pilot", "hub", Verdict.NOT_KNOWN, asks=(key,), settle=settle)
    return questions_of([finding], Job({value.key: value for value in values}))[0]


@pytest.mark.parametrize(
    ("settle", "instrument", "how_well"),
    [
        (0.3, "vernier", "±0.2 mm or better"),
        (0.05, "vernier", "±0.05 mm or better"),
        (0.04, "micrometer or bore gauge", "±0.02 mm or better"),
        (0.02, "micrometer or bore gauge", "±0.02 mm or better"),
        (0.0199, "vernier", NO_WAY),
        (1e-9, "vernier", NO_WAY),
    ],
)
def test_the_instrument_that_gives_it(settle: float, instrument: str, how_well: str) -> None:
    """A vernier gives 0.05, a micrometer or bore gauge 0.02: common practice, no source."""
    question = asked("ear_thickness", settle)
    assert (question.instrument, question.how_well) == (instrument, how_well)


def test_never_coarser_than_is_known() -> None:
    """An ear known to ±0.05 is not asked to ±1, nor to ±0.05 again: closer, with what gives that, or no measurement helps."""
    question = asked("ear_thickness", 1.0, Value("ear_thickness", 16.0, 0.05, "16"))
    assert (question.instrument, question.how_well) == ("micrometer or bore gauge", "±0.02 mm or better")
    question = asked("ear_thickness", 1.0, Value("ear_thickness", 16.0, 0.02, "16"))
    assert question.how_well == NO_WAY


def test_of_whom() -> None:
    """The kit's sizes are asked of its maker, without a gauge, until a part of it was measured here."""
    first = asked("hat_bore", None)
    assert (first.whom, "gauge" in first.ask, first.instrument) == (KIT_MAKER, False, "kit maker's drawing or sheet")
    here = Value("rotor_thickness", 32.0, 0.05, "32", source="measured")
    assert asked("hat_bore", None, here).whom == IN_THE_BOX
    assert asked("hat_bore", None, replace(here, source="kit sheet")).whom == KIT_MAKER
    assert (asked("ear_thickness", None).whom, asked("wheel_bore", None).whom) == (ON_THE_CAR, ON_THE_WHEEL)
