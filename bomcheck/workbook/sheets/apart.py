"""Air between columns: texts that stand a little off the column before them."""

from collections.abc import Collection, Mapping
from dataclasses import replace

from bomcheck.workbook.sheets.page import Cell


def apart(cells: Mapping[int, Cell], columns: Collection[int]) -> dict[int, Cell]:
    """The cells of a row by column, those of `columns` indented."""
    return {
        column: replace(cell, looks=(*cell.looks, "indented")) if column in columns else cell
        for column, cell in cells.items()
    }
