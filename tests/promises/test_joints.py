"""Promise: a screwed joint that is said to fit fits for every true stack of what its screw passes, one that fails for none.

Members, shims, thread and nut are intervals; each is drawn, and the joint judged again in plain numbers (`brute_screws`,
`brute_grip`, `brute_wheel`), before the remedies and on the changed corner after them. BOMCHECK_JOINT_SAMPLES sets how many true corners
are tried; usual 6 000.
"""

import os

from bomcheck.assess import assess
from bomcheck.rules.joint_table import grips
from bomcheck.tables import rows
from tests.promises.brute_force import RULINGS
from tests.promises.contradictions import Bench, Tally
from tests.promises.random_corners import random_job

SAMPLES = int(os.environ.get("BOMCHECK_JOINT_SAMPLES", "6000"))
LEADS = ("caliper_centred", "pad_flush")  # what the shims are there for
NAMES = {
    name
    for grip in grips()
    for name in (grip.row["engaged"], grip.row["bottoms"], grip.row["nut"], grip.row["shank"])
    if name
}
JOINTS = NAMES | {row["check"] for row in rows("joint_holes")}


def bench(seed: int, cured: bool) -> Bench:
    """The joints of a random job on the bench, or of what its remedies make of it."""
    job = random_job(seed)
    found = Bench(seed, assess(job).cured if cured else job)
    found.rules = {name: rule for name, rule in found.rules.items() if name in JOINTS or name in LEADS}
    for stack in ("axial", "radial"):  # that one stack suits all is proved with all checks
        found.findings.pop(f"{stack}_stack_together", None)
    return found


def tried(cured: bool, first: int, share: int) -> Tally:
    tally, seed = Tally(), first
    while tally.samples < share:
        tally.add(bench(seed, cured).run(24))
        seed += 1
    return tally


def test_every_joint_has_a_second_computation() -> None:
    """No check of the table is left out."""
    assert set(RULINGS) >= JOINTS


def test_no_true_stack_contradicts_a_verdict() -> None:
    """As the sizes stand."""
    tally = tried(False, 5_000_000, SAMPLES // 2)
    assert not tally.wrong, "\n".join(tally.wrong[:5])
    assert tally.judged > tally.samples


def test_no_true_stack_of_the_cured_corner_contradicts_a_verdict() -> None:
    """After spacers, faced metal, other screws, sleeves and studs: what is said of the changed corner holds for it."""
    tally = tried(True, 6_000_000, SAMPLES // 2)
    assert not tally.wrong, "\n".join(tally.wrong[:5])
