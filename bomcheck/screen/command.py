"""`bomcheck screen` from files to file. Returns what is to be printed; prints nothing itself but progress."""

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date

from bomcheck.screen.asked import Asked
from bomcheck.screen.both_tables import read_both
from bomcheck.screen.delivering import deliver
from bomcheck.screen.out_file import require_out
from bomcheck.screen.table_kinds import Table
from bomcheck.screen.tasks import Answer, Wanted
from bomcheck.screen.working import cores, run
from bomcheck.screen.world import World

FEW_PAIRS = 100_000  # up to which the parts of what fits are worked out without being asked for
FITS_STATUS, FAILS_STATUS, NOT_KNOWN_STATUS, UNREADABLE_STATUS = 0, 1, 3, 4


@dataclass
class Screened:
    """What came of it. status: exit status. remarks: a line each, for standard error. counts: pairs by severity."""

    status: int
    remarks: list[str] = field(default_factory=list)
    counts: list[int] = field(default_factory=lambda: [0] * 5)
    pairs: int = 0


def screen_command(asked: Asked, write: Callable[[str], object] = sys.stdout.write, progress: bool = False) -> Screened:
    """Screen two tables. write: where text goes when no file is named. Raises BomcheckError."""
    form, processes = asked.form, asked.processes or cores()
    require_out(asked)
    corners, kits = read_both(asked, processes)
    world = World(corners.rows, kits.rows, asked.today or date.today())
    pairs = len(corners.rows) * len(kits.rows)
    wanted = Wanted(asked.passers, form, pairs <= FEW_PAIRS if asked.parts is None else asked.parts)
    done = Screened(0, [str(fault) for table in (corners, kits) for fault in table.faults], pairs=pairs)
    if asked.parts is None and not wanted.parts:
        done.remarks.append(f"{pairs:,} pairs: the parts to add were left out; --parts adds them.")
    answers = run(world, wanted, processes, asked.scheduler, _bar() if progress else None)
    deliver(asked, world, _tallied(answers, done), write)
    done.status = _status(done, [corners, kits])
    return done


def _tallied(answers: Iterator[Answer], done: Screened) -> Iterator[Answer]:
    for answer in answers:
        done.counts = [one + more for one, more in zip(done.counts, answer.counts, strict=True)]
        yield answer


def _status(done: Screened, tables: list[Table]) -> int:
    if any(fault.stops for table in tables for fault in table.faults):
        return UNREADABLE_STATUS
    fits, unknown = sum(done.counts[:2]), done.counts[2]
    return FITS_STATUS if fits else NOT_KNOWN_STATUS if unknown else FAILS_STATUS


def _bar() -> Callable[[int, int], None]:
    """Progress on a terminal, one line that is written over."""

    def show(number: int, count: int) -> None:
        end = "\n" if number == count else ""
        sys.stderr.write(f"\r{number} of {count} blocks{end}")
        sys.stderr.flush()

    return show
