"""Price lines of another file, put into a job's own Price list: each once, and nothing that stands there is changed."""

from collections.abc import Iterator, Mapping
from dataclasses import field
from pathlib import Path
from typing import Any

from bomcheck.io.cells import Cell
from bomcheck.io.disk import only_writer, require_free
from bomcheck.io.layout import PRICES
from bomcheck.io.mark import marked_sheets
from bomcheck.io.order.append import Spreadsheet
from bomcheck.io.order.columns import ColumnMap
from bomcheck.io.package import Package, open_package
from bomcheck.io.read.found import Context, Found, Grid, read_grid
from bomcheck.io.read.job import context_of, read_job
from bomcheck.io.read.tables import ATTRIBUTES, columns_of, headings, read_table
from bomcheck.io.receive.slip import rows_from_text
from bomcheck.io.records.tables import PRICE_LINE, kind_of
from bomcheck.io.refusal import refuse
from bomcheck.io.replace_file import write_files
from bomcheck.io.xml import column_letters
from bomcheck.model.job import Part
from bomcheck.model.records import dataclass
from bomcheck.model.types import LineEnd, Thread
from bomcheck.notation import units

NOT_TYPED = {("side", "either"), ("unit", "each")}
UNITS_ROW = 2  # of the shop's records


@dataclass
class Added:
    """lines: how many went in. said: what differs from a line that is there, or could not be read, a sentence each."""

    lines: int = 0
    said: list[str] = field(default_factory=list)


def add_prices(job: Path, source: Path) -> Added:
    """Puts the price lines of `source`, a .csv, a job or the shop's records, into the Price list of the workbook `job`.

    Raises WorkbookError where one of the two cannot be read or written; the job is then unchanged.
    """
    with only_writer(job):
        require_free(job)
        there = read_job(job)[0]
        book = Spreadsheet(job)
        parts, said = price_lines(source, str(there.get("units") or ""))
        added, lines = Added(said=said), list[dict[str, Any]]()
        tab, context, grid = _price_list(book.package)
        for part in parts:
            old = next((one for one in there.prices if same_line(one, part)), None)
            if old is None:
                lines.append(dict(_cells(part, columns_of(Found(context.file, tab), context, grid))))
            elif old.unit_price != part.unit_price:
                said.append(
                    f"{part.part_number or part.role}: the job says {_price(old)}, {source.name} {_price(part)}; "
                    f"the job's line stays. Change it in {old.place.sheet}!{old.place.cell} and beside it if it is out of date."
                )
        if lines:
            wanted = {cell.text: key for key, cell in grid.headings.items()}
            place = book.place(ColumnMap(tab, wanted))
            write_files(book.draft(place, lines, {}))
        added.lines = len(lines)
        return added


def same_line(one: Part, other: Part) -> bool:
    """Whether two price lines are of one thing of one supplier; without a part number by all that they say but the price."""
    if not one.part_number and one.description != other.description:
        return False
    return all(_plain(getattr(one, key)) == _plain(getattr(other, key)) for key in PRICE_LINE)


def _plain(text: object) -> str:
    return " ".join(str(text or "").casefold().split())


def _price(part: Part) -> str:
    return "no price" if part.unit_price is None else f"{part.unit_price:g}"


def price_lines(source: Path, system: str) -> tuple[list[Part], list[str]]:
    """The lines of a file, and what of it could not be read. system: in which bare lengths are meant, "metric" or "inch".

    Raises WorkbookError where it has no price lines.
    """
    if source.suffix.lower() in (".csv", ".txt", ".tsv"):
        found, context = Found(source.name, ""), Context(source.name, system)
        cells = _cells_of_text(source)
    else:
        package = open_package(source)
        records = marked_sheets(package).get(kind_of(PRICES))
        tab = records or next((one for one in package.sheet_names if one.casefold() == PRICES.casefold()), "")
        if not tab:
            wrong = f'it has no sheet "{PRICES}"'
            raise refuse("sheet missing", source.name, wrong, "Give a .csv, a job workbook or the shop's records")
        found, context = Found(source.name, tab), Context(source.name, "metric") if records else context_of(package)
        cells = package.cells(tab)
        if records:
            cells = {at: cell for at, cell in cells.items() if cell.row != UNITS_ROW}
    lines = read_table(found, context, PRICES, cells)
    if not lines:
        wrong = "no price line could be read in it"
        heads = "Its first row must have the headings of a Price list, Role among them"
        first = min(found.faults, key=lambda fault: fault.kind == "unknown label", default=None)
        raise refuse("nothing filled in", source.name, wrong, str(first).removesuffix(".") if first else heads)
    return [line.part for line in lines], [str(fault) for fault in found.faults]


def _cells_of_text(source: Path) -> dict[str, Cell]:
    made = {}
    for number, (_, texts) in enumerate(rows_from_text(source, "price list"), start=1):
        for column, text in enumerate(texts, start=1):
            if text:
                address = f"{column_letters(column)}{number}"
                made[address] = Cell(address, number, column, "text", text, text)
    return made


def _price_list(package: Package) -> tuple[str, Context, Grid]:
    """The job's own sheet, what its bare figures are in, and its headings. Raises WorkbookError."""
    tab = next((one for one in package.sheet_names if one.casefold() == PRICES.casefold()), "")
    found = Found(package.file, tab)
    grid = read_grid(found, package.cells(tab), headings(PRICES)) if tab else None
    if grid is None:
        wrong = f'it has no sheet "{PRICES}" with its headings'
        raise refuse("sheet missing", package.file, wrong, "Copy the sheet from a new job made with `bomcheck new`")
    return tab, context_of(package), grid


def _cells(part: Part, columns: Mapping[int, Any]) -> Iterator[tuple[str, Any]]:
    for column in columns.values():
        key = column.field.key
        value = getattr(part, ATTRIBUTES.get(key, key), None)
        if value in (None, "") or (key, value) in NOT_TYPED:
            continue
        if isinstance(value, Thread | LineEnd):
            value = value.name
        elif isinstance(value, float) and column.unit is not None and column.inside is not None:
            value = round(units.convert(value, column.inside, column.unit), 6)
        yield key, value
