"""The source of functions as trees, with what they call of the interfaces: keys stand there as literal texts."""

import ast
import inspect
import textwrap
from collections.abc import Callable, Iterator
from functools import cache
from types import CodeType, FunctionType
from typing import Any

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
        names = [arg.arg for arg in node.args.args] if isinstance(node, ast.FunctionDef) else []
        if isinstance(node, ast.FunctionDef) and isinstance(entry, ast.Name) and entry.id in names and _in(entry, node):
            given = [_argument(call, names.index(entry.id)) for call in _calls(node.name, nodes)]
            if given and None not in given:
                return {text for text in given if text is not None}
    return texts_in(nodes)


def _in(entry: ast.expr, node: ast.AST) -> bool:
    return any(one is entry for one in ast.walk(node))


def _calls(name: str, nodes: Nodes) -> Iterator[ast.Call]:
    for node in nodes:
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name:
            yield node


def _argument(call: ast.Call, place: int) -> str | None:
    argument = call.args[place] if place < len(call.args) and not call.keywords else None
    return argument.value if isinstance(argument, ast.Constant) and isinstance(argument.value, str) else None
