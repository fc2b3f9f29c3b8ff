"""What a check and its remedy can touch, read off their source: keys stand there as literal texts.

What is found is never too little: every field key in a remedy, and in what it calls in its own module, counts as read; each
that names an entry of a dictionary counts as changed. So a check that is out of reach of every remedy is judged once.
"""

import ast
import inspect
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from bomcheck.derived import DERIVATIONS
from bomcheck.fields import fields
from bomcheck.verdict.check import STACKS, Check, all_checks
from bomcheck.verdict.inputs import Derivation
from bomcheck.verdict.limits import house_limits
from bomcheck.verdict.verdict import Verdict

Function = Callable[..., Any]


@cache
def _nodes(function: Function) -> tuple[ast.AST, ...]:
    """Every node of the source of a function and of what it calls in the package."""
    found: list[ast.AST] = []
    waiting, seen = [function], set()
    while waiting:
        one = waiting.pop()
        if one in seen or not inspect.isfunction(one):
            continue
        seen.add(one)
        nodes = list(ast.walk(_tree(one)))
        found.extend(nodes)
        names = {node.id for node in nodes if isinstance(node, ast.Name)}
        called = (one.__globals__.get(name) for name in names)
        waiting.extend(c for c in called if inspect.isfunction(c) and c.__module__ == one.__module__)
    return tuple(found)


def _tree(function: Function) -> ast.AST:
    """The source as a tree; a lambda's source line may start in the middle of a call and is then cut out."""
    text = textwrap.dedent(inspect.getsource(function))
    try:
        return ast.parse(text)
    except SyntaxError:
        start = text.index("lambda")
        for end in range(len(text), start, -1):
            try:
                return ast.parse(text[start:end].strip(), mode="eval")
            except SyntaxError:
                continue
        raise


def _texts(nodes: tuple[ast.AST, ...]) -> set[str]:
    """Every literal text."""
    return {node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)}


def _entries(nodes: tuple[ast.AST, ...]) -> Iterator[ast.expr]:
    """Everything that names an entry of a dictionary that is made or filled."""
    for node in nodes:
        if isinstance(node, ast.Dict):
            yield from (key for key in node.keys if key is not None)
        elif isinstance(node, ast.DictComp):
            yield node.key
        elif isinstance(node, ast.Subscript) and isinstance(node.ctx, ast.Store):
            yield node.slice


def _changes(nodes: tuple[ast.AST, ...]) -> frozenset[str]:
    named: set[object] = set()
    for entry in _entries(nodes):
        named |= {entry.value} if isinstance(entry, ast.Constant) else _handed_over(entry, nodes)
    return frozenset(key for key in named if isinstance(key, str) and key in fields())


def _handed_over(entry: ast.expr, nodes: tuple[ast.AST, ...]) -> set[str]:
    """The texts that stand for an argument in all calls; every literal text where that cannot be told."""
    for node in nodes:
        names = [arg.arg for arg in node.args.args] if isinstance(node, ast.FunctionDef) else []
        if isinstance(entry, ast.Name) and entry.id in names and entry in ast.walk(node):
            assert isinstance(node, ast.FunctionDef)
            given = [_argument(call, names.index(entry.id)) for call in _calls(node.name, nodes)]
            if given and None not in given:
                return {text for text in given if text is not None}
    return _texts(nodes)


def _calls(name: str, nodes: tuple[ast.AST, ...]) -> Iterator[ast.Call]:
    for node in nodes:
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name:
            yield node


def _argument(call: ast.Call, place: int) -> str | None:
    argument = call.args[place] if place < len(call.args) and not call.keywords else None
    return argument.value if isinstance(argument, ast.Constant) and isinstance(argument.value, str) else None


def _may_say(verdict: Verdict, nodes: tuple[ast.AST, ...], home: dict[str, Any]) -> bool:
    """Whether a verdict is named anywhere."""
    names = {node.id for node in nodes if isinstance(node, ast.Name)}
    attributes = {node.attr for node in nodes if isinstance(node, ast.Attribute)}
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
    texts = set() if way.decide is None else _texts(_nodes(way.decide))
    return {text for text in texts if text in fields() or text in DERIVATIONS}


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
    return {*check.parameters, *check.when, *check.given, *by, *_limit_keys(check)} - set(STACKS.values())


@cache
def reach_of(name: str) -> Reach:
    """What check `name` can touch."""
    check = all_checks()[name]
    needs = frozenset(typed for key in _own_keys(check) for typed in closure(key))
    if check.remedy is None:
        return Reach(needs, needs, frozenset(), False, True)
    nodes = _nodes(check.remedy)
    read = {text for text in _texts(nodes) if text in fields() or text in DERIVATIONS}
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
