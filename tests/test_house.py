"""The house: folders in their order, no circle, rooms and functions of a size that can be read, and a picture that is true."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PRODUCT = ROOT / "bomcheck"
FLOORS = (
    ("model",), ("tables",), ("notation",), ("rules",), ("engine",), ("car", "supply"), ("assess",), ("paper",), ("io",), ("screen",),
    ("commands", "demos"),
)  # fmt: skip
"""An import may only point to a floor that stands before its own, or stay in its own folder."""

MOST_LINES, MOST_FILES = 46_220, 252
LONGEST_FILE, LONGEST_FUNCTION = 400, 45  # lines
CALLED_BY_A_LIBRARY = {"_prepare_formula"}
"""Methods that stand in the place of a library's own."""

ANY_LEFT = {
    "most", "least", "Demand.spec", "Value.value", "Part.end_a", "Part.end_b", "Job.get", "Report.line", "Report.buying", "Reading.known",
    "Sizes.__getitem__", "Inputs.__getitem__", "rows_of", "only", "bare", "View.__getitem__", "View.number", "View.half", "ViewedJob.get",
    "Pair.get",
}  # fmt: skip
"""Of model/ and engine/ what still may be anything where it is public; none may be added, and a typed one is struck out here."""

Imported = tuple[str, bool]
"""A module of ours, and whether it is imported inside a function."""


@cache
def files() -> tuple[Path, ...]:
    """Every module of the product."""
    return tuple(sorted(path for path in PRODUCT.rglob("*.py")))


@cache
def tree(path: Path) -> ast.Module:
    """A module's source as a tree."""
    return ast.parse(path.read_text("utf-8"))


def module_of(path: Path) -> str:
    """Its dotted name."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def modules() -> frozenset[str]:
    """Names of all modules of the product."""
    return frozenset(map(module_of, files()))


@cache
def imports(path: Path) -> tuple[Imported, ...]:
    """What a module imports of ours, also inside functions; what only the type checker sees is left out."""
    return tuple(_imports(tree(path), inside=False))


def _imports(node: ast.AST, inside: bool) -> Iterator[Imported]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.If) and isinstance(child.test, ast.Name) and child.test.id == "TYPE_CHECKING":
            continue
        if isinstance(child, ast.ImportFrom) and child.module and child.module.startswith("bomcheck"):
            for name in child.names:
                whole = f"{child.module}.{name.name}"
                yield (whole if whole in modules() else child.module), inside
        elif isinstance(child, ast.Import):
            yield from ((name.name, inside) for name in child.names if name.name.startswith("bomcheck"))
        else:
            yield from _imports(child, inside or isinstance(child, ast.FunctionDef))


def folder_of(module: str) -> str:
    """The first part of its name below the package."""
    return [*module.split("."), ""][1]


def floor_of(folder: str) -> int | None:
    """Its place in the order; None for what stands outside it."""
    return next((place for place, floor in enumerate(FLOORS) if folder in floor), None)


def test_every_folder_has_its_floor() -> None:
    """A new folder is written into FLOORS here and into the picture of DEVELOPERS.md."""
    folders = {folder_of(name) for name in modules()} - {"", "__main__"}
    assert folders == {name for floor in FLOORS for name in floor}


@pytest.mark.parametrize("path", files(), ids=module_of)
def test_imports_point_back(path: Path) -> None:
    """No module imports from a floor above its own, or from a neighbour on its own floor."""
    own = folder_of(module_of(path))
    floor = floor_of(own)
    if floor is None:
        return
    wrong = [name for name, _ in imports(path) if not _allowed(own, floor, folder_of(name))]
    assert not wrong, f"{module_of(path)} imports {wrong}"


def _allowed(own: str, floor: int, other: str) -> bool:
    there = floor_of(other)
    return other in ("", own) or (there is not None and there < floor)


def test_no_circle() -> None:
    """No module reaches itself by imports, those inside functions counted."""
    graph = {module_of(path): {name for name, _ in imports(path)} & modules() for path in files()}
    done: set[str] = set()
    for start in graph:
        _follow(start, graph, [], done)


def _follow(name: str, graph: dict[str, set[str]], way: list[str], done: set[str]) -> None:
    assert name not in way, f"a circle: {' -> '.join([*way[way.index(name) :], name])}"
    if name not in done:
        for other in sorted(graph[name] - {name}):
            _follow(other, graph, [*way, name], done)
        done.add(name)


def test_sizes_of_the_house() -> None:
    """Lines and files of the product in all."""
    lines = sum(len(path.read_text("utf-8").splitlines()) for path in files())
    more = "the house grows: join or shorten what is there, or, where the addition is worth it, raise"
    assert lines <= MOST_LINES, f"{more} MOST_LINES to {lines}"
    assert len(files()) <= MOST_FILES, f"{more} MOST_FILES to {len(files())}"


@pytest.mark.parametrize("path", files(), ids=module_of)
def test_sizes_of_a_room(path: Path) -> None:
    """No file above 400 lines, no function above 45."""
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST_FILE
    long = [
        f"{node.name}: {node.end_lineno - node.lineno + 1}"
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.end_lineno is not None
        and node.end_lineno - node.lineno + 1 > LONGEST_FUNCTION
    ]
    assert not long


def test_no_function_that_nothing_calls() -> None:
    """Each function of the product is named somewhere else in it: called, handed over, or written down by a decorator."""
    text = "\n".join(path.read_text("utf-8") for path in files())
    words: dict[str, int] = {}
    for word in re.findall(r"\w+", text):
        words[word] = words.get(word, 0) + 1
    idle = [
        node.name
        for path in files()
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef)
        and not node.decorator_list
        and not node.name.startswith("__")
        and words[node.name] < 2
    ]
    lost = sorted(set(idle) - CALLED_BY_A_LIBRARY)
    assert not lost, f"nothing in bomcheck/ calls {lost}: call it where it belongs, or take it out"


def reached(folder: str) -> set[str]:
    """The folders from which a folder imports."""
    of_folder = [path for path in files() if folder_of(module_of(path)) == folder]
    return {folder_of(name) for path in of_folder for name, _ in imports(path)} - {folder, ""}


def test_the_picture_is_true() -> None:
    """The picture in DEVELOPERS.md: at most 30 lines, every folder on its floor, behind each arrow what it really imports."""
    guide = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    picture = guide.split("## The house")[1].split("```")[1].strip("\n").splitlines()
    assert len(picture) <= 30
    found = [re.match(r"(\w+)(?:/|\.py) .*?(?:<- ([\w ]+))?$", line) for line in picture]
    shown = {one[1]: set((one[2] or "").split()) for one in found if one}
    assert list(shown) == sorted(shown, key=lambda name: floor_of(name) or 0), "folders in another order"
    assert shown == {name: reached(name) for floor in FLOORS for name in floor}


def _untyped(node: ast.Module | ast.ClassDef, before: str = "") -> Iterator[str]:
    """Public functions and fields of a module that take or give `Any`."""
    for child in node.body:
        name = getattr(child, "name", "") or getattr(getattr(child, "target", None), "id", "")
        if not name or (name.startswith("_") and not name.startswith("__")):
            continue
        if isinstance(child, ast.ClassDef):
            yield from _untyped(child, f"{name}.")
        elif isinstance(child, ast.FunctionDef):
            arguments = (*ast.walk(child.args), *(ast.walk(child.returns) if child.returns else ()))
            if any(_is_any(one) for one in arguments):
                yield before + name
        elif isinstance(child, ast.AnnAssign) and any(map(_is_any, ast.walk(child.annotation))):
            yield before + name


def _is_any(node: ast.AST) -> bool:
    quoted = isinstance(node, ast.Constant) and isinstance(node.value, str) and re.search(r"\bAny\b", node.value)
    return bool(quoted) or (isinstance(node, ast.Name) and node.id == "Any")


def test_what_is_public_says_its_type() -> None:
    """No `Any` in the public signatures and fields of model/ and engine/ but for those that are listed."""
    found = {
        name for path in files() if folder_of(module_of(path)) in ("model", "engine") for name in _untyped(tree(path))
    }
    assert found == ANY_LEFT
