"""A shop's own CSV of orders, with its own headings: its divider, its decimal sign, its letters and line ends are kept."""

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from bomcheck.io.cells import Cell
from bomcheck.io.disk import read_ordinary
from bomcheck.io.order.columns import COUNTS, NAMES, ColumnMap, propose
from bomcheck.io.order.csv_file import LARGEST, Dialect, dialect_of, safe_text
from bomcheck.io.order.place import HEADINGS_WITHIN, LEAST_HEADINGS, Place, found_columns
from bomcheck.io.package import Rows
from bomcheck.io.refusal import refuse
from bomcheck.io.replace_file import Draft
from bomcheck.io.xml import column_letters
from bomcheck.model.records import dataclass


@dataclass
class CsvBook:
    """A CSV file. data: as it was read. rows: its filled cells by row and column."""

    path: Path

    def __post_init__(self) -> None:
        self.data = read_ordinary(self.path, LARGEST, "a CSV")
        self.dialect: Dialect = dialect_of(self.path.name, self.data)
        self.rows: Rows = {}
        self.width: dict[int, int] = {}
        try:
            text = io.StringIO(self.dialect.text, newline="")
            records = list(csv.reader(text, delimiter=self.dialect.delimiter, strict=True))
        except csv.Error:
            raise refuse("damaged", self.path.name, "this is no sound CSV", "Save it again as CSV") from None
        for number, fields in enumerate(records, 1):
            self.width[number] = len(fields)
            cells = {n: self._cell(number, n, text.strip()) for n, text in enumerate(fields, 1) if text.strip()}
            if cells:
                self.rows[number] = cells

    def _cell(self, row: int, column: int, text: str) -> Cell:
        number = self.dialect.number(text)
        kind = "text" if number is None or (text.startswith("0") and text != "0") else "number"
        return Cell(f"{column_letters(column)}{row}", row, column, kind, text if number is None else number, text)

    def proposals(self, given: Mapping[str, str]) -> list[ColumnMap]:
        """One, for the row of headings that is understood best."""
        rows = [sorted(self.rows[row].items()) for row in sorted(self.rows) if row <= HEADINGS_WITHIN]
        found = [ColumnMap("", propose([cell.text for _, cell in row], given)) for row in rows]
        best = max(found, key=lambda one: len(one.columns), default=None)
        if best is None or len(best.columns) < LEAST_HEADINGS or not (best.has(NAMES) and best.has(COUNTS)):
            wrong = "there is another CSV of this name, in which no headings of orders were found"
            raise refuse(
                "file",
                self.path.name,
                wrong,
                "Give another name, or its columns headings such as Part number, Quantity",
            )
        return [best]

    def newer(self, mapping: ColumnMap) -> str:
        """A CSV has no sheets."""
        return ""

    def place(self, mapping: ColumnMap) -> Place:
        """Raises WorkbookError where a column is gone."""
        heading, columns = found_columns(self.path, self.rows, mapping)
        return Place("", "", heading, max(self.width), columns, self.rows, heading + 1)

    def elsewhere(self, mapping: ColumnMap) -> list[Rows]:
        """A CSV has no sheets."""
        return []

    def notes(self) -> list[str]:
        """Nothing is worked out in a CSV."""
        return []

    def draft(self, place: Place, lines: Sequence[Mapping[str, Any]], more: Mapping[int, Mapping[int, Any]]) -> Draft:
        """The lines behind the last one; what is there stays byte for byte."""
        end = self.dialect.newline
        width = self.width.get(place.heading, max(place.columns))
        new = ["" if self.dialect.text.endswith(("\n", "\r")) or not self.dialect.text else end]
        for line in lines:
            fields = [self._field(line.get(place.columns.get(n, ""))) for n in range(1, width + 1)]
            new.append(self.dialect.delimiter.join(fields) + end)
        added = "".join(new).encode(self.dialect.encoding, "replace")
        return Draft(self.path, [self.data, added], self.data)

    def _field(self, value: Any) -> str:
        if value is None or value == "":
            return ""
        if isinstance(value, date):
            return value.isoformat()
        if isinstance(value, int | float):
            return f"{value:.15g}".replace(".", self.dialect.decimal)
        text = safe_text(str(value))
        quoted = any(sign in text for sign in (self.dialect.delimiter, '"', "\n", "\r"))
        return '"' + text.replace('"', '""') + '"' if quoted else text
