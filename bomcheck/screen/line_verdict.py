"""Whether a brake line can be made, for pairs by the thousand: solved once for each different question."""

from bomcheck.engine.judge import judge_match, prepare
from bomcheck.model.job import Job
from bomcheck.rules import all_checks
from bomcheck.screen.order import LINE
from bomcheck.screen.severities import SEVERITY
from bomcheck.screen.world import Pair, World

PATH = "hose_path_length"


def line_checks() -> frozenset[str]:
    """Checks of the brake line: its solution is looked for only where the verdict hangs on it."""
    return frozenset(name for name, check in all_checks().items() if LINE in check.parameters)


def line_severity(world: World, corner: int, kit: int, name: str) -> int:
    """Severity of a check of the brake line; solved once for each different question."""
    keys: set[str] = world.memo.setdefault((LINE, "keys"), set())
    pair, box = Pair(world, corner, kit, {}), world.kits.boxes.get(kit)
    bare = {key: (value.value, value.plus_minus) for key in keys if (value := pair.get(key))}
    if PATH in bare and not any(part.role == "hose" for part in (*(box or ()), *world.prices, *world.shelf)):
        bare[PATH] = (True, 0.0)  # no hose is there whose length the path could be held against
    mark = (LINE, name, frozenset(bare.items()), box)
    if mark in world.memo:
        return int(world.memo[mark])
    job = world.single(corner, kit)
    severity = _solve_line(world, job, name)
    assert isinstance(job.values, Pair)
    asked = job.values.asked - keys
    if asked:
        keys |= asked
        for old in [one for one in world.memo if one[0] == LINE and one[1] == name]:
            del world.memo[old]
        return line_severity(world, corner, kit, name)
    world.memo[mark] = severity
    return severity


def _solve_line(world: World, job: Job, name: str) -> int:
    world.solve_line(job)
    sizes = world.inputs(job)
    ready = prepare(all_checks()[name], sizes)
    found = ready.settled or judge_match(ready, sizes)[0]
    return SEVERITY[found.verdict]
