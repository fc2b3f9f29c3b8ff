"""The work cut into tasks, and one task done: some corners with every kit, or pairs that may fit."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from bomcheck.screen.block import Block
from bomcheck.screen.blocks import LANES, all_pairs, judged, passing_groups
from bomcheck.screen.gate import make_gate
from bomcheck.screen.lanes import Pairs
from bomcheck.screen.quick_text import quick_csv
from bomcheck.screen.rank import Added, by_merit, lines
from bomcheck.screen.world import World
from bomcheck.screen.writing import csv_text, json_text

PAIRS = 500_000  # of one task, about; with more than that a second process pays
LEAST = 3_000  # pairs that may fit of one task; with fewer the way there costs more than it saves
Task = tuple[Any, ...]


@dataclass(frozen=True)
class Wanted:
    """What is asked for. form: "csv", "json", or "block" for arrays. parts: whether to work out what is to be added."""

    passers: bool = False
    form: str = "block"
    parts: bool = False


@dataclass
class Answer:
    """Of one task: the pairs, or their lines as text. counts: pairs by severity."""

    block: Block | None
    text: str
    counts: list[int]
    added: dict[Any, Added]


def tasks_of(world: World) -> list[Task]:
    """Some corners with every kit, task by task."""
    step = max(PAIRS // max(len(world.kits), 1), 1)
    return [("all", start, min(start + step, len(world.corners))) for start in range(0, len(world.corners), step)]


def gate_tasks(world: World) -> list[Task]:
    """Groups of corners and kits that may hold a pair that fits, some in each task; the gate stays with the world."""
    world.gate = make_gate(world)
    bundles: list[list[Pairs]] = []
    size = 0
    for left, right in passing_groups(world.gate):
        if not bundles or size >= 2 * PAIRS:
            bundles.append([])
            size = 0
        bundles[-1].append((left, right))
        size += len(left) * len(right)
    return [("may fit", bundle) for bundle in bundles]


def judging_tasks(found: list[Pairs], parts: int) -> list[Task]:
    """Pairs that may fit, in the order of the corners, cut between corners into so many parts, more if they are many."""
    corner, kit = (np.concatenate([np.zeros(0, dtype=np.int64), *(pair[side] for pair in found)]) for side in (0, 1))
    order = np.lexsort((kit, corner))
    corner, kit = corner[order], kit[order]
    most = min(max(-(-len(corner) // max(parts, 1)), LEAST), LANES)
    ends = np.flatnonzero(np.diff(corner, append=-1)) + 1
    tasks: list[Task] = []
    begin = 0
    for end in ends.tolist():
        if end - begin >= most or end == len(corner):
            tasks.append(("judge", corner[begin:end], kit[begin:end]))
            begin = end
    return tasks


def do_task(world: World, wanted: Wanted, task: Task) -> Any:
    """One task: pairs that may fit, or an `Answer`."""
    if task[0] == "may fit":
        assert world.gate is not None
        pairs = [world.gate.left(world, *group) for group in task[1]]
        return tuple(np.concatenate([pair[side] for pair in pairs]) for side in (0, 1))
    if task[0] == "all":
        return _answer(world, wanted, all_pairs(world, slice(task[1], task[2])))
    return _answer(world, wanted, judged(world, task[1], task[2], passers=True))


def _answer(world: World, wanted: Wanted, block: Block) -> Answer:
    added = _added(world, block) if wanted.parts else {}
    block = by_merit(block, np.array(list(_prices(block, added))) if added else None)
    counts = np.bincount(block.severity, minlength=5).tolist()
    if wanted.form == "block":
        return Answer(block, "", counts, added)
    if wanted.form == "csv" and not added:
        return Answer(None, quick_csv(world, block), counts, added)
    write = csv_text if wanted.form == "csv" else json_text
    return Answer(None, write(lines(world, block, added)), counts, added)


def _added(world: World, block: Block) -> dict[Any, Added]:
    from bomcheck.screen.added import parts_of

    return parts_of(world, block)


def _prices(block: Block, added: dict[Any, Added]) -> Iterator[float]:
    """The price of what each pair takes, NaN where none is known."""
    for pair in zip(block.corner.tolist(), block.kit.tolist(), strict=True):
        price = added[pair].price if pair in added else None
        yield np.nan if price is None else price
