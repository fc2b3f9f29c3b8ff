"""Random sequences of slips over three open jobs, through the command, against a ledger that knows nothing but sums."""

import csv
import os
import random
from pathlib import Path

import pytest
from click.testing import CliRunner

from bomcheck.assess import assess
from bomcheck.commands.cli import main
from bomcheck.io.package import open_package
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import kept_from
from bomcheck.paper.awaited import ORDER, expected
from tests.helpers.demo_jobs import TODAY, hill_climb

SEQUENCES = int(os.environ.get("BOMCHECK_SLIPS", "4"))
"""BOMCHECK_SLIPS=200 is the whole proof."""
JOBS = ("J-0", "J-1", "J-2")
NUMBERS = {
    "HS-BU-3-430": "hose @ brake line",
    "AT-18-3": "adapter @ brake line",
    "P44-F2": "pad set @ pads in the caliper",
}


class Ledger:
    """What every job lacks, and which lines of which parcel were booked: first come, first served, in the order of the jobs. A
    line of a parcel is used up by whatever may take it; what states another job waits for that one."""

    def __init__(self, lacks: list[dict[str, float]]) -> None:
        self.lacks = lacks
        self.seen: set[tuple[str, str]] = set()

    def book(self, parcel: str, lines: list[list[str]], only: int | None) -> None:
        """only: the one job into which it is booked, None for all."""
        for number, count, job in (one for one in lines if one[0] in NUMBERS and (parcel, one[0]) not in self.seen):
            left = float(count)
            for at, lacks in enumerate(self.lacks):
                if job in ("", JOBS[at]) and only in (None, at):
                    self.seen.add((parcel, number))
                    taken = min(left, lacks[number])
                    lacks[number] -= taken
                    left -= taken


def parcels(dice: random.Random) -> "list[list[Parcel]]":
    """What stands in each file: parcels, which are (number of the delivery note, lines of part number, how many, job that is stated),
    some of them sent again, some of them two in one file."""
    made = []
    for note in range(dice.randint(2, 4)):
        numbers = dice.sample([*NUMBERS, "X-9"], dice.randint(1, 3))
        lines = [[one, str(dice.randint(1, 4)), dice.choice(["", "", "", "J-0", "J-2", "J-9"])] for one in numbers]
        made.append((f"DN-{note}", lines))
    made += [dice.choice(made) for _ in range(dice.randint(0, 2))]
    dice.shuffle(made)
    files: list[list[Parcel]] = []
    for one in made:
        together = files and len(files[-1]) == 1 and files[-1][0][0] != one[0] and dice.random() < 0.4
        files = [*files[:-1], [*files[-1], one]] if together else [*files, [one]]
    return files


Parcel = tuple[str, list[list[str]]]


def saved(folder: Path, parcels: list[Parcel], dice: random.Random) -> Path:
    """As one program or another saves it; the same note and lines are one parcel. Several in one file: a column says the note of each
    line, or each has its head, with headings of its own or without."""
    path, divider = folder / f"slip {dice.random():.6f}.csv", dice.choice(",;\t")
    column = dice.random() < 0.3
    rows: list[list[str]] = [["Delivery note", "Part no", "Qty", "Job", "Unit"]] if column else []
    for note, lines in parcels:
        if column:
            rows += [[note, *one, "pcs"] for one in lines]
            continue
        rows += [["Delivery note", note, "", ""]]
        rows += [["Part no", "Qty", "Job", "Unit"]] if len(rows) == 1 or dice.random() < 0.5 else []
        rows += [[*one, "pcs"] for one in lines]
    with path.open("w", newline="") as file:
        csv.writer(file, delimiter=divider, lineterminator=dice.choice(["\n", "\r\n"])).writerows(rows)
    return path


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> list[bytes]:
    """Three checked jobs that want two hoses, two adapters and a set of pads each."""
    made = []
    for number in JOBS:
        folder = tmp_path_factory.mktemp(number)
        path = hill_climb(folder, {"job_number              HC-0417": f"job_number  {number}"})
        assert CliRunner().invoke(main, ["check", str(path)]).exit_code == 0
        made.append(path.read_bytes())
    return made


def received(path: Path) -> dict[str, float]:
    """What the Parts list says has come, by part number."""
    kept = kept_from(open_package(path))
    return {number: float(kept.get(key, {}).get("received", 0.0)) for number, key in NUMBERS.items()}


@pytest.mark.parametrize("seed", range(SEQUENCES))
def test_against_a_simple_ledger(seed: int, three: list[bytes], tmp_path: Path) -> None:
    """Nothing is booked twice, nothing is lost, nobody gets more than was ordered; into all jobs or into one of them."""
    dice, folder = random.Random(seed), tmp_path / "open"
    folder.mkdir()
    paths = [folder / f"{number}.xlsx" for number in JOBS]
    for path, content in zip(paths, three, strict=True):
        path.write_bytes(content)
    wanted = {
        one.part_number: one.quantity for one in expected(assess(read_job(paths[0])[0], TODAY)) if one.source == ORDER
    }
    ordered = {number: wanted[number] for number in NUMBERS}
    assert ordered == {"HS-BU-3-430": 2.0, "AT-18-3": 2.0, "P44-F2": 1.0}
    ledger = Ledger([dict(ordered) for _ in JOBS])
    for file in parcels(dice):
        slip, only = saved(tmp_path, file, dice), dice.choice([None, None, None, 0, 1, 2])
        asked = (
            ["receive", str(slip), "--jobs", str(folder)] if only is None else ["receive", str(paths[only]), str(slip)]
        )
        done = CliRunner().invoke(main, asked)
        assert done.exit_code in (0, 1), done.output
        for note, lines in file:
            ledger.book(note, lines, only)
    for at, path in enumerate(paths):
        came = received(path)
        assert {one: ordered[one] - came[one] for one in NUMBERS} == ledger.lacks[at], (seed, at)
