"""Pairs in order of merit, and how each reads: what decides, the margin, what to measure, what is to be added."""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np

from bomcheck.assess import assess
from bomcheck.fields import fields
from bomcheck.job import Job
from bomcheck.screen.blocks import Block
from bomcheck.screen.checking import PARTS
from bomcheck.screen.columns import pair_job
from bomcheck.screen.deciding import BY_SEVERITY, ranks
from bomcheck.screen.lanes import Index
from bomcheck.screen.rounds import PARTS_LIST, REST, joint_name
from bomcheck.screen.world import World
from bomcheck.verdict.check import STACKS, all_checks

HEADINGS = (
    "corner",
    "kit",
    "rank",
    "verdict",
    "what decides",
    "margin",
    "unit",
    "measure first",
    "parts to add",
    "price",
)
BLANK = ""
DIGITS = 4  # decimals of a margin in a text


@dataclass(frozen=True)
class Added:
    """What a pair takes that is neither in the box nor on the car. price: of all that has one; whole: whether all have."""

    parts: str
    price: float | None
    whole: bool


class Line(NamedTuple):
    """One pair as it is written down."""

    corner: str
    kit: str
    rank: int
    verdict: str
    decides: str
    margin: float | None
    unit: str
    measure: str
    added: Added | None


def by_merit(block: Block, prices: np.ndarray | None = None) -> Block:
    """Corner by corner the best kit first: by verdict, then price where it is known, then room, then the kits' order."""
    room = np.where(np.isnan(block.margin), -np.inf, block.margin)
    price = np.zeros(len(block)) if prices is None else np.nan_to_num(prices, nan=np.inf)
    return block.take(np.lexsort((block.kit, -room, price, block.severity, block.corner)))


@cache
def titles() -> tuple[tuple[str, str], ...]:
    """(title, unit) of every finding, places as in `ranks`; the last entry is for none."""
    checks = all_checks()
    known = {name: (check.title, check.unit if check.kind == "range" else "") for name, check in checks.items()}
    known |= {joint_name(name): (f"One {name} shim stack for all it moves", "") for name in STACKS}
    known |= {REST: ("Remedies that change one another", ""), PARTS_LIST: ("Parts complete", "")}
    return (*(known[name] for name in ranks()[0]), (BLANK, BLANK))


@cache
def asked_label(key: str) -> str:
    """What to measure or look up, as the sheets name it."""
    return fields()[key].label if key in fields() else key.replace("_", " ")


def added_parts(world: World, corner: int, kit: int) -> Added:
    """What the pair takes beyond the kit. Where the contents of the kit's box are not entered, what every fitting of this kit
    takes counts as part of the kit, and so do shims that its stated pieces cover."""
    report = assess(pair_job(world.corners, world.kits, corner, kit), world.today)
    wanted = [line for line in report.parts if line.to_order and line.role != "question"]
    if kit not in world.kits.boxes:
        own = _own_lines(world, kit)
        covered = all(plan.covered for plan in report.plans.values())
        wanted = [
            line for line in wanted if (line.key, line.needed) not in own and not (covered and line.role == "shim")
        ]
    texts = [
        f"{line.to_order:g} {'x' if line.unit == 'each' else line.unit} {line.description or line.role}"
        + (f" [{line.part_number}]" if line.part_number else "")
        for line in wanted
    ]
    priced = [line.line_total for line in wanted if line.line_total is not None]
    return Added("; ".join(texts), round(sum(priced), 2) if priced else None, len(priced) == len(wanted))


def _own_lines(world: World, kit: int) -> set[tuple[str, float]]:
    """The parts list of a kit by itself: (line, how many)."""
    mark = ("own lines", kit)
    if mark not in world.memo:
        report = assess(Job(world.kits.values(kit), limits=world.job.limits), world.today)
        world.memo[mark] = {(line.key, line.needed) for line in report.parts}
    found: set[tuple[str, float]] = world.memo[mark]
    return found


def lines(world: World, block: Block, added: dict[tuple[int, int], Added]) -> Iterator[Line]:
    """The pairs of a block, which stands in order of merit, as lines."""
    named, corners, kits = titles(), world.corners.names, world.kits.names
    words = [asked_label(word) if word else "" for word in block.words]
    columns = (block.corner, block.kit, _ranked(block.corner), block.severity, block.place, block.margin, block.measure)
    verdicts = {severity: str(verdict) for severity, verdict in BY_SEVERITY.items()}
    for corner, kit, rank, severity, place, margin, measure in zip(
        *(column.tolist() for column in columns), strict=True
    ):
        title, unit = named[place]
        room = margin if margin == margin else None
        yield Line(
            corners[corner], kits[kit], rank, verdicts[severity], title, room, unit if room is not None else "",
            words[measure], added.get((corner, kit)) if added else None,
        )  # fmt: skip


def quick_csv(world: World, block: Block) -> str:
    """The lines of a block without parts as CSV, the same text that `writing.csv_text` makes of them."""
    corners, kits = _quoted(world.corners.names), _quoted(world.kits.names)
    verdicts = {severity: str(verdict) for severity, verdict in BY_SEVERITY.items()}
    named, units = _quoted([title for title, _ in titles()]), [unit for _, unit in titles()]
    words = _quoted([asked_label(word) if word else "" for word in block.words])
    columns = (block.corner, block.kit, _ranked(block.corner), block.severity, block.place, block.margin, block.measure)
    return "".join(
        [
            f"{corners[c]},{kits[k]},{r},{verdicts[s]},{named[p]},{m:.{DIGITS}f},{units[p]},{words[w]},,\n"
            if m == m
            else f"{corners[c]},{kits[k]},{r},{verdicts[s]},{named[p]},,,{words[w]},,\n"
            for c, k, r, s, p, m, w in zip(*(column.tolist() for column in columns), strict=True)
        ]
    )


def _quoted(texts: Sequence[str]) -> list[str]:
    """Texts as cells of a CSV table."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    found = []
    for text in texts:
        out.seek(0)
        out.truncate()
        writer.writerow(["", text])
        found.append(out.getvalue()[1:-1])
    return found


def _ranked(corner: Index) -> Index:
    """1, 2, 3 for the kits of each corner, which stand together."""
    count = np.arange(len(corner))
    starts = np.flatnonzero(np.diff(corner, prepend=-1))
    return count - np.repeat(starts, np.diff(starts, append=len(corner))) + 1


def parts_of(world: World, block: Block) -> dict[tuple[int, int], Added]:
    """What must be added to each pair that fits, with or without parts."""
    passing = np.flatnonzero(block.severity <= PARTS)
    pairs = zip(block.corner[passing].tolist(), block.kit[passing].tolist(), strict=True)
    return {pair: added_parts(world, *pair) for pair in pairs}
