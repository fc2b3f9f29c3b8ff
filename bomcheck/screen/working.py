"""The work divided: tasks in this process, on several processes of this machine, or on a Dask cluster.

Every way does the same tasks and puts their answers together in the same order, so the result does not depend on it.
"""

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack
from multiprocessing import get_context
from typing import Any

from bomcheck.screen.sift import known_before
from bomcheck.screen.tasks import Answer, Task, Wanted, do_task, gate_tasks, judging_tasks, tasks_of
from bomcheck.screen.world import World

AHEAD = 2  # tasks that wait for each process, so that answers do not pile up
Progress = Callable[[int, int], None]
Doing = Callable[[list[Task]], Iterable[Any]]


def run(
    world: World, wanted: Wanted, processes: int, scheduler: str = "", progress: Progress | None = None
) -> Iterator[Answer]:
    """The answers in the order of the corners, each corner's kits in order of merit. For passers the pairs that may fit are
    gathered first."""
    tasks = gate_tasks(world) if wanted.passers else tasks_of(world)
    with ExitStack() as stack:
        doing = _on_cluster(world, wanted, scheduler) if scheduler else _here(world, wanted, processes, stack)
        if wanted.passers:
            tasks = judging_tasks(list(doing(tasks)), processes)
        for number, answer in enumerate(doing(tasks), 1):
            yield answer
            if progress:
                progress(number, len(tasks))


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


def _here(world: World, wanted: Wanted, processes: int, stack: ExitStack) -> Doing:
    """All cores where there is enough to do for them; the processes stay until the stack is closed."""
    pools: list[Any] = []

    def spread(tasks: list[Task]) -> Iterable[Any]:
        if min(processes, len(tasks)) < 2:
            return (do_task(world, wanted, task) for task in tasks)
        if not pools:
            pools.append(stack.enter_context(_pool(world, wanted, min(processes, len(tasks)))))
        return _in_step(pools[0], tasks, AHEAD * processes)

    return spread


def _pool(world: World, wanted: Wanted, processes: int) -> Any:
    known_before()
    _start(world, wanted)  # a forked process has the tables already
    context: Any = get_context("fork" if hasattr(os, "fork") else "spawn")
    return context.Pool(processes, _start, (world, wanted))


def _in_step(pool: Any, tasks: list[Task], ahead: int) -> Iterator[Any]:
    """The answers in the order of the tasks, so many asked for ahead."""
    waiting: deque[Any] = deque()
    for task in tasks:
        waiting.append(pool.apply_async(_in_worker, (task,)))
        if len(waiting) > ahead:
            yield waiting.popleft().get()
    while waiting:
        yield waiting.popleft().get()


def _on_cluster(world: World, wanted: Wanted, scheduler: str) -> Doing:
    """A Dask cluster: the tables go to the workers once; the tasks of a worker that fails are done again by another."""
    from bomcheck.screen.cluster import cluster_answers

    return lambda tasks: cluster_answers(scheduler, do_task, world, wanted, tasks)
