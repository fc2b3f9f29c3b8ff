"""The rows of Parts list and Quote by the words of their headings, and the sums that they must come to."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from tests.workbook.plain_cells import Plain, Sheet


@dataclass(frozen=True)
class Row:
    """name: first line of what stands in the first column. group: title above it. cells: by heading."""

    number: int
    name: str
    group: str
    cells: dict[str, Plain]

    def text(self, heading: str) -> str:
        return str(self.cells[heading].value) if heading in self.cells else ""

    def figure(self, heading: str) -> Decimal | None:
        """A number as it is written; None for an empty cell and for a text."""
        cell = self.cells.get(heading)
        return Decimal(str(cell.value)) if cell is not None and cell.kind == "number" else None

    def amount(self, heading: str) -> Decimal:
        """A number, 0 where there is none."""
        return self.figure(heading) or Decimal(0)

    def alone(self, heading: str) -> bool:
        """Whether its formula looks at nothing but its own row."""
        formula = self.cells[heading].formula or ""
        return {int(one) for one in re.findall(r"[A-Z](\d+)\b", formula)} <= {self.number}


def named_rows(sheet: Sheet) -> list[Row]:
    """The rows below the headings, without the titles of groups."""
    head = next(row for (row, _), cell in sorted(sheet.items(), key=lambda one: one[0][0]) if cell.value == "Line")
    names = {column: str(cell.value) for (row, column), cell in sheet.items() if row == head}
    rows: dict[int, dict[str, Plain]] = {}
    for (row, column), cell in sheet.items():
        if row > head and column in names:
            rows.setdefault(row, {})[names[column]] = cell
    found, group, first = [], "", names["A"]
    for number, cells in sorted(rows.items()):
        if cells.keys() == {first}:
            group = str(cells[first].value)
        else:
            name = str(cells[first].value).split("\n")[0] if first in cells else ""
            found.append(Row(number, name, group, cells))
    return found


def cents(value: Decimal) -> Decimal:
    """Rounded as a spreadsheet does."""
    return value.quantize(Decimal("0.01"), ROUND_HALF_UP)
