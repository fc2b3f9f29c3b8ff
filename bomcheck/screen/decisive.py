"""Which checks can settle a pair by themselves, as far as their reach tells."""

from functools import cache

from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.screen.order import LINE
from bomcheck.screen.reach import closure, fixed, reach_of, stack_keys, steady
from bomcheck.tables.fields import fields


@cache
def settling() -> tuple[str, ...]:
    """Checks whose "does not fit" is the last word, in the order in which they decide."""
    names = (name for name, check in all_checks().items() if LINE not in check.parameters)
    return tuple(name for name in names if steady(name) and reach_of(name).fails)


@cache
def gating() -> tuple[str, ...]:
    """Checks whose own value no remedy touches: what fails in them beyond parts, or is not known, never fits."""
    return tuple(name for name, check in all_checks().items() if LINE not in check.parameters and fixed(name))


@cache
def leading() -> tuple[tuple[str, ...], frozenset[str]]:
    """(checks that decide next after the steady ones, those with all checks whose remedies may reach them): as many as can be
    followed through their remedies without laying shims."""
    ranked = [name for name in all_checks() if not steady(name) and LINE not in all_checks()[name].parameters]
    taken: list[str] = []
    reached: frozenset[str] = frozenset()
    for name in ranked:
        more = upstream(name)
        if any(all_checks()[one].stack for one in more):
            break
        taken.append(name)
        reached |= more
    return tuple(taken), reached


@cache
def upstream(name: str) -> frozenset[str]:
    """The check and every one whose remedy may change, at one or more removes, what it reads."""
    found, waiting = set[str](), [name]
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            reads = _looked_at(one)
            waiting.extend(other for other in all_checks() if reach_of(other).changes & reads)
    return frozenset(found)


def _looked_at(name: str) -> frozenset[str]:
    """What a check and its remedy read; where shims move it, also what the shims are chosen by."""
    stack, reads = all_checks()[name].stack, reach_of(name).reads
    if not stack:
        return reads
    aims = (other for other, check in all_checks().items() if check.stack == stack and check.target is not None)
    return reads.union(stack_keys(stack), *(reach_of(other).reads for other in aims))


@cache
def sifting() -> tuple[tuple[str, ...], ...]:
    """Checks by which pairs are sifted that may fit, the quick ones first: those that no shims move, unless the gate has asked
    them; those that shims move; and those that read tables of both corner and kit pair by pair, with what leads their shims."""
    names = [name for name, check in all_checks().items() if LINE not in check.parameters]
    moved, tabled = ({name for name in names if holds(name)} for holds in (_is_moved, _reads_tables))
    unmoved = (name for name in names if name not in moved | tabled)
    unasked = tuple(name for name in unmoved if name not in gating() or reach_of(name).changes)
    leads = {name for name in moved if all_checks()[name].target is not None}
    return unasked, tuple(n for n in names if n in moved - tabled), tuple(n for n in names if n in tabled | leads)


def _is_moved(name: str) -> bool:
    return bool(all_checks()[name].stack)


def _reads_tables(name: str) -> bool:
    parameters = all_checks()[name].parameters
    tabled = [key for key in parameters if any(way.interval for way in DERIVATIONS.get(key, ()))]
    sections = [{fields()[one].section for one in closure(key) if one in fields()} for key in tabled]
    return any({"corner", "kit"} <= of_key for of_key in sections)
