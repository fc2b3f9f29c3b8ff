"""The work divided: blocks in this process, on several processes of this machine, or on a Dask cluster.

Every way does the same tasks and puts their answers together in the same order, so the result does not depend on it.
"""

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from bomcheck.screen.blocks import LANES, Block, all_pairs, judged, passing_groups
from bomcheck.screen.lanes import Index
from bomcheck.screen.prune import Gate
from bomcheck.screen.rank import Added, by_merit, lines, parts_of, quick_csv
from bomcheck.screen.world import World
from bomcheck.screen.writing import csv_text, json_text

PAIRS = 500_000  # of one task, about; with more than that a second process pays
AHEAD = 2  # tasks that wait for each process, so that answers do not pile up
Task = tuple[Any, ...]
Progress = Callable[[int, int], None]


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
    added: dict[tuple[int, int], Added]


def tasks_of(world: World) -> list[Task]:
    """Some corners with every kit, task by task."""
    step = max(PAIRS // max(len(world.kits), 1), 1)
    return [("all", start, min(start + step, len(world.corners))) for start in range(0, len(world.corners), step)]


def gate_tasks(world: World) -> list[Task]:
    """Groups of corners and kits that may hold a pair that fits, some in each task."""
    gate, made = Gate(world), list[Task]()
    bundle: list[tuple[Index, Index]] = []
    size = 0
    for left, right in passing_groups(gate):
        bundle.append((left, right))
        size += len(left) * len(right)
        if size >= 4 * PAIRS:
            made.append(("may fit", bundle, gate))
            bundle, size = [], 0
    return [*made, ("may fit", bundle, gate)] if bundle else made


def do_task(world: World, wanted: Wanted, task: Task) -> Any:
    """One task: pairs that may fit, or an `Answer`."""
    if task[0] == "may fit":
        pairs = [task[2].left(*group) for group in task[1]]
        return tuple(np.concatenate([pair[side] for pair in pairs]) for side in (0, 1))
    if task[0] == "all":
        block = by_merit(all_pairs(world, slice(task[1], task[2])))
    else:
        block = judged(world, task[1], task[2], passers=True)
    added = parts_of(world, block) if wanted.parts else {}
    if added:
        block = by_merit(
            block,
            np.array([_price(added.get(pair)) for pair in zip(block.corner.tolist(), block.kit.tolist(), strict=True)]),
        )
    else:
        block = by_merit(block)
    counts = np.bincount(block.severity, minlength=5).tolist()
    if wanted.form == "block":
        return Answer(block, "", counts, added)
    if wanted.form == "csv" and not added:
        return Answer(None, quick_csv(world, block), counts, added)
    write = csv_text if wanted.form == "csv" else json_text
    return Answer(None, write(lines(world, block, added)), counts, added)


def _price(added: Added | None) -> float:
    return np.nan if added is None or added.price is None else added.price


def run(
    world: World, wanted: Wanted, scheduler: str = "", processes: int | None = None, progress: Progress | None = None
) -> Iterator[Answer]:
    """The answers in the order of the corners, each corner's kits in order of merit. For passers the pairs that may fit are
    gathered first."""
    doing = _on_cluster(world, wanted, scheduler) if scheduler else _here(world, wanted, processes)
    tasks = gate_tasks(world) if wanted.passers else tasks_of(world)
    if wanted.passers:
        found = list(doing(tasks, None))
        corner, kit = (
            np.concatenate([one[side] for one in found]) if found else np.zeros(0, dtype=np.int64) for side in (0, 1)
        )
        tasks = _judging(corner, kit)
    yield from doing(tasks, progress)


def _judging(corner: Index, kit: Index) -> list[Task]:
    """Pairs that may fit, cut between corners."""
    order = np.lexsort((kit, corner))
    corner, kit = corner[order], kit[order]
    starts = np.flatnonzero(np.diff(corner, prepend=-1))
    tasks: list[Task] = []
    begin = 0
    for end in [*starts[1:].tolist(), len(corner)]:
        if end - begin >= LANES // 6 or (end == len(corner) and end > begin):
            tasks.append(("judge", corner[begin:end], kit[begin:end]))
            begin = end
    return tasks


Doing = Callable[[list[Task], Progress | None], Iterator[Any]]
_shared: tuple[World, Wanted] | None = None


def _start(world: World, wanted: Wanted) -> None:
    global _shared
    _shared = (world, wanted)


def _in_worker(task: Task) -> Any:
    assert _shared is not None
    return do_task(*_shared, task)


def cores() -> int:
    """Processor cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _here(world: World, wanted: Wanted, processes: int | None) -> Doing:
    """All cores where there is enough to do for them."""

    def spread(tasks: list[Task], progress: Progress | None) -> Iterator[Any]:
        count = min(processes or cores(), len(tasks))
        answers = (
            (do_task(world, wanted, task) for task in tasks) if count < 2 else _pooled(world, wanted, tasks, count)
        )
        yield from _counted(answers, len(tasks), progress)

    return spread


def _pooled(world: World, wanted: Wanted, tasks: list[Task], count: int) -> Iterator[Any]:
    from multiprocessing import get_context

    _start(world, wanted)  # a forked process has the tables already
    context = get_context("fork" if hasattr(os, "fork") else "spawn")
    with context.Pool(count, _start, (world, wanted)) as pool:
        waiting: deque[Any] = deque()
        for task in tasks:
            waiting.append(pool.apply_async(_in_worker, (task,)))
            if len(waiting) > AHEAD * count:
                yield waiting.popleft().get()
        while waiting:
            yield waiting.popleft().get()


def _counted(answers: Iterable[Any], count: int, progress: Progress | None) -> Iterator[Any]:
    for number, answer in enumerate(answers, 1):
        yield answer
        if progress:
            progress(number, count)


def _on_cluster(world: World, wanted: Wanted, scheduler: str) -> Doing:
    """A Dask cluster: the tables go to the workers once; the tasks of a worker that fails are done again by another."""
    from bomcheck.screen.cluster import cluster_answers

    def spread(tasks: list[Task], progress: Progress | None) -> Iterator[Any]:
        yield from _counted(cluster_answers(scheduler, do_task, world, wanted, tasks), len(tasks), progress)

    return spread
