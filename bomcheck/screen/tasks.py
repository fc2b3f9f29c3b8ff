"""The work cut into tasks, and one task done: some corners with every kit, or pairs that may fit."""

import os
import signal
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import ExitStack
from functools import partial
from multiprocessing import get_context
from typing import Any, cast

import numpy as np

from bomcheck.assess import assess
from bomcheck.engine.many.columns import pair_job
from bomcheck.engine.many.lanes import Pairs
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass
from bomcheck.model.verdict import PARTS
from bomcheck.screen.blocks import Block, all_pairs, judged, passing_groups
from bomcheck.screen.grids import refuse
from bomcheck.screen.prefilter import known_before, make_gate
from bomcheck.screen.rank import Added, by_merit, lines
from bomcheck.screen.world import World
from bomcheck.screen.writing import csv_text, json_text, quick_csv


def parts_of(world: World, block: Block) -> dict[tuple[int, int], Added]:
    """What must be added to each pair that fits, with or without parts."""
    passing = np.flatnonzero(block.severity <= PARTS)
    pairs = zip(block.corner[passing].tolist(), block.kit[passing].tolist(), strict=True)
    return {pair: added_parts(world, *pair) for pair in pairs}


def added_parts(world: World, corner: int, kit: int) -> Added:
    """What the pair takes beyond the kit, and what that and the kit cost. Where the contents of the kit's box are not entered, what every fitting of this kit
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
    price = world.kits.value("kit_price", kit)
    whole = len(priced) == len(wanted) and (price is not None or "kit_price" not in world.kits.columns)
    paid = [*priced, *([float(price.value)] if price is not None else [])]
    return Added("; ".join(texts), round(sum(paid), 2) if paid else None, whole)


def _own_lines(world: World, kit: int) -> set[tuple[str, float]]:
    """The parts list of a kit by itself: (line, how many)."""
    mark = ("own lines", kit)
    if mark not in world.memo:
        report = assess(Job(world.kits.values(kit), limits=world.job.limits), world.today)
        world.memo[mark] = {(line.key, line.needed) for line in report.parts}
    return cast(set[tuple[str, float]], world.memo[mark])


PAIRS = 500_000  # of one task, at most, about
FORKED = 40_000  # pairs of one task, at least; with fewer a second process costs more than it saves
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


def tasks_of(world: World, processes: int) -> list[Task]:
    """Some corners with every kit, task by task; at least one for each process where there is enough to do."""
    kits = max(len(world.kits), 1)
    share = -(-len(world.corners) // processes)
    step = max(min(max(share, FORKED // kits), PAIRS // kits), 1)
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
    most = min(max(-(-len(corner) // max(parts, 1)), LEAST), PAIRS // 4)
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
    added = parts_of(world, block) if wanted.parts else {}
    block = by_merit(block, np.array(list(_prices(block, added))) if added else None)
    counts = np.bincount(block.severity, minlength=5).tolist()
    if wanted.form == "block":
        return Answer(block, "", counts, added)
    if wanted.form == "csv" and not added:
        return Answer(None, quick_csv(world, block), counts, added)
    write = csv_text if wanted.form == "csv" else json_text
    return Answer(None, write(lines(world, block, added)), counts, added)


def _prices(block: Block, added: dict[Any, Added]) -> Iterator[float]:
    """The price of what each pair takes, NaN where none is known."""
    for pair in zip(block.corner.tolist(), block.kit.tolist(), strict=True):
        price = added[pair].price if pair in added else None
        yield np.nan if price is None else price


def cluster_client(address: str) -> Any:
    """A client of the scheduler at an address, "tcp://10.0.0.5:8786". Raises WorkbookError where there is none."""
    try:
        import distributed
    except ImportError:
        instead = "Install it: pip install corner-bomcheck[cluster]; without --scheduler nothing of it is needed"
        raise refuse("file", "--scheduler", "Dask is not installed", instead) from None
    try:
        client: Any = distributed.Client
        return client(address, timeout="10s")
    except (OSError, TimeoutError, ValueError) as error:
        reason = str(error).splitlines()[0][:100] if str(error) else "no answer"
        wrong, instead = f"no scheduler answers at {address} ({reason})", "Start `dask scheduler` and `dask worker`"
        raise refuse("file", "--scheduler", wrong, instead) from None


def cluster_answers(address: str, do: Callable[..., Any], world: Any, wanted: Any, tasks: list[Any]) -> Iterator[Any]:
    """The answers to tasks in their order; what a lost worker had is done again."""
    client = cluster_client(address)
    with client:
        tables = client.scatter(world, broadcast=True, hash=False)
        ahead = 4 * max(len(client.scheduler_info()["workers"]), 1)
        waiting: deque[Any] = deque()
        for task in tasks:
            waiting.append(client.submit(do, tables, wanted, task, pure=False, retries=5))
            if len(waiting) > ahead:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()


AHEAD = 2  # tasks that wait for each process, so that answers do not pile up
Progress = Callable[[int, int], None]
Doing = Callable[[list[Task]], Iterable[Any]]


def run(
    world: World, wanted: Wanted, processes: int, scheduler: str = "", progress: Progress | None = None
) -> Iterator[Answer]:
    """The answers in the order of the corners, each corner's kits in order of merit. For passers the pairs that may fit are
    gathered first."""
    tasks = gate_tasks(world) if wanted.passers else tasks_of(world, processes)
    with ExitStack() as stack:
        far = partial(cluster_answers, scheduler, do_task, world, wanted)
        doing: Doing = far if scheduler else _here(world, wanted, processes, stack)
        if wanted.passers:
            tasks = judging_tasks(list(doing(tasks)), processes)
        sizes = [(task[2] - task[1]) * len(world.kits) if task[0] == "all" else len(task[1]) for task in tasks]
        done, pairs = 0, sum(sizes)
        for size, answer in zip(sizes, doing(tasks), strict=True):
            yield answer
            done += size
            if progress:
                progress(done, pairs)


_shared: tuple[World, Wanted] | None = None


def _start(world: World, wanted: Wanted) -> None:
    global _shared
    _shared = (world, wanted)


def _start_worker(world: World, wanted: Wanted, parent: int) -> None:
    """Ctrl-C is the parent's to answer, and without a parent there is nothing left to do."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _start(world, wanted)
    threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(1)
    os._exit(1)


def _in_worker(task: Task) -> Any:
    assert _shared is not None
    return do_task(*_shared, task)


def cores() -> int:
    """Processor cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _here(world: World, wanted: Wanted, processes: int, stack: ExitStack) -> Doing:
    """All cores where there is enough to do for them; the processes stay until the stack is closed."""
    pools: list[ProcessPoolExecutor] = []

    def here(tasks: Iterable[Task]) -> Iterable[Any]:
        return (do_task(world, wanted, task) for task in tasks)

    def spread(tasks: list[Task]) -> Iterable[Any]:
        if min(processes, len(tasks)) < 2:
            return here(tasks)
        if not pools:
            pools.append(_pool(world, wanted, min(processes, len(tasks))))
            stack.callback(pools[0].shutdown, wait=False, cancel_futures=True)
        return _in_step(pools[0], tasks, AHEAD * processes, here)

    return spread


def _pool(world: World, wanted: Wanted, processes: int) -> ProcessPoolExecutor:
    known_before()
    _start(world, wanted)  # a forked process has the tables already
    context = get_context("fork" if hasattr(os, "fork") else "spawn")
    pool = ProcessPoolExecutor(processes, context, _start_worker, (world, wanted, os.getpid()))
    if hasattr(os, "fork"):  # all begin at the first task; Ctrl-C does not reach one before it heeds none
        kept = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        pool.submit(int)
        signal.pthread_sigmask(signal.SIG_SETMASK, kept)
    return pool


def _in_step(
    pool: ProcessPoolExecutor, tasks: list[Task], ahead: int, here: Callable[[Iterable[Task]], Iterable[Any]]
) -> Iterator[Any]:
    """The answers in the order of the tasks, so many asked for ahead. Where a process was killed, the rest is done here."""
    done = 0
    waiting: deque[Any] = deque()
    try:
        for task in tasks:
            waiting.append(pool.submit(_in_worker, task))
            if len(waiting) > ahead:
                answer = waiting.popleft().result()
                done += 1
                yield answer
        while waiting:
            answer = waiting.popleft().result()
            done += 1
            yield answer
    except BrokenProcessPool:
        yield from here(tasks[done:])
