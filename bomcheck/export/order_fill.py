"""Cells of rows that were added before, for a column that the list of columns named only afterwards."""

from collections.abc import Mapping, Sequence
from typing import Any

from bomcheck.export.order_known import Known
from bomcheck.export.order_mapping import TODAY, ColumnMap
from bomcheck.export.order_place import Place
from bomcheck.export.order_shown import SIZES, in_packs, pack_words, packed

Line = Mapping[str, Any]
Fills = dict[int, dict[int, Any]]


def fills(place: Place, mapping: ColumnMap, found: Known, lines: Sequence[Line]) -> Fills:
    """Value by row and column; only cells that are empty, of columns that no run has filled yet."""
    if mapping.written is None:
        return {}
    new = {n: name for n, name in place.columns.items() if name not in mapping.written and name != TODAY}
    before = ColumnMap(mapping.sheet, {name: name for name in mapping.written})
    wanted: Fills = {}
    for line in lines:
        at = [one for one in found.of(line) if one in found.row_of]
        row = found.row_of[at[0]] if len(at) == 1 else None
        if row is not None:
            as_then = _as_then(line, in_packs(before))
            cells = {n: as_then.get(name) for n, name in new.items() if n not in place.rows[row]}
            wanted[row] = {n: value for n, value in cells.items() if value not in (None, "")}
    return {row: cells for row, cells in wanted.items() if cells}


def _as_then(line: Line, by_pack: bool) -> Line:
    """A row that counts packs keeps counting packs: its unit is then the pack."""
    if not by_pack or packed(line) is line:
        return line
    unit, size = SIZES
    return {**packed(line), unit: pack_words(line), size: None}
