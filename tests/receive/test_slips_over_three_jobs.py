"""200 random sequences of slips over three open jobs, against a ledger that knows nothing but sums."""

import random
from dataclasses import replace

import pytest

from bomcheck.io.receive.match import CAME, Receipt, Wanted, receipts_of, receive, without_taken
from bomcheck.io.receive.slip import Slip, SlipLine
from bomcheck.model.line import Line
from bomcheck.paper.awaited import ORDER, Expected

NUMBERS = ("H-1", "W-2", "C-3", "F-4")


def jobs(dice: random.Random) -> list[dict[str, float]]:
    """What each job has ordered, by number."""
    return [{number: float(dice.randint(1, 4)) for number in NUMBERS if dice.random() < 0.8} for _ in range(3)]


def things(wanted: list[dict[str, float]], came: list[dict[str, float]]) -> list[Expected]:
    """As the program sees it before a slip: what came so far is what the Parts lists say."""
    return [
        Expected(
            Line(number, number, number), ORDER, number, count, packs=count, came=came[at].get(number, 0.0), job=at
        )
        for at, job in enumerate(wanted)
        for number, count in job.items()
    ]


def slips(dice: random.Random) -> list[Slip]:
    """Some, of which several are sent again."""
    made: list[Slip] = []
    for mark in range(dice.randint(1, 5)):
        lines = []
        for at in range(dice.randint(1, 4)):
            job = dice.choice(["", "", "", "J-0", "J-2", "J-9"])
            number = dice.choice([*NUMBERS, "X-9"])
            lines.append(SlipLine(f"row {at}", number, "", float(dice.randint(1, 5)), unit="pcs", job=job, at=at))
        made.append(Slip(f"{mark}.csv", f"m{mark}", tuple(lines)))
    again = [replace(dice.choice(made), name="again.csv") for _ in range(dice.randint(0, 3))]
    every = [*made, *again]
    dice.shuffle(every)
    return every


class Ledger:
    """What every job lacks, and which slips were booked: first come, first served, in the order of the jobs."""

    def __init__(self, wanted: list[dict[str, float]]) -> None:
        self.lacks = [dict(job) for job in wanted]
        self.seen: set[str] = set()

    def book(self, slip: Slip) -> None:
        if slip.mark in self.seen:
            return
        self.seen.add(slip.mark)
        for line in slip.lines:
            left = line.quantity
            for at, job in enumerate(self.lacks):
                if line.job in ("", f"J-{at}"):
                    taken = min(left, job.get(line.part_number, 0.0))
                    job[line.part_number] = job.get(line.part_number, 0.0) - taken
                    left -= taken


@pytest.mark.parametrize("seed", range(200))
def test_against_a_simple_ledger(seed: int) -> None:
    """Nothing is booked twice, nothing is lost, nobody gets more than was ordered."""
    dice = random.Random(seed)
    wanted = jobs(dice)
    ledger, came, receipts = Ledger(wanted), [dict[str, float]() for _ in wanted], list[Receipt]()
    for slip in slips(dice):
        ledger.book(slip)
        left = replace(slip, lines=tuple(without_taken(slip, receipts)))
        done = receive(left, Wanted(things(wanted, came), ("J-0", "J-1", "J-2"), ({}, {}, {})))
        assert not done.asked
        for (at, key), count in done.added.items():
            came[at][key] = came[at].get(key, 0.0) + count
        assert sum(one.quantity for one in done.results if one.word == CAME) == sum(done.added.values())
        for at in range(3):
            receipts += [
                one for one in receipts_of(slip, done, "2026-12-01", at) if one.result not in ("unknown", "other job")
            ]
    for at, job in enumerate(wanted):
        for number, count in job.items():
            assert count - came[at].get(number, 0.0) == pytest.approx(ledger.lacks[at][number]), (seed, at, number)
