"""Which lines the ordering spreadsheet has already: by the small file as long as their rows stand there, else by the rows."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import chain
from typing import Any

from bomcheck.export.order_cells import BAD_IN_XML
from bomcheck.export.order_mapping import ColumnMap
from bomcheck.export.order_owner import owner_of
from bomcheck.export.order_place import Place, Rows
from bomcheck.export.order_remembered import Remembered, remembered
from bomcheck.export.order_shown import QUANTITIES, in_packs, packed
from bomcheck.fields import plain

Line = Mapping[str, Any]
Texts = Mapping[str, str]


@dataclass
class Known:
    """entries: what is remembered and still there. row_of: the sheet's row of an entry, by its place in the list. gone:
    entries whose rows were taken out. by_row: entries that only the sheet's own rows showed."""

    entries: list[Remembered] = field(default_factory=list)
    row_of: dict[int, int] = field(default_factory=dict)
    gone: list[Remembered] = field(default_factory=list)
    by_row: list[Remembered] = field(default_factory=list)

    def of(self, line: Line) -> list[int]:
        """Places in the list of the entries that are this line."""
        return [at for at, one in enumerate(self.entries) if one.is_line(line)]


def known(
    place: Place, mapping: ColumnMap, lines: Sequence[Line], elsewhere: Callable[[], Sequence[Rows]] = list
) -> Known:
    """elsewhere: gives the rows of the other sheets, to which a shop may have moved what was sent; asked only if need be."""
    rows: dict[int, Texts] = {row: place.texts(row) for row in sorted(place.rows) if row > place.heading}
    found, columns = Known(), _filled_before(mapping)
    row_of = _rows_of_entries(mapping.appended, rows, with_job="job_number" in columns)
    for at, entry in enumerate(mapping.appended):
        if at in row_of:
            found.row_of[len(found.entries)] = row_of[at]
        elif _traceable(entry, columns) and not any(_moved(entry, one) for one in elsewhere()):
            found.gone.append(entry)
            continue
        found.entries.append(entry)
    for line in lines:
        if not found.of(line):
            _look_in_rows(line, rows, mapping, found)
    return found


def _filled_before(mapping: ColumnMap) -> set[str]:
    """Order columns of the sheet, without those that no run has filled yet."""
    columns = set(mapping.columns.values())
    return columns if mapping.written is None else columns & set(mapping.written)


def _rows_of_entries(entries: Sequence[Remembered], rows: dict[int, Texts], *, with_job: bool) -> dict[int, int]:
    """Row by place in the list: by line and number first, then by description, where somebody changed the number. A row
    is taken once: the one where the entry was put if it still says so, else the first that does."""
    found: dict[int, int] = {}
    for by_words in (False, True):
        for at, entry in enumerate(entries):
            if at in found:
                continue
            order = chain([entry.row] if entry.row in rows else [], rows)
            row = next((n for n in order if _is_row(entry, rows[n], by_words=by_words, with_job=with_job)), None)
            if row is not None:
                found[at] = row
                del rows[row]
    return found


def _is_row(entry: Remembered, texts: Texts, *, by_words: bool, with_job: bool) -> bool:
    if texts.get("line_key"):
        same = texts["line_key"] == entry.line_key
    elif by_words:
        same = bool(entry.description) and _same_words(texts.get("description", ""), str(entry.description))
    else:
        same = bool(entry.part_number) and _fold(texts.get("part_number", "")) == _fold(str(entry.part_number))
    return same and _is_owner(entry, texts, with_job=with_job)


def _is_owner(entry: Remembered, texts: Texts, *, with_job: bool) -> bool:
    """Job and axle as far as the row states them. with_job: a row of ours states its job."""
    if "job_number" not in texts:
        return not with_job
    typed = {key: texts[key] for key in ("job_number", "axle") if key in texts}
    return entry.owner.may_be(owner_of(typed))


@lru_cache(maxsize=50_000)
def _fold(text: str) -> str:
    """Without capitals, spaces at the ends, and what no cell can hold."""
    return " ".join(BAD_IN_XML.sub("", text).split()).casefold()


def _same_words(typed: str, description: str) -> bool:
    """Behind the description may stand what is in a pack."""
    there = {_fold(typed), _fold(re.sub(r", pack of [^,]*$", "", typed))}
    return bool(typed) and _fold(description) in there


def _traceable(entry: Remembered, columns: set[str]) -> bool:
    """Whether a missing row means that it was taken out: the sheet has the columns by which it would be found."""
    names = {"line_key"} | {key for key in ("part_number", "description") if getattr(entry, key)}
    return "job_number" in columns and bool(columns & names)


def _moved(entry: Remembered, rows: Rows) -> bool:
    words = {_fold(text) for text in (entry.part_number or entry.description or entry.line_key,)}
    job = _fold(entry.job_number)
    texts = ({_fold(cell.text) for cell in cells.values()} for cells in rows.values())
    return any(job in one and words & one for one in texts)


def _look_in_rows(line: Line, rows: dict[int, Texts], mapping: ColumnMap, found: Known) -> None:
    """A row that no entry accounts for may be this line: its job, axle, car and line or part."""
    entry = remembered(line)
    for row, texts in rows.items():
        keyless = mapping.has(("line_key",)) and not texts.get("line_key")
        if keyless or "job_number" not in texts:
            continue
        by_words = not entry.part_number or not mapping.has(("part_number",))
        if _is_row(entry, texts, by_words=by_words, with_job=True) and _may_be_its_car(entry, texts):
            del rows[row]
            entry.row, entry.supplier, entry.packs = row, texts.get("supplier"), _packs(texts, line, mapping)
            entry.part_number = texts.get("part_number")
            found.row_of[len(found.entries)] = row
            found.entries.append(entry)
            if not texts.get("line_key"):
                found.by_row.append(entry)
            return


def _may_be_its_car(entry: Remembered, texts: Texts) -> bool:
    return "vehicle_label" not in texts or entry.owner.vehicle in ("", plain(texts["vehicle_label"]))


def _packs(texts: Texts, line: Line, mapping: ColumnMap) -> float | None:
    """Packs that a row orders; None where it cannot be told, or part of them came meanwhile."""
    name = next((one for one in ("packs", *QUANTITIES[:1]) if one in texts), "")
    try:
        typed = float(texts[name].replace(",", ".")) if name and not line.get("came") else None
    except ValueError:
        return None
    if typed is None or name == "packs" or (in_packs(mapping) and packed(line) is not line):
        return typed
    return typed / float(line["pack_size"] or 1)
