"""What one sheet yields: values, values that may not be used, and faults, each with its cell."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field

from bomcheck.io.cells import Cell
from bomcheck.io.layout import split_heading
from bomcheck.io.xml import column_letters
from bomcheck.model.errors import Fault, Place, Unreadable
from bomcheck.model.job import Value
from bomcheck.model.records import dataclass
from bomcheck.notation.text import short
from bomcheck.tables.fields import find_label


@dataclass(frozen=True, slots=True)
class Context:
    """What the whole workbook says: system "metric", "inch" or "" where the Job sheet does not tell; currency or ""."""

    file: str
    system: str = ""
    currency: str = ""


@dataclass(slots=True)
class Found:
    """values: by field key. rejected: keys that were typed but may not be used, with the fault. faults: in reading order.
    blank: cell of each field that says nothing."""

    file: str
    sheet: str
    values: dict[str, Value] = field(default_factory=dict)
    rejected: dict[str, Fault] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    blank: dict[str, Place] = field(default_factory=dict)

    def place(self, cell: str) -> Place:
        """A cell of this sheet."""
        return Place(self.file, self.sheet, cell)

    def fault(
        self, kind: str, cell: str, typed: str, wrong: str, instead: str, key: str = "", stops: bool = True
    ) -> Fault:
        """Writes down what is wrong with a cell of this sheet."""
        made = Fault(kind, self.place(cell), short(typed), wrong, instead, key, stops)
        self.faults.append(made)
        return made

    def remark(self, kind: str, cell: str, typed: str, wrong: str, instead: str, key: str = "") -> Fault:
        """Writes down that something is not used, or looks odd; nothing has to be corrected."""
        return self.fault(kind, cell, typed, wrong, instead, key, stops=False)

    def refuse(self, cell: str, typed: str, bad: Unreadable, key: str) -> Fault:
        """Writes down what the cell grammar cannot take; a field's value is rejected."""
        made = self.fault(bad.kind, cell, typed, bad.wrong, bad.instead, key)
        self.hold([key], made)
        return made

    def hold(self, keys: Iterable[str], fault: Fault) -> None:
        """These fields were typed but may not be used."""
        for key in keys:
            self.values.pop(key, None)
            self.rejected[key] = fault

    def over(self, other: "Found") -> None:
        """What `other` says takes the place of what stands here; all faults are kept."""
        for key in (*other.values, *other.rejected):
            self.values.pop(key, None)
            self.rejected.pop(key, None)
        self.values.update(other.values)
        self.rejected.update(other.rejected)
        self.faults.extend(other.faults)
        self.blank = other.blank | self.blank


ROWS_ABOVE = 20
"""Rows from the top in which the headings are looked for."""
NEAR_ENOUGH = 0.6
Rows = dict[int, dict[int, Cell]]


@dataclass(frozen=True, slots=True)
class Headings:
    """The headings of a kind of sheet.

    name_of: a heading's text to the name of its column, None for one that is not ours. shown: the text that each column
    should have. needed: columns without which nothing can be read.
    """

    name_of: Callable[[str], str | None]
    shown: Mapping[str, str]
    needed: tuple[str, ...]


def column_named(section: str) -> Callable[[str], str | None]:
    """From a heading to the field of a section that it names."""
    return lambda text: getattr(find_label(split_heading(text)[0], section), "key", None)


@dataclass(frozen=True, slots=True)
class Grid:
    """columns: number from 1, by name. headings: their cells, by name. rows: what stands below, by row and column."""

    columns: dict[str, int]
    headings: dict[str, Cell]
    rows: Rows

    def cell(self, row: int, name: str) -> Cell | None:
        """The cell of a row in the column of that name."""
        return self.rows[row].get(self.columns.get(name, 0))

    def address(self, row: int, name: str) -> str:
        """Address of a cell, empty or not."""
        return f"{column_letters(self.columns[name])}{row}"


def read_grid(found: Found, cells: Mapping[str, Cell], headings: Headings) -> Grid | None:
    """The sheet under its headings; None, with the fault written down, where they are not there."""
    rows = _rows(cells)
    top = _heading_row(rows, headings)
    if top is None:
        if rows:
            _no_headings(found, headings)
        return None
    below = {number: rows[number] for number in sorted(rows) if number > top}
    filled = {column for row in below.values() for column in row}
    columns = _columns(found, rows[top], filled, headings)
    missing = [name for name in headings.shown if name not in columns]
    grid = Grid(columns, {name: rows[top][column] for name, column in columns.items()}, below)
    strays = sorted(filled - set(columns.values()))
    if any(name in missing for name in headings.needed):
        _needed_missing(found, rows[top], missing, headings, bool(below))
        return None
    for column in strays:
        heading, lacking = rows[top].get(column), {name: headings.shown[name] for name in missing}
        sides = [[name for name, at in columns.items() if (at > column) == right] for right in (False, True)]
        gone = between(list(headings.shown), *sides) if heading is None else ""
        if gone in lacking:
            at = f"{column_letters(column)}{top}"
            wrong = f'the heading "{lacking[gone]}" is missing here, so the column below it was not read'
            found.fault("heading missing", at, "", wrong, "Type it again")
        else:
            _stray(found, heading, column, below, lacking)
    return grid


def between(order: Sequence[str], before: Iterable[str], behind: Iterable[str]) -> str:
    """What must have stood between two neighbours, in the template's order; "" where more than one or nothing did.

    >>> between(["role", "supplier", "unit"], ["role"], ["unit"]), between(["role", "unit"], ["role"], ["unit"])
    ('supplier', '')
    """
    left = max((order.index(name) for name in before if name in order), default=-2)
    right = min((order.index(name) for name in behind if name in order), default=-2)
    return order[left + 1] if right - left == 2 else ""


def _rows(cells: Mapping[str, Cell]) -> Rows:
    rows: Rows = {}
    for cell in cells.values():
        if cell.kind != "text" or not cell.text.isspace():
            rows.setdefault(cell.row, {})[cell.column] = cell
    return rows


def _heading_row(rows: Rows, headings: Headings) -> int | None:
    """The row near the top with the most headings of ours, at least two."""
    near_top = [number for number in sorted(rows) if number <= ROWS_ABOVE]
    counts = {number: sum(headings.name_of(c.text) is not None for c in rows[number].values()) for number in near_top}
    best = max(counts, key=lambda number: counts[number], default=None)
    return best if best is not None and counts[best] >= min(2, len(headings.shown)) else None


def _no_headings(found: Found, headings: Headings) -> None:
    names = ", ".join(headings.shown.values())
    found.fault(
        "heading missing", "", "", "its row of headings is missing, so nothing on it was read",
        f"Put them back as in a new template: {names}",
    )  # fmt: skip


def _columns(found: Found, row: dict[int, Cell], filled: set[int], headings: Headings) -> dict[str, int]:
    """Number of each column by its name. Of two with one heading the one in use counts; if both are, neither."""
    same: dict[str, list[int]] = {}
    for column, cell in sorted(row.items()):
        name = headings.name_of(cell.text)
        if name is not None:
            same.setdefault(name, []).append(column)
    columns = {}
    for name, numbers in same.items():
        used = [number for number in numbers if number in filled] or numbers[:1]
        columns[name] = used[0]
        if len(used) > 1:
            del columns[name]
            _heading_twice(found, row[used[0]], row[used[1]])
    return columns


def _heading_twice(found: Found, first: Cell, second: Cell) -> None:
    wrong = f"two columns with this heading are filled in, at {first.address} and {second.address}; neither is used"
    found.fault("label used twice", first.address, first.text, wrong, "Delete or rename one of the two")


def _needed_missing(found: Found, row: dict[int, Cell], missing: list[str], headings: Headings, has_rows: bool) -> None:
    name = next(name for name in headings.needed if name in missing)
    if not has_rows or any(fault.kind == "label used twice" for fault in found.faults):
        return
    shown = headings.shown[name]
    strange = [cell for cell in row.values() if headings.name_of(cell.text) is None]
    meant = next((cell for cell in strange if _near(cell.text, [shown])), None)
    place, typed = (meant.address, meant.text) if meant else ("", "")
    wrong = f'the heading "{shown}" is missing, so nothing on this sheet was read'
    instead = f'Did you mean "{shown}"? Type it so' if meant else "Put it back above its column"
    found.fault("heading missing", place, typed, wrong, instead)


def _stray(found: Found, heading: Cell | None, column: int, below: Rows, missing: Mapping[str, str]) -> None:
    """Says that a column is not used, and what its heading probably should be."""
    cells = [row[column] for row in below.values() if column in row]
    where = cells[0].address if len(cells) == 1 else f"{cells[0].address}:{cells[-1].address}"
    near = _near(heading.text, list(missing.values())) if heading else None
    typed = heading.text if heading else cells[0].text
    what = "this column has a heading that is not known here" if heading else "this column has no heading"
    if near and heading:
        wrong = f"{what}; {where} is not used"
        found.fault("unknown label", heading.address, typed, wrong, f'Did you mean "{near}"? Type it so')
    else:
        found.remark("unknown label", where, typed, f"{what}; it is not used", "Nothing to do if it is your own note")


def _near(text: str, shown: list[str]) -> str | None:
    from difflib import get_close_matches

    lowered, words = {name.lower(): name for name in shown}, set(text.lower().split())
    if len(within := [name for name in shown if words and words <= set(name.lower().split())]) == 1:
        return within[0]
    near = get_close_matches(text.strip().lower(), lowered, 1, NEAR_ENOUGH)
    return lowered[near[0]] if near else None
