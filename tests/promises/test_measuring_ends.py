"""The measuring loop ends: every question answered by the true car with the instrument that was asked for.

A demo's car and kit are the truth; a random part of what is known is left blank or known only roughly. Each round answers
all questions; no question may come twice unless a closer ± is asked for, and after three rounds none may be left but those
that say themselves that no measurement settles them. The verdict then is the one of the fully known job.
"""

import os
import random
import re
from dataclasses import replace

import pytest

from bomcheck.assess import assess
from bomcheck.engine.questions import NO_WAY
from bomcheck.io.read.job import read_job
from bomcheck.model.job import Job, Value
from bomcheck.model.report import Question, Report
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict, worst
from bomcheck.tables import rows
from bomcheck.tables.fields import fields

CARS = int(os.environ.get("BOMCHECK_CARS", "24"))
NAMES = ("camper_van", "estate_rear_axle", "saloon_drums_to_discs", "hill_climb_two_seater", "hatchback_too_strong")
TRUTHS = {name: read_job(folder("demo_workbooks") / f"{name}.xlsx")[0] for name in NAMES}
KEPT = ("job", "system")
ROUNDS = 3


def half_measured(truth: Job, dice: random.Random) -> Job:
    """Some fields blank, some with three times their ±; names, scope and the car as a whole stay."""
    known, values = fields(), {}
    for key, value in truth.values.items():
        chance = dice.random()
        if known[key].section in KEPT or chance > 0.4:
            values[key] = value
        elif chance > 0.25 and value.plus_minus and isinstance(value.value, float):
            values[key] = replace(value, plus_minus=3 * value.plus_minus)
    return replace(truth, values=values)


def true_value(key: str, truth: Job) -> Value | None:
    """The true car's size; one thread or depth typed for both joints of the bracket is that of either."""
    shared = {
        f"bracket_{joint}_thread{what}": f"bracket_thread{what}"
        for joint in ("ear", "caliper")
        for what in ("", "_depth")
    }
    found = truth.values.get(key) or truth.values.get(shared.get(key, ""))
    return None if found is None else replace(found, key=key)


def with_the_other_way(found: dict[str, Value], questions: dict[str, Question], truth: Job) -> dict[str, Value]:
    """The ear's height is asked with another way to it, from the axis to each hole: so it is answered where that was read."""
    ways = ("ear_distance_upper", "ear_distance_lower")
    asked = "ear_height" in questions and "ear_height" not in truth.values
    return {**found, **{key: truth.values[key] for key in ways if asked and key in truth.values}}


def answered(job: Job, question: Question, truth: Job) -> Value | None:
    """What a fitter finds: the true size, as closely as was asked, and as the asked instrument reads anyway."""
    true = true_value(question.key, truth)
    if true is None:
        return None
    found = re.match(r"±([\d.]+) (mm|in)", question.how_well)
    if found is None or not isinstance(true.value, float):
        return true
    half = float(found[1]) * (25.4 if found[2] == "in" else 1.0)
    reads = next(
        (float(row["finest"]) for row in rows("instruments") if row["instrument"] == question.instrument), half
    )
    half = min(half, reads)
    return replace(true, plus_minus=min(half, true.plus_minus or half), source="measured")


def open_questions(report: Report, truth: Job) -> dict[str, Question]:
    """Those that the true car can answer."""
    known = {*truth.values, *({"ear_height"} if "ear_distance_upper" in truth.values else ())}
    open_ = [one for one in report.questions if one.key in known or true_value(one.key, truth) is not None]
    return {one.key: one for one in open_ if one.how_well != NO_WAY}


def fit(report: Report) -> Verdict:
    """The verdict of the sizes; what is in the box is no matter of measuring."""
    return worst([finding.verdict for finding in report.findings if finding.check != "parts_complete"])


@pytest.mark.parametrize("seed", range(CARS))
def test_the_loop_ends(seed: int) -> None:
    """At most three rounds, no question twice without a new reason, and the verdict of the whole car at the end."""
    dice = random.Random(seed)
    truth = TRUTHS[NAMES[seed % len(NAMES)]]
    job = half_measured(truth, dice)
    asked: dict[str, str] = {}
    for _ in range(ROUNDS):
        questions = open_questions(assess(job), truth)
        if not questions:
            break
        again = [key for key, one in questions.items() if asked.get(key) == one.how_well and key in job.values]
        assert not again
        asked |= {key: one.how_well for key, one in questions.items()}
        found = {key: value for key, one in questions.items() if (value := answered(job, one, truth)) is not None}
        job = replace(job, values={**job.values, **with_the_other_way(found, questions, truth)})
    assert not open_questions(assess(job), truth)
    assert fit(assess(job)) is fit(assess(truth))
