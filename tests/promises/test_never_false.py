"""Promise: never a false "fits", never a false "does not fit".

Random corners and kits of every arrangement, random true sizes inside their ±, each rule recomputed in plain numbers by
`brute_force` and its companions. BOMCHECK_SAMPLES sets how many true corners are tried; usual 20 000.
"""

import os
from collections import Counter
from collections.abc import Callable

import pytest

from bomcheck.assess import assess
from bomcheck.model.verdict import worst
from bomcheck.rules import all_checks
from tests.promises.brute_force import RULINGS
from tests.promises.contradictions import Bench, Tally
from tests.promises.random_corners import random_job

SAMPLES = int(os.environ.get("BOMCHECK_SAMPLES", "20000"))
CHUNKS = 8
EACH = 24  # random true corners of one job; as many again lie between neighbouring stacks


def tried(chunk: int) -> Tally:
    """A share of the samples; each chunk has seeds of its own."""
    tally, seed = Tally(), chunk * 1_000_000
    while tally.samples < SAMPLES / CHUNKS:
        tally.add(Bench(seed).run(EACH))
        seed += 1
    return tally


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_no_true_corner_contradicts_a_verdict(chunk: int, record_property: Callable[[str, object], None]) -> None:
    """ "fits": every true corner fits; a failure: none does; shims: some stack, or none, serves each true corner."""
    tally = tried(chunk)
    unknown = sum(count for said, count in tally.verdicts.items() if said.endswith(": not known"))
    known = sum(
        count for said, count in tally.verdicts.items() if not said.endswith((": not known", ": does not apply"))
    )
    record_property("true corners", tally.samples)
    record_property("verdicts held against a true corner", tally.judged)
    record_property("share not known", round(unknown / (unknown + known), 3))
    assert tally.samples >= SAMPLES / CHUNKS
    assert not tally.wrong, "\n".join(tally.wrong[:5])


def test_no_true_corner_contradicts_a_verdict_on_the_cured_job() -> None:
    """With all remedies applied the verdicts hold as well: each remedy's new size carries its own ±."""
    tally = Tally()
    for seed in range(9000, 9060):
        tally.add(Bench(seed, assess(random_job(seed)).cured).run(8))
    assert not tally.wrong, "\n".join(tally.wrong[:5])


def test_a_whole_job_that_fits_has_nothing_else_to_say() -> None:
    """The corner's verdict is its worst finding's, and what decides it is named."""
    for seed in range(9100, 9130):
        report = assess(random_job(seed))
        assert report.verdict is worst([finding.verdict for finding in report.findings])
        assert all(finding.verdict is report.verdict for finding in report.deciding)


def test_what_is_not_known_could_be_either() -> None:
    """Where a check that no shims move stays open with nothing blank, some true corner fits and another does not.

    The search for the two moves one size at a time, so a range that spans a narrow limit altogether is left out: there
    every corner of the box fails on one side or the other.
    """
    tally = Tally()
    for seed in range(60):
        tally.add(Bench(seed).run(0))
    kinds = Counter(line.split(", ")[1].split(":")[0] for line in tally.blunt)
    assert sum(tally.unknown.values()) > 100
    assert not [line for line in tally.blunt if line.split(", ")[1].split(":")[0] not in TWO_SIDED], kinds


TWO_SIDED = ("pilot_fit", "wheel_bore_fit", "screw_in_ear_hole", "screw_in_bracket_hole", "ear_spacing_fits",
             "caliper_spacing_fits", "bracket_square", "wheel_circle", "bolt_circle", "park_shoes_reach")  # fmt: skip


def test_every_range_check_has_a_second_computation() -> None:
    """No range check is left out of the proof; the track change is stated, not judged."""
    ranges = {name for name, check in all_checks().items() if check.kind == "range" and check.interface != "screws"}
    assert ranges - set(RULINGS) == {"track_change"}


def test_the_proof_reaches_every_check_on_both_sides() -> None:
    """Each range check is met fitting, failing and not known within a few hundred jobs: the generator is wide enough."""
    said, lacking = Counter[str](), list(RULINGS)
    for seed in range(900):
        said.update(f"{name}: {found.verdict}" for name, found in Bench(seed).findings.items())
        lacking = [name for name in lacking if not _both_sides(name, said)]
        if not lacking:
            break
    assert not lacking


def _both_sides(name: str, said: Counter[str]) -> bool:
    failing = sum(said[f"{name}: {word}"] for word in ("does not fit", "needs machining", "fits with parts"))
    return bool(said[f"{name}: fits"] and said[f"{name}: not known"] and failing)
