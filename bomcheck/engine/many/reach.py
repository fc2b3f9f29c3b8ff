"""What a check and its remedy can touch, read off their source: keys stand there as literal texts.

What is found is never too little: every field key in a remedy, and in what it calls in its own module, counts as read; each
that names an entry of a dictionary counts as changed. So a check that is out of reach of every remedy is judged once.
"""

import ast
import inspect
import textwrap
from collections.abc import Callable, Iterator
from functools import cache
from types import CodeType, FunctionType
from typing import Any

from bomcheck.model.limits import house_limits
from bomcheck.model.records import dataclass
from bomcheck.model.rule import STACKS, Check, Remedy
from bomcheck.model.sizes import Derivation
from bomcheck.model.verdict import Verdict
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.tables.fields import fields

Function = Callable[..., Any]
Nodes = tuple[ast.AST, ...]
INTERFACES = "bomcheck.rules."


@cache
def nodes_of(function: Function) -> Nodes:
    """Every node of the source of a function and of what it calls in its module or in another of the interfaces."""
    found: list[ast.AST] = []
    waiting, seen = [function], set[Function]()
    while waiting:
        one = waiting.pop()
        if one in seen or not isinstance(one, FunctionType):
            continue
        seen.add(one)
        nodes = _nodes(one)
        found.extend(nodes)
        names = {node.id for node in nodes if isinstance(node, ast.Name)}
        called = (one.__globals__.get(name) for name in names)
        homes = (one.__module__, INTERFACES)
        waiting.extend(c for c in called if isinstance(c, FunctionType) and c.__module__.startswith(homes))
    return tuple(found)


@cache
def _nodes(function: FunctionType) -> Nodes:
    return tuple(ast.walk(_tree(function)))


def _tree(function: FunctionType) -> ast.AST:
    """The source as a tree; a lambda's source line may start in the middle of a call and is then cut out."""
    if function.__name__ != "<lambda>":
        try:
            return ast.parse(_lines(function))
        except SyntaxError:
            pass
    text = textwrap.dedent(inspect.getsource(function))
    try:
        return ast.parse(text)
    except SyntaxError:
        return _cut_out(text)


def _lines(function: FunctionType) -> str:
    """The lines that the function was compiled from; Python's own way to them divides the source into words first."""
    lines, first = inspect.findsource(function)
    last = max(_last_lines(function.__code__))
    return textwrap.dedent("".join(lines[first:last]))


def _last_lines(code: CodeType) -> Iterator[int]:
    yield code.co_firstlineno
    yield from (end for _, end, _, _ in code.co_positions() if end is not None)
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _last_lines(constant)


def _cut_out(text: str) -> ast.AST:
    start = text.index("lambda")
    for end in range(len(text), start, -1):
        try:
            return ast.parse(text[start:end].strip(), mode="eval")
        except SyntaxError:
            continue
    raise SyntaxError(f"no lambda can be read in {text!r}")


def texts_in(nodes: Nodes) -> set[str]:
    """Every literal text."""
    return {node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)}


def names_in(nodes: Nodes) -> tuple[set[str], set[str]]:
    """(every name, every attribute)."""
    names = {node.id for node in nodes if isinstance(node, ast.Name)}
    return names, {node.attr for node in nodes if isinstance(node, ast.Attribute)}


def entries_in(nodes: Nodes) -> Iterator[ast.expr]:
    """Everything that names an entry of a dictionary that is made or filled."""
    for node in nodes:
        if isinstance(node, ast.Dict):
            yield from (key for key in node.keys if key is not None)
        elif isinstance(node, ast.DictComp):
            yield node.key
        elif isinstance(node, ast.Subscript) and isinstance(node.ctx, ast.Store):
            yield node.slice


def handed_over(entry: ast.expr, nodes: Nodes) -> set[str]:
    """The texts that stand for an argument in all calls; every literal text where that cannot be told."""
    for node in nodes:
        if not isinstance(node, ast.FunctionDef):
            continue
        names = [arg.arg for arg in node.args.args]
        if isinstance(entry, ast.Name) and entry.id in names and any(one is entry for one in ast.walk(node)):
            given = [_argument(call, names.index(entry.id)) for call in _calls(node.name, nodes)]
            if given and None not in given:
                return {text for text in given if text is not None}
    return texts_in(nodes)


def _calls(name: str, nodes: Nodes) -> Iterator[ast.Call]:
    for node in nodes:
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name:
            yield node


def _argument(call: ast.Call, place: int) -> str | None:
    argument = call.args[place] if place < len(call.args) and not call.keywords else None
    return argument.value if isinstance(argument, ast.Constant) and isinstance(argument.value, str) else None


def _changes(nodes: Nodes) -> frozenset[str]:
    named: set[object] = set()
    for entry in entries_in(nodes):
        named |= {entry.value} if isinstance(entry, ast.Constant) else handed_over(entry, nodes)
    return frozenset(key for key in named if isinstance(key, str) and key in fields())


def _may_say(verdict: Verdict, nodes: Nodes, home: dict[str, Any]) -> bool:
    """Whether a verdict is named anywhere."""
    names, attributes = names_in(nodes)
    return verdict.name in attributes or any(home.get(name) is verdict for name in names)


@cache
def closure(key: str) -> frozenset[str]:
    """The typed keys behind a key: itself, and for one that may be derived all that its ways may read."""
    found: set[str] = set()
    waiting = [key]
    while waiting:
        one = waiting.pop()
        if one in found:
            continue
        found.add(one)
        for way in DERIVATIONS.get(one, ()):
            waiting.extend((*way.parameters, *way.when, *decide_keys(way)))
    return frozenset(found)


def decide_keys(way: Derivation) -> set[str]:
    """The keys that a way looks at to tell whether it serves."""
    texts = set() if way.decide is None else texts_in(nodes_of(way.decide))
    return {text for text in texts if text in fields() or text in DERIVATIONS}


def stack_keys(stack: str) -> tuple[str, ...]:
    """The typed keys by which the stacks to choose from are made up."""
    screws = ("axial_shim_joint", "bracket_screw_count") if stack == "axial" else ()
    return f"shim_sizes_{stack}", f"shim_stack_max_{stack}", "caliper_mount", *screws


@dataclass(frozen=True)
class Reach:
    """needs: typed keys behind the check itself, its limit included. reads: those and the ones behind its remedy.
    changes: keys its remedy may change. cures, fails: whether a failure may end as "fits with parts", as "does not fit".
    """

    needs: frozenset[str]
    reads: frozenset[str]
    changes: frozenset[str]
    cures: bool
    fails: bool


def _limit_keys(check: Check) -> set[str]:
    names = [check.limit] if isinstance(check.limit, str) else [*check.limit.values()]
    return {house_limits()[name].kit_field for name in names if name and house_limits()[name].kit_field}


def _own_keys(check: Check) -> set[str]:
    by = {check.limit_by} if check.limit_by else set()
    return {*check.parameters, *check.when, *check.requires, *by, *_limit_keys(check)} - set(STACKS.values())


@cache
def reach_of(name: str) -> Reach:
    """What check `name` can touch."""
    check = all_checks()[name]
    needs = frozenset(typed for key in _own_keys(check) for typed in closure(key))
    if check.remedy is None:
        return Reach(needs, needs, frozenset(), False, True)
    if isinstance(check.remedy, Remedy):
        reads = needs | frozenset(typed for key in check.remedy.reads for typed in closure(key))
        says = check.remedy.verdicts
        cures, fails = Verdict.FITS_WITH_PARTS in says, Verdict.DOES_NOT_FIT in says
        return Reach(needs, reads, frozenset(check.remedy.changes), cures, fails)
    nodes = nodes_of(check.remedy)
    read = {text for text in texts_in(nodes) if text in fields() or text in DERIVATIONS}
    reads = needs | frozenset(typed for key in read for typed in closure(key))
    home = check.remedy.__globals__
    cures, fails = (_may_say(one, nodes, home) for one in (Verdict.FITS_WITH_PARTS, Verdict.DOES_NOT_FIT))
    return Reach(needs, reads, _changes(nodes), cures, fails)


@cache
def changeable() -> frozenset[str]:
    """Every typed key that some remedy may change."""
    return frozenset(key for name in all_checks() for key in reach_of(name).changes)


@cache
def steady(name: str) -> bool:
    """Whether no remedy can touch what this check finds, and no shims move it: it is the same in every round."""
    check = all_checks().get(name)
    return check is not None and not check.stack and not reach_of(name).reads & changeable()


@cache
def fixed(name: str) -> bool:
    """Whether the check's own value is the same in every round: then what fails or is not known stays so."""
    return not all_checks()[name].stack and not reach_of(name).needs & changeable()


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


UNTOUCHED, FINAL, UNSHIMMED, BODIES, SHIMMED = range(5)
"""In which turn a finding decides: what no remedy and no shim touches; what neither shims nor bodies in space touch, by way of a
remedy either, first where no part cures it; bodies that no shims touch; the rest."""


@cache
def turn_of(name: str) -> int:
    """The turn of a finding."""
    above = [all_checks()[one] for one in upstream(name)] if name in all_checks() else []
    if not above or any(check.stack for check in above):
        return SHIMMED
    if steady(name):
        return UNTOUCHED
    if any(check.kind == "space" for check in above):
        return BODIES
    return UNSHIMMED if reach_of(name).cures else FINAL
