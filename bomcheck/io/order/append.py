"""Rows at the end of the shop's own ordering spreadsheet, in that sheet's formats. Besides the sheet and its tables only the
workbook's part may change, which then asks for every formula to be worked out anew; the rest stays byte for byte."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import date
from functools import cache, partial
from pathlib import Path
from typing import Any

from bomcheck.io.disk import hard_link_note, only_writer, read_ordinary, require_free
from bomcheck.io.mark import calculation_edits, is_from_libreoffice
from bomcheck.io.order.cells import sheet_with_rows, tables_with_rows
from bomcheck.io.order.columns import (
    TODAY,
    Before,
    ColumnMap,
    Place,
    Remembered,
    Rows,
    as_json,
    book_mark,
    find_place,
    kept_mapping,
    mapping_file,
    new_mapping,
    remembered,
    require_useful,
    rows_of,
    unknown_headings,
)
from bomcheck.io.order.csv_file import LARGEST, owner_of
from bomcheck.io.order.known import (
    Fills,
    Known,
    changes,
    currency_remarks,
    fills,
    known,
    other_cars,
    said_of_packs,
    shown,
)
from bomcheck.io.order.received import still_to_order
from bomcheck.io.package import Package, open_package
from bomcheck.io.refusal import refuse
from bomcheck.io.replace_file import Draft, write_file, write_files
from bomcheck.io.splice import SIGNATURES, Changes, assemble, verify
from bomcheck.model.errors import WorkbookError

Line = Mapping[str, Any]
SUMS = "Sums of your own elsewhere take these lines in once all is calculated anew: Ctrl+Alt+F9, in LibreOffice Ctrl+Shift+F9"


def append_rows(
    book: Path, lines: Sequence[Line], job_file: str = "", today: date | None = None, job: Line | None = None
) -> tuple[list[str], list[str]]:
    """Add the lines that are not there yet; returns (what to tell, remarks). Raises WorkbookError; nothing is then written.

    job_file: name of the job workbook, for messages. today: for a column that takes the day; None: the real one. job:
    job_number, axle and vehicle_label, where there may be no line; None: those of the first line.
    """
    with only_writer(book, mapping_file(book)):
        return _append(book, lines, job_file, today, job)


def _append(
    book: Path, lines: Sequence[Line], job_file: str, today: date | None, job: Line | None
) -> tuple[list[str], list[str]]:
    require_free(book)
    require_free(mapping_file(book))
    job = job or (lines[0] if lines else {})
    _require_job_number([*lines, *([job] if job else [])], job_file)
    package = open_package(book)
    _require_unsigned(package)
    small = mapping_file(book)
    listed = read_ordinary(small, LARGEST, "the list of columns") if small.exists() else None
    kept = kept_mapping(book, listed, package.data)
    mapping = kept or new_mapping(package)
    place = _useful_place(package, mapping, new=kept is None)
    said = [] if kept else _proposal(package, mapping, book)
    found = known(place, mapping, lines, cache(partial(_other_sheets, package, mapping)))
    unknown = [line for line in lines if not found.of(line)]
    fresh = [line for line in map(still_to_order, unknown) if line is not None]
    remarks = [*changes(place, mapping, found, lines, owner_of(job), book.name), *other_cars(found, fresh, book.name)]
    remarks += [*_by_row(mapping, found, book), *_again([*mapping.broken_off, *found.gone], fresh, book)]
    remarks += currency_remarks(place, mapping, fresh, book.name)
    more = fills(place, mapping, found, lines)
    written = mapping.written
    _remember(mapping, found, fresh, unknown, place)
    day, notes = today or date.today(), _notes(package, book, [*fresh, *more])
    if fresh or more:
        mapping.before = Before(book_mark(package.data), len(fresh), None if kept is None else written)
        _write(package, place, mapping, [{**shown(line, mapping), TODAY: day} for line in fresh], more, listed)
    elif as_json(mapping) != listed:
        write_file(small, as_json(mapping), listed)
    told = _told(len(fresh), len(lines) - len(unknown), book, place)
    return [*said, *([_filled(more, book)] if more else []), told, *notes], remarks


def _other_sheets(package: Package, mapping: ColumnMap) -> list[Rows]:
    """Their rows; one that cannot be read tells nothing."""
    found = []
    for sheet in package.sheets:
        if sheet.name != mapping.sheet:
            with suppress(WorkbookError):
                found.append(rows_of(package.cells(sheet.name)))
    return found


def _filled(more: Fills, book: Path) -> str:
    return f"{len(more)} row{'' if len(more) == 1 else 's'} of {book.name} filled in where a column was named since"


def _by_row(mapping: ColumnMap, found: Known, book: Path) -> list[str]:
    """Without an axle column the other axle's same part cannot be told apart."""
    if not found.by_row or mapping.has(("axle",)):
        return []
    names = ", ".join(one.name for one in found.by_row)
    return [
        f"{book.name}: known by job and part alone, and not added: {names}. If a row is the other axle's, add this one by hand."
    ]


def _again(gone: Sequence[Remembered], fresh: Sequence[Line], book: Path) -> list[str]:
    names = [one.name for one in gone if any(one.is_line(line) for line in fresh)]
    return [f"{book.name}: no longer there, so added again: {', '.join(names)}."] if names else []


def _notes(package: Package, book: Path, fresh: Sequence[object]) -> list[str]:
    """What to know of a spreadsheet that is written to."""
    notes = (
        [hard_link_note(book), SUMS if is_from_libreoffice(package) or calculation_edits(package) else ""]
        if fresh
        else []
    )
    return [note for note in notes if note]


def _told(fresh: int, there: int, book: Path, place: Place) -> str:
    counted = f"{fresh} line{'' if fresh == 1 else 's'} added to {book.name}, sheet {place.sheet.name}"
    return f"{counted}; {there} {'was' if there == 1 else 'were'} there already" if there else counted


def _proposal(package: Package, mapping: ColumnMap, book: Path) -> list[str]:
    kept = mapping_file(book).name
    pairs = ", ".join(f'"{" ".join(heading.split())}" takes {name}' for heading, name in mapping.columns.items())
    said = [f"Columns of {book.name}: {pairs}. Kept in {kept}; edit it there."]
    if not mapping.has(("part_number",)):
        left = [" ".join(text.split()) for text in unknown_headings(package, mapping)]
        example, known_not = (
            left[0] if left else "Your heading",
            f" (not understood: {', '.join(left)})" if left else "",
        )
        said.append(
            f'No column takes the part number{known_not}. Write it under columns in {kept}: "{example}": "part_number"'
        )
    if not mapping.has(("job_number",)):
        said.append(f"No column takes the job number: keep {kept}, only by it a line is known again")
    return [*said, *said_of_packs(mapping)]


def _useful_place(package: Package, mapping: ColumnMap, *, new: bool) -> Place:
    """A proposal that lacks something is written down nevertheless, so that it can be completed."""
    try:
        require_useful(package, mapping)
    except Exception:
        if new:
            write_file(mapping_file(package.path), as_json(mapping), None)
        raise
    return find_place(package, mapping)


def _require_job_number(lines: Sequence[Line], job_file: str) -> None:
    if any(not line["job_number"] for line in lines):
        wrong = "the job has no number, and without one a second run could not know its own lines again"
        raise refuse("part of it missing", job_file, wrong, "Type one on the Job sheet", sheet="Job")


def _require_unsigned(package: Package) -> None:
    if any(name.startswith(SIGNATURES) for name in package.archive.members):
        wrong = "it is digitally signed, and a change would break the signature"
        raise refuse("file", package.file, wrong, "Take the signature off or give another name")


def _remember(mapping: ColumnMap, found: Known, fresh: Sequence[Line], unknown: Sequence[Line], place: Place) -> None:
    """What is there now; of a fresh line what is needed in all, so that a later change is seen."""
    whole = {str(line["line_key"]): line for line in unknown}
    new = [remembered(whole[str(line["line_key"])], row) for row, line in enumerate(fresh, start=place.last + 1)]
    mapping.appended = [*found.entries, *new]
    if mapping.appended:
        mapping.written = list(mapping.columns.values())


def _write(
    package: Package, place: Place, mapping: ColumnMap, lines: Sequence[Line], more: Fills, listed: bytes | None
) -> None:
    """The spreadsheet and the list of its columns, both or none. listed: that list as it was read."""
    edited = {place.sheet.part: sheet_with_rows(package, place, lines, more)}
    edited.update(tables_with_rows(package, place, len(lines)))
    changes = Changes(edited, {}, frozenset(), (place.sheet.name,))
    small = Draft(mapping_file(package.path), [as_json(mapping)], listed)
    pieces = assemble(package.archive, changes)
    verified = lambda data: verify(package, changes, package.path, data)  # noqa: E731
    write_files(small, Draft(package.path, pieces, package.data, verified, stamp=package.status))
