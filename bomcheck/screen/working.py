"""The work divided: blocks in this process, on several processes of this machine, or on a Dask cluster.

Every way does the same tasks and puts their answers together in the same order, so the result does not depend on it.
"""

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from bomcheck.screen.blocks import Block, all_pairs, candidates, joined, judged, passing_groups
from bomcheck.screen.lanes import Index
from bomcheck.screen.prune import Gate
from bomcheck.screen.world import World

PAIRS = 200_000  # of one task, about; with more than that a second process pays
Task = tuple[Any, ...]
Progress = Callable[[int, int], None]


@dataclass
class Plan:
    """tasks: in the order in which their answers stand. gate: for passers, what is left after the quick checks."""

    world: World
    passers: bool
    tasks: list[Task] = field(default_factory=list)


def plan(world: World, passers: bool) -> Plan:
    """The tasks of a screening."""
    made = Plan(world, passers)
    if not passers:
        step = max(PAIRS // max(len(world.kits), 1), 1)
        made.tasks = [("all", start, min(start + step, len(world.corners))) for start in range(0, len(world.corners), step)]
        return made
    gate = Gate(world)
    bundle: list[tuple[Index, Index]] = []
    for group in passing_groups(gate):
        bundle.append(group)
        if sum(len(left) * len(right) for left, right in bundle) >= 4 * PAIRS:
            made.tasks.append(("passers", bundle, gate.slow))
            bundle = []
    if bundle:
        made.tasks.append(("passers", bundle, gate.slow))
    return made


def do_task(world: World, task: Task) -> Block:
    """One task."""
    if task[0] == "all":
        return all_pairs(world, slice(task[1], task[2]))
    if task[0] == "judge":
        return judged(world, task[1], task[2], passers=True)
    pairs = [candidates(world, task[2], *group) for group in task[1]]
    corner, kit = (np.concatenate([pair[side] for pair in pairs]) for side in (0, 1))
    nothing = np.zeros(len(corner))
    return Block(corner, kit, nothing.astype(np.int8), nothing.astype(np.int16), nothing, nothing.astype(np.int32), [""])


def run(made: Plan, scheduler: str = "", processes: int | None = None, progress: Progress | None = None) -> Iterator[Block]:
    """The answers to the tasks, in their order. For passers all pairs that may fit are gathered and then judged."""
    doing = _on_cluster(made.world, scheduler) if scheduler else _here(made.world, processes)
    if not made.passers:
        yield from doing(made.tasks, progress)
        return
    found = joined(list(doing(made.tasks, None)))
    order = np.lexsort((found.kit, found.corner))
    corner, kit = found.corner[order], found.kit[order]
    cuts = [(start, min(start + 20_000, len(corner))) for start in range(0, len(corner), 20_000)]
    yield from doing([("judge", corner[a:b], kit[a:b]) for a, b in cuts], progress)


Doing = Callable[[list[Task], Progress | None], Iterator[Block]]
_world: World | None = None


def _start(world: World) -> None:
    global _world
    _world = world


def _in_worker(task: Task) -> Block:
    assert _world is not None
    return do_task(_world, task)


def _here(world: World, processes: int | None) -> Doing:
    """Both cores where there is enough to do for them."""

    def alone(tasks: list[Task], progress: Progress | None) -> Iterator[Block]:
        for number, task in enumerate(tasks, 1):
            yield do_task(world, task)
            if progress:
                progress(number, len(tasks))

    def shared(tasks: list[Task], progress: Progress | None) -> Iterator[Block]:
        count = processes or len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else processes or os.cpu_count() or 1
        if count < 2 or len(tasks) < 2:
            yield from alone(tasks, progress)
            return
        from multiprocessing import get_context

        _start(world)  # a forked process has the tables already
        context = get_context("fork" if hasattr(os, "fork") else "spawn")
        with context.Pool(count, _start, (world,)) as pool:
            for number, block in enumerate(pool.imap(_in_worker, tasks), 1):
                yield block
                if progress:
                    progress(number, len(tasks))

    return shared


def _on_cluster(world: World, scheduler: str) -> Doing:
    """A Dask cluster: the tables go to the workers once; the tasks of a worker that fails are done again by another."""
    from bomcheck.screen.cluster import cluster_client

    client = cluster_client(scheduler)
    tables = client.scatter(world, broadcast=True, hash=False)

    def spread(tasks: list[Task], progress: Progress | None) -> Iterator[Block]:
        futures = [client.submit(do_task, tables, task, pure=False, retries=5) for task in tasks]
        for number, future in enumerate(futures, 1):
            yield future.result()
            future.release()
            if progress:
                progress(number, len(tasks))

    return spread
