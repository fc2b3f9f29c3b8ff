"""What to look up first where a finding lacks something; looked at once for all pairs that are alike in what it lacks."""

from functools import cache
from typing import Any

from bomcheck.engine.judge import judge_match, judge_range, prepare
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.screen.order import LINE
from bomcheck.screen.reach import decide_keys, reach_of
from bomcheck.screen.world import World


def lacking_field(world: World, job: Job, name: str) -> str:
    """The field that a finding of one pair's job asks for first, "" for none."""
    mark = _signature(job, name)
    if mark not in world.memo:
        found = _finding(world, job, name)
        field = found.asks[0] if found is not None and found.asks else ""
        if found is not None and found.value is not None:
            return field
        world.memo[mark] = field
    return str(world.memo[mark])


def _finding(world: World, job: Job, name: str) -> Finding | None:
    check = all_checks()[name]
    if LINE in check.parameters:
        world.solve_line(job)
    sizes = world.inputs(job)
    one = prepare(check, sizes)
    if one.settled is not None or check.stack:
        return one.settled
    return (judge_match(one, sizes) if check.kind == "match" else judge_range(one, sizes, {}))[0]


@cache
def _weighed() -> frozenset[str]:
    """Keys whose figures decide between ways to a derived size."""
    return frozenset(key for ways in DERIVATIONS.values() for way in ways for key in decide_keys(way))


def _signature(job: Job, name: str) -> Any:
    """What a finding that lacks something hangs on: which keys are filled in, the words, and the figures that decide."""
    weighed, exact = _weighed(), all_checks()[name].kind == "match"
    marks = []
    for key in sorted(reach_of(name).needs):
        value = job.values.get(key)
        bare = None if value is None else value.value
        plain = value is None or not isinstance(bare, int | float) or key in weighed or exact
        marks.append(bare if plain else True)
    return ("asked", name, tuple(marks))
