"""New lines into the shop's own ordering file, a spreadsheet or a CSV: once, in its own formats, its totals kept below."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from bomcheck.io.disk import hard_link_note, mark_of, only_writer, read_ordinary, require_free
from bomcheck.io.mark import calculation_edits, is_from_libreoffice
from bomcheck.io.order import columns, known
from bomcheck.io.order.cells import edited_parts
from bomcheck.io.order.csv_file import LARGEST, owner_of
from bomcheck.io.order.place import Place, candidates, find_place, left_blank, newer, require_useful
from bomcheck.io.package import Package, Rows, cells_by_row, open_package
from bomcheck.io.refusal import refuse
from bomcheck.io.replace_file import Draft, write_file, write_files
from bomcheck.io.splice import SIGNATURES, Changes, assemble, verify
from bomcheck.model.errors import WorkbookError
from bomcheck.paper.order_rows import in_all, open_rows

if TYPE_CHECKING:
    from bomcheck.io.order.csv_shop import CsvBook

Line = Mapping[str, Any]
Confirm = Callable[[list[str]], bool]
SUMS = "Sums of your own elsewhere take these lines in once all is calculated anew: Ctrl+Alt+F9, in LibreOffice Ctrl+Shift+F9"


OrderBook: TypeAlias = "Spreadsheet | CsvBook"
"""A file that holds the shop's orders."""


class Spreadsheet:
    """An ordering workbook."""

    def __init__(self, path: Path) -> None:
        self.package: Package = open_package(path)
        self.path, self.data = path, self.package.data
        if any(name.startswith(SIGNATURES) for name in self.package.archive.members):
            wrong = "it is digitally signed, and a change would break the signature"
            raise refuse("file", self.package.file, wrong, "Take the signature off or give another name")

    def proposals(self, given: Mapping[str, str]) -> list[columns.ColumnMap]:
        """One for each sheet whose headings are understood best."""
        return candidates(self.package, given)

    def newer(self, mapping: columns.ColumnMap) -> str:
        """Same headings, later year."""
        return newer(self.package, mapping)

    def place(self, mapping: columns.ColumnMap) -> Place:
        """Raises WorkbookError where a column is gone."""
        return find_place(self.package, mapping)

    def elsewhere(self, mapping: columns.ColumnMap) -> list[Rows]:
        """Their rows; one that cannot be read tells nothing."""
        found = []
        for sheet in self.package.sheets:
            if sheet.name != mapping.sheet:
                with suppress(WorkbookError):
                    found.append(cells_by_row(self.package.cells(sheet.name)))
        return found

    def notes(self) -> list[str]:
        """Where its programs do not work everything out anew by themselves."""
        return [SUMS] if is_from_libreoffice(self.package) or calculation_edits(self.package) else []

    def draft(self, place: Place, lines: Sequence[Line], more: known.Fills) -> Draft:
        """Parts that nothing changes are copied as they are."""
        package = self.package
        made = Changes(edited_parts(package, place, lines, more), {}, frozenset(), (place.name,))
        return Draft(
            self.path,
            assemble(package.archive, made),
            package.data,
            verify=lambda data: verify(package, made, self.path, data),
        )


def append_rows(
    book: Path, lines: Sequence[Line], job_file: str = "", today: date | None = None, job: Line | None = None,
    confirm: Confirm | None = None, sheet: str = "",
) -> tuple[list[str], list[str]]:  # fmt: skip
    """Add the lines that are not there yet; returns (what to tell, remarks). Raises WorkbookError; nothing is then written.

    job_file: name of the job workbook, for messages. today: for a column that takes the day; None: the real one. job:
    job_number, axle and vehicle_label, where there may be no line; None: those of the first line. confirm: is shown what
    goes into which column where the shop has not settled that yet, and says whether it is right; None: it is. sheet: name of
    the one to order into, "" for the one of earlier runs.
    """
    with only_writer(book, columns.mapping_file(book)):
        require_free(book)
        require_free(columns.mapping_file(book))
        job = job or (lines[0] if lines else {})
        if any(not line["job_number"] for line in [*lines, *([job] if job else [])]):
            wrong = "the job has no number, and without one a second run could not know its own lines again"
            raise refuse("part of it missing", job_file, wrong, "Type one on the Job sheet", sheet="Job")
        return _append(_opened(book), lines, today or date.today(), job, confirm or (lambda _: True), sheet)


def _opened(book: Path) -> OrderBook:
    if book.suffix.lower() != ".csv":
        return Spreadsheet(book)
    from bomcheck.io.order.csv_shop import CsvBook

    return CsvBook(book)


def _append(
    book: OrderBook, lines: Sequence[Line], today: date, job: Line, confirm: Confirm, sheet: str
) -> tuple[list[str], list[str]]:
    name, small = book.path.name, columns.mapping_file(book.path)
    listed = read_ordinary(small, LARGEST, "the list of columns") if small.exists() else None
    kept = columns.kept_mapping(book.path, listed, book.data)
    suppliers = list(dict.fromkeys(str(line["supplier"] or "") for line in lines))
    mapping, said, stop, shop = _settled(book, kept, confirm, sheet, suppliers)
    if stop:
        for one in shop:
            write_files(one)
        return said, [known.Pending(stop)]
    place = _useful_place(book, mapping, new=kept is None)
    whole = [in_all(line) for line in lines]
    found = known.known(place, mapping, whole, cache(lambda: book.elsewhere(mapping)))
    unknown = [line for line in lines if not found.of(line)]
    fresh = open_rows(unknown)
    remarks = [*known.changes(place, mapping, found, whole, owner_of(job), name), *known.other_cars(found, fresh, name)]
    remarks += [*_by_row(mapping, found, name), *_again([*mapping.broken_off, *found.gone], fresh, name)]
    remarks += [*known.currency_remarks(place, mapping, fresh, name), *_reckoned(place, mapping, name)]
    more = known.fills(place, mapping, found, whole) if place.part else {}
    written = mapping.written
    _remember(mapping, found, fresh, place)
    notes = [note for note in (hard_link_note(book.path), *book.notes()) if note] if fresh or more else []
    if fresh or more:
        mapping.before = columns.Before(mark_of(book.data), len(fresh), None if kept is None else written)
        new = [{**known.shown(line, mapping), columns.TODAY: today} for line in fresh]
        write_files(*shop, Draft(small, [columns.as_json(mapping)], listed), book.draft(place, new, more))
    elif columns.as_json(mapping) != listed:
        write_files(*shop, Draft(small, [columns.as_json(mapping)], listed))
    told = _told(len(fresh), len(lines) - len(unknown), name, place)
    filled = f"{len(more)} row{'' if len(more) == 1 else 's'} of {name} filled in where a column was named since"
    return [*said, *([filled] if more else []), told, *notes], remarks


def _settled(
    book: OrderBook, kept: columns.ColumnMap | None, confirm: Confirm, sheet: str, suppliers: Sequence[str]
) -> tuple[columns.ColumnMap, list[str], str, list[Draft]]:
    """(what goes into which column, what to tell, why nothing is written yet, the shop's own list where it changes)."""
    if kept is not None:
        return kept, [], _of_this_year(book, kept, sheet), []
    shop = columns.shop_columns(book.path)
    found = book.proposals(shop.columns)
    mapping = next((one for one in found if not sheet or one.sheet == sheet), None)
    if mapping is None:
        wrong = f'no sheet "{sheet}" with headings of orders is there'
        raise refuse("sheet missing", book.path.name, wrong, f"Give one of: {', '.join(one.sheet for one in found)}")
    mapping.passed = [one.sheet for one in found if sheet and one.sheet != sheet]
    said = _proposal(book, mapping, shop, [] if sheet else [one.sheet for one in found])
    said += _for_suppliers(mapping.sheet, [one.sheet for one in found], suppliers)
    headings = [*mapping.columns, *left_blank(book.place(mapping))[0]]
    settled = shop.confirmed and all(text in shop.columns for text in headings)
    every = {**shop.columns, **{text: mapping.columns.get(text, "") for text in headings}}
    yes = settled or confirm(said)
    content = columns.as_shop_json(every, yes)
    drafts = [Draft(shop.path, [content], shop.content)] if content != shop.content and not settled else []
    stop = f"Nothing was put into {book.path.name} yet. If that is right, run it again with --yes; else change {shop.path.name} first."
    return mapping, said, "" if yes else stop, drafts


def _of_this_year(book: OrderBook, kept: columns.ColumnMap, sheet: str) -> str:
    """A sheet of a later year is asked about once; "" where nothing is to be asked."""
    later = book.newer(kept)
    if sheet:
        kept.passed = [later] if later and later != sheet else kept.passed
        kept.sheet = sheet
    elif later and later not in kept.passed:
        return f'{book.path.name} has a sheet "{later}" now. Run it again with --sheet "{later}" or --sheet "{kept.sheet}".'
    return ""


def _reckoned(place: Place, mapping: columns.ColumnMap, book: str) -> list[str]:
    """Columns that were to be filled but hold formulas of the shop."""
    lost = [name for name in mapping.columns.values() if name not in place.columns.values()]
    headings = [text for text, name in mapping.columns.items() if name in lost]
    return [f"{book}: your formulas stand below {', '.join(headings)}; nothing was put there."] if headings else []


def _by_row(mapping: columns.ColumnMap, found: known.Known, book: str) -> list[str]:
    """Without an axle column the other axle's same part cannot be told apart."""
    if not found.by_row or mapping.has(("axle",)):
        return []
    names = ", ".join(one.name for one in found.by_row)
    return [
        known.Pending(
            f"{book}: known by job and part alone, and not added: {names}. If a row is the other axle's, add this one by hand."
        )
    ]


def _again(gone: Sequence[columns.Remembered], fresh: Sequence[Line], book: str) -> list[str]:
    names = [one.name for one in gone if any(one.is_line(line) for line in fresh)]
    return [f"{book}: no longer there, so added again: {', '.join(names)}."] if names else []


def _told(fresh: int, there: int, book: str, place: Place) -> str:
    sheet = f", sheet {place.name}" if place.name else ""
    counted = f"{fresh} line{'' if fresh == 1 else 's'} added to {book}{sheet}"
    return f"{counted}; {there} {'was' if there == 1 else 'were'} there already" if there else counted


def _proposal(
    book: OrderBook, mapping: columns.ColumnMap, shop: columns.ShopColumns, sheets: Sequence[str]
) -> list[str]:
    """What goes into which column, and what nothing goes into."""
    name, kept = book.path.name, columns.mapping_file(book.path).name
    pairs = ", ".join(f'"{" ".join(heading.split())}" takes {column}' for heading, column in mapping.columns.items())
    said = [
        f"Columns of {name}: {pairs}. Once that is confirmed it is kept in {kept} and, for all your ordering files, in {shop.path.name}; edit it there."
    ]
    free, reckoned = left_blank(book.place(mapping))
    if len(sheets) > 1:
        said.append(f'Ordered into the sheet "{mapping.sheet}" of {", ".join(sheets)}; into another one with --sheet')
    if reckoned:
        said.append(f"Your formulas, which stay: {', '.join(reckoned)}")
    if free:
        said.append(f"Not filled: {', '.join(free)}")
    if not mapping.has(("part_number",)):
        example = free[0] if free else "Your heading"
        known_not = f" (not understood: {', '.join(free)})" if free else ""
        said.append(
            f'No column takes the part number{known_not}. Write it under columns in {kept}: "{example}": "part_number"'
        )
    if not mapping.has(("job_number",)):
        said.append(f"No column takes the job number: keep {kept}, only by it a line is known again")
    return [*said, *known.said_of_packs(mapping)]


def _for_suppliers(into: str, sheets: Sequence[str], suppliers: Sequence[str]) -> Iterator[str]:
    """Where other sheets are called as suppliers are."""
    texts = {sheet: sheet.casefold().strip() for sheet in sheets if sheet != into}
    named = {
        one: at
        for one in suppliers
        for at, text in texts.items()
        if one and (text in one.casefold() or one.casefold() in text)
    }
    if named:
        own = ", ".join(f'{one} (sheet "{at}")' for one, at in named.items())
        yield f'All lines go into the sheet "{into}", those of {own} too. Move them there afterwards: they stay known'


def _useful_place(book: OrderBook, mapping: columns.ColumnMap, *, new: bool) -> Place:
    """A proposal that lacks something is written down nevertheless, so that it can be completed."""
    try:
        require_useful(book.path, mapping)
    except Exception:
        if new:
            write_file(columns.mapping_file(book.path), columns.as_json(mapping), None)
        raise
    return book.place(mapping)


def _remember(mapping: columns.ColumnMap, found: known.Known, fresh: Sequence[Line], place: Place) -> None:
    new = [columns.remembered(in_all(line), row) for row, line in enumerate(fresh, start=place.last + 1)]
    mapping.appended = [*found.entries, *new]
    if mapping.appended:
        mapping.written = list(mapping.columns.values())
