"""What stands in one place of a table: a text, a figure, or a workbook's cell where it is neither."""

import re
from typing import Any

import numpy as np

from bomcheck.engine.many.columns import Column, coded
from bomcheck.engine.many.lanes import Array
from bomcheck.io.cells import Cell
from bomcheck.io.read.field_cells import read_plus_minus
from bomcheck.io.read.plausible import refuse_implausible
from bomcheck.io.read.value import WITH_UNIT, own_unit, read_value, refuse_bare, says_nothing, text_of
from bomcheck.model.errors import Unreadable
from bomcheck.model.records import dataclass
from bomcheck.notation import units
from bomcheck.screen.grids import Entries, as_cell, listed, types_of
from bomcheck.screen.headings import Heading, Troubles
from bomcheck.tables.fields import Field

PLAIN_FIGURES = re.compile(r"[\d.\-\n]*", re.ASCII)
FIGURES = ("number", "count")


def plain_figures(
    one: Field, entries: Entries, halves: Entries | None, beside: str | None, half_unit: str | None
) -> Column | None:
    """The column, its ± from a column of its own or the usual one; None where it must be read entry by entry."""
    if one.notation not in FIGURES or (one.notation == "number" and beside is None and one.unit not in ("", "-")):
        return None
    values, spans = figures(entries), None if halves is None else figures(halves)
    if values is None or (halves is not None and spans is None):
        return None
    values = converted(values, beside, one.unit)
    known = ~np.isnan(values)
    plus_minus = np.where(known, one.plus_minus, 0.0)
    if spans is not None:
        spans = converted(spans, half_unit, one.unit)
        given = ~np.isnan(spans)
        if np.any(spans < 0) or np.any(given & ~known) or _too_wide(one, spans):
            return None
        plus_minus = np.where(given, spans, plus_minus)
    if not _plausible(one, values[known]):
        return None
    return Column(known, plus_minus, np.where(known, values, 0.0), whole=one.notation == "count")


def figures(entries: Entries) -> Array | None:
    """Plain decimal figures, NaN for blanks; None where something else stands among them."""
    if isinstance(entries, np.ndarray):
        return None if np.isinf(entries).any() else entries
    if types_of(entries) - {str, float}:
        return None
    different = set(entries)
    texts = [entry for entry in different if isinstance(entry, str)]
    if not PLAIN_FIGURES.fullmatch("\n".join(texts)):
        return None
    try:
        table = {entry: float(entry or "nan") if isinstance(entry, str) else entry for entry in different}
    except ValueError:
        return None
    return np.fromiter(map(table.__getitem__, entries), dtype=float, count=len(entries))


def converted(values: Array, beside: str | None, unit: str) -> Array:
    """Figures in the internal unit; each different one is reckoned once."""
    inside = units.named(unit)
    typed = units.find(beside, inside.quantity) if beside and inside else None
    if typed is None or inside is None or typed == inside:
        return values
    different, which = np.unique(values, return_inverse=True)
    turned = (value if np.isnan(value) else units.convert(value, typed, inside) for value in different.tolist())
    found: Array = np.fromiter(turned, dtype=float, count=len(different))[which.reshape(values.shape)]
    return found


def _plausible(one: Field, values: Array) -> bool:
    if one.notation == "count" and (np.any(values < 0) or np.any(values != np.floor(values))):
        return False
    if one.low is None or one.high is None or not len(values):
        return one.unit != "%"
    return bool(values.min() >= one.low and values.max() <= one.high)


def _too_wide(one: Field, spans: Array) -> bool:
    if one.low is None or one.high is None:
        return False
    return bool(np.any(spans > (one.high - one.low) / 2))


DIGIT = re.compile(r"[0-9]")  # no text that says that nothing is known has one


@dataclass(frozen=True)
class BadHalf:
    """A ± that cannot be read, beside a size that can."""

    bad: Unreadable


class ByEntry:
    """One column being read. beside: the unit of its bare figures. half_unit: of those of its ±. half_text: its heading."""

    def __init__(
        self, heading: Heading, troubles: Troubles, beside: str | None, half_unit: str | None, half_text: str = ""
    ) -> None:
        self.heading, self.field, self.troubles = heading, heading.field, troubles
        self.beside, self.half_unit, self.half_text = beside, half_unit, half_text

    def column(self, entries: Entries, halves: Entries | None) -> Column:
        """The values; a row with an unreadable entry is left out and named."""
        if halves is None and types_of(entries) == {str}:
            return self._texts([str(entry) for entry in entries])
        entries, halves = listed(entries), None if halves is None else listed(halves)
        known, plus_minus = np.zeros(len(entries), dtype=bool), np.zeros(len(entries))
        values: list[Any] = [None] * len(entries)
        memo: dict[Any, Any] = {}
        for row, entry in enumerate(entries):
            cell, half = as_cell(entry), None if halves is None else as_cell(halves[row])
            if cell is None:
                self._refuse_lone(row, half)
                continue
            mark = (cell.kind, cell.text, None if half is None else (half.kind, half.text))
            if mark not in memo:
                memo[mark] = self._read(cell, half)
            found = memo[mark]
            if isinstance(found, BadHalf):
                self._refuse(row, half.text if half else "", found.bad, self.half_text)
            elif isinstance(found, Unreadable):
                self._refuse(row, cell.text, found)
            elif found is not None:
                known[row], (values[row], plus_minus[row]) = True, found
        return _packed(self.field, known, plus_minus, values)

    def _refuse(self, row: int, typed: str, bad: Unreadable, heading: str = "") -> None:
        heading = heading or self.heading.text
        self.troubles.row(row, heading, typed, bad.kind, bad.wrong, bad.instead, self.field.key)

    def _refuse_lone(self, row: int, half: Cell | None) -> None:
        """A ± without its size."""
        if half is not None and not says_nothing(half):
            wrong, instead = "this ± stands beside no size", "Type the size, or clear the ±"
            self.troubles.row(row, self.half_text, half.text, "part of it missing", wrong, instead)

    def _texts(self, texts: list[str]) -> Column:
        """A column of texts: each different one is read once."""
        places = {text: place for place, text in enumerate(dict.fromkeys(texts))}
        which = np.fromiter(map(places.__getitem__, texts), dtype=np.intp, count=len(texts))
        cells = (as_cell(text) for text in places)
        found = [None if cell is None else self._read(cell, None) for cell in cells]
        for place, one in enumerate(found):
            if isinstance(one, Unreadable):
                for row in np.flatnonzero(which == place).tolist():
                    self._refuse(row, texts[row].strip(), one)
                found[place] = None
        known = np.array([one is not None for one in found], dtype=bool)
        plus_minus = np.array([0.0 if one is None else one[1] for one in found])
        values = [None if one is None else one[0] for one in found]
        return _packed(self.field, known, plus_minus, values).take(which)

    def _read(self, cell: Cell, half: Cell | None) -> Any:
        """(value, ±) of one cell; None for a blank; the trouble itself where it cannot be read."""
        one = self.field
        try:
            named = one.notation == "text" and cell.kind == "text"
            if not (named and DIGIT.search(cell.text)) and says_nothing(cell):
                return None
            if named:
                return text_of(one, cell), 0.0
            unit = self.beside
            if one.notation in WITH_UNIT:
                refuse_bare(one, cell, self.beside)
                unit = own_unit(cell, one.unit) or self.beside
            value = read_value(one, cell, self.beside)
            if value is None:
                return None
            refuse_implausible(one, value, cell.text, unit, "")
        except Unreadable as bad:
            return bad
        try:
            return value, read_plus_minus(one, value, cell, half, self.half_unit)[0]
        except Unreadable as bad:
            return BadHalf(bad)


def _packed(one: Field, known: Array, plus_minus: Array, values: list[Any]) -> Column:
    if one.notation in FIGURES:
        sizes = np.array([0.0 if value is None else float(value) for value in values])
        return Column(known, plus_minus, sizes, whole=one.notation == "count")
    codes, objects = coded(values, known)
    return Column(known, plus_minus, codes=codes, objects=objects)
