"""Rows at the end of the shop's own ordering spreadsheet, in that sheet's formats. Besides the sheet and its tables only the
workbook's part may change, which then asks for every formula to be worked out anew; the rest stays byte for byte."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from bomcheck.export.order_cells import sheet_with_rows, tables_with_rows
from bomcheck.export.order_mapping import TODAY, ColumnMap, as_json, kept_mapping, mapping_file
from bomcheck.export.order_place import Place, find_place, new_mapping, require_useful, there_already
from bomcheck.export.order_write import require_free, write_together
from bomcheck.workbook import files
from bomcheck.workbook.assemble import assemble
from bomcheck.workbook.calculation import calculation_edits, is_from_libreoffice
from bomcheck.workbook.changes import SIGNATURES, Changes
from bomcheck.workbook.edits import apply
from bomcheck.workbook.package import Package, open_package
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.replace_file import hard_link_note, write_whole
from bomcheck.workbook.splice import verify

Line = Mapping[str, Any]
SUMS = "LibreOffice shows your own sums over these lines as they were until you recalculate there: Ctrl+Shift+F9"


def append_rows(
    book: Path, lines: Sequence[Line], job_file: str = "", today: date | None = None
) -> tuple[list[str], list[str]]:
    """Add the lines that are not there yet; returns (what to tell, remarks). Raises WorkbookError; nothing is then written.

    job_file: name of the job workbook, for messages. today: for a column that takes the day; None: the real one.
    """
    require_free(book)
    require_free(mapping_file(book))
    _require_job_number(lines, job_file)
    package = open_package(book)
    _require_unsigned(package)
    kept = kept_mapping(book)
    mapping = kept or new_mapping(package)
    said = [] if kept else [_proposal(mapping, book)]
    place = _useful_place(package, mapping, new=kept is None)
    there = there_already(place, mapping, lines)
    fresh = [line for line, known in zip(lines, there, strict=True) if not known]
    remarks = _changed(mapping, [line for line, known in zip(lines, there, strict=True) if known], book)
    _remember(mapping, lines)
    day = today or date.today()
    notes = _notes(package, book, fresh)
    if fresh:
        _write(package, place, mapping, [{**line, TODAY: day} for line in fresh])
    elif kept is None:
        write_whole(mapping_file(book), as_json(mapping))
    return [*said, _told(len(fresh), len(lines) - len(fresh), book, place), *notes], remarks


def _notes(package: Package, book: Path, fresh: Sequence[Line]) -> list[str]:
    """What to know of a spreadsheet that is written to."""
    notes = [hard_link_note(book), SUMS if is_from_libreoffice(package) else ""] if fresh else []
    return [note for note in notes if note]


def _told(fresh: int, there: int, book: Path, place: Place) -> str:
    counted = f"{fresh} line{'' if fresh == 1 else 's'} added to {book.name}, sheet {place.sheet.name}"
    return f"{counted}; {there} {'was' if there == 1 else 'were'} there already" if there else counted


def _proposal(mapping: ColumnMap, book: Path) -> str:
    pairs = ", ".join(f'"{heading}" takes {name}' for heading, name in mapping.columns.items())
    return f"Columns of {book.name}: {pairs}. Kept in {mapping_file(book).name}; edit it there."


def _useful_place(package: Package, mapping: ColumnMap, *, new: bool) -> Place:
    """A proposal that lacks something is written down nevertheless, so that it can be completed."""
    try:
        require_useful(package, mapping)
    except Exception:
        if new:
            write_whole(mapping_file(package.path), as_json(mapping))
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


def _remember(mapping: ColumnMap, lines: Sequence[Line]) -> None:
    for line in lines:
        mapping.appended.setdefault((str(line["job_number"]), str(line["line_key"])), line["packs"])


def _changed(mapping: ColumnMap, known: Sequence[Line], book: Path) -> list[str]:
    """Lines that are in the sheet with another number of packs than are needed now."""
    told = []
    for line in known:
        before = mapping.appended.get((str(line["job_number"]), str(line["line_key"])))
        if before is not None and before != line["packs"]:
            name = " ".join(str(line[key]) for key in ("part_number", "description") if line[key])
            told.append(
                f"{book.name}: {name} is there with {before:g} packs, now {line['packs']} are needed. Change it there."
            )
    return told


def _write(package: Package, place: Place, mapping: ColumnMap, lines: Sequence[Line]) -> None:
    """The spreadsheet and the list of its columns, both or none."""
    real = package.path.resolve()
    edited = {place.sheet.part: sheet_with_rows(package, place, lines)}
    edited.update(tables_with_rows(package, place, len(lines)))
    anew = calculation_edits(package)
    if anew:
        edited[package.workbook_part] = apply(package.workbook_xml, anew)
    changes = Changes(edited, {}, frozenset(), (place.sheet.name,))
    data = b"".join(assemble(package.archive, changes))
    verify(package, changes, real, data)
    contents = {mapping_file(package.path): as_json(mapping), real: data}
    write_together(contents, lambda: _require_unchanged(package, real))


def _require_unchanged(package: Package, real: Path) -> None:
    if files.read(real) != package.data:
        raise refuse("file", real.name, "the workbook was changed meanwhile", "Close it elsewhere and run it again")
