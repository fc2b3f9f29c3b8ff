"""A table sheet described once: its columns by name, with heading, width, kind, and who fills them in."""

from collections.abc import Iterator, Mapping
from functools import cached_property

from bomcheck.io.sheets.page import Cell, address
from bomcheck.model.records import dataclass
from bomcheck.tables import rows

FIGURE_KINDS = ("figure", "money")


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    name: in code, and in the JSON where it stands there. heading: in the sheet. width [characters]. kind: "text",
    "small", "figure", "money", or "key" for the line's name that nobody reads. typed: yellow, the shop fills it in and it is
    kept. formula: how a row is reckoned, other columns of the same row by name in braces, "" for none. shown: number
    format. printed: whether it goes on paper; those that do not stand to the right of all that do. order: name of the
    field in order files, "" where it does not go there.
    """

    name: str
    heading: str
    width: float
    kind: str = "text"
    typed: bool = False
    formula: str = ""
    shown: str = ""
    printed: bool = True
    order: str = ""


def columns_of(sheet: str) -> "Table":
    """The columns of one sheet of `sheet_columns.txt`."""
    of = (row for row in rows("sheet_columns") if row["sheet"] == sheet)
    return Table(tuple(map(_column, of)))


def _column(row: Mapping[str, str]) -> Column:
    kind, printed = row["kind"] or "text", not row["unprinted"]
    return Column(row["name"], row["heading"], float(row["width"]), kind, bool(row["typed"]), "", row["shown"], printed)


@dataclass(frozen=True)
class Table:
    """The columns of a sheet from the left."""

    columns: tuple[Column, ...]

    def __iter__(self) -> Iterator[Column]:
        return iter(self.columns)

    @cached_property
    def _places(self) -> dict[str, int]:
        return {column.name: place for place, column in enumerate(self.columns)}

    def __getitem__(self, name: str) -> int:
        """Where a column stands, 0-based."""
        return self._places[name]

    @property
    def widths(self) -> tuple[float, ...]:
        """In characters."""
        return tuple(column.width for column in self.columns)

    @property
    def headings(self) -> tuple[str, ...]:
        """From the left."""
        return tuple(column.heading for column in self.columns)

    @property
    def figures(self) -> frozenset[int]:
        """Where figures stand, whose headings stand to the right."""
        return frozenset(place for place, column in enumerate(self.columns) if column.kind in FIGURE_KINDS)

    @property
    def printed(self) -> int:
        """How many columns go on paper."""
        return sum(column.printed for column in self.columns)

    @property
    def typed(self) -> tuple[Column, ...]:
        """Those that the shop fills in."""
        return tuple(column for column in self.columns if column.typed)

    def at(self, name: str, row: int) -> str:
        """Address of a column's cell in a row, both 0-based."""
        return address(row, self[name])

    def formula(self, name: str, row: int) -> str:
        """The column's formula in this row."""
        places = {column.name: self.at(column.name, row) for column in self.columns}
        return self.columns[self[name]].formula.format_map(places)

    def cell(self, name: str, value: str | float | None, row: int | None = None, *looks: str, shown: str = "") -> Cell:
        """A cell in the column's look. row: of a column with a formula, which `value` is the outcome of."""
        column = self.columns[self[name]]
        formula = self.formula(name, row) if column.formula and row is not None else ""
        return Cell(value, (*_look(column, value), *looks), formula=formula, shown=shown or column.shown)

    def row(self, **cells: Cell | str | float | None) -> dict[int, Cell]:
        """A row by name; plain values become cells in the look of their column."""
        return {
            self[name]: value if isinstance(value, Cell) else self.cell(name, value) for name, value in cells.items()
        }


def _look(column: Column, value: str | float | None) -> tuple[str, ...]:
    if column.typed:
        return ("input figure",) if isinstance(value, int | float) else ("input",)
    if column.kind == "key":
        return ("key",)
    if column.kind == "money":
        return ("cell", "money")
    return ("cell", "right") if column.kind == "figure" else ("cell", "small") if column.kind == "small" else ("cell",)
