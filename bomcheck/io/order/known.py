"""How a line reads in the shop's columns. Without a column for unit or pack, "400" of a grease would be 400 cartridges."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, field
from functools import lru_cache
from itertools import chain
from typing import Any

from bomcheck.io.order.columns import TODAY, ColumnMap, Remembered, remembered
from bomcheck.io.order.csv_file import Owner, owner_of
from bomcheck.io.order.place import Place
from bomcheck.io.package import Rows
from bomcheck.io.xml import BAD_IN_XML
from bomcheck.model.records import dataclass, replace
from bomcheck.tables.fields import plain

Line = Mapping[str, Any]
QUANTITIES = ("quantity_ordered", "quantity_needed")
SAID = "The sheet has no column for the {}, so quantities are packs and prices are those of a pack"
IN_WORDS = '{} says what is in one ("pack of 400 g")'


def said_of_packs(mapping: ColumnMap) -> list[str]:
    """What to tell of it on the first run."""
    says = "the unit" if mapping.has(("unit",)) else "the description" if mapping.has(("description",)) else ""
    lacks = SAID.format("unit" if mapping.has(("pack_size",)) else "size of a pack")
    return ["; ".join([lacks, *([IN_WORDS.format(says)] if says else [])])] if in_packs(mapping) else []


def in_packs(mapping: ColumnMap) -> bool:
    """Whether quantity and price must be those of packs to be understood."""
    sized = mapping.has(("pack_size",)) and mapping.has(("unit",))
    if mapping.has(("price_per_pack",)) and not mapping.has(("price_each", "packs")):
        return True  # the shop multiplies the two
    return not sized and not (mapping.has(("packs",)) and mapping.has(QUANTITIES))


class Pending(str):
    """A remark on something that is left to be done in the order file."""

    __slots__ = ()


def shown(line: Line, mapping: ColumnMap) -> Line:
    """The line as this sheet takes it. Where no column says for which axle, the description does: it is known again by that."""
    made = packed(line, in_unit=mapping.has(("unit",))) if in_packs(mapping) else line
    if not line["axle"] or mapping.has(("axle", "line_key")):
        return made
    return {**made, "description": f"{made['description']}, {line['axle']} axle"}


_AXLE = re.compile(r", ((?:front and rear|front|rear)(?: left| right)?) axle$", re.IGNORECASE)


def packed(line: Line, in_unit: bool = False) -> Line:
    """Quantity and price by the pack; what is in one is the unit where the sheet has one, else stands behind the description."""
    content = pack_words(line)
    if not content:
        return line
    alone = in_unit and float(line["pack_size"] or 1) == 1
    said = (
        {"unit": line["unit"] if alone else content}
        if in_unit
        else {"description": f"{line['description']}, {content}"}
    )
    packs, price = line["packs"], line["price_per_pack"]
    return {**line, "quantity_ordered": packs, "quantity_needed": packs, "price_each": price, **said}


def pack_words(line: Line) -> str:
    """What one pack holds; "" for single pieces.

    >>> pack_words({"pack_size": 400.0, "unit": "g"}), pack_words({"pack_size": 4.0, "unit": "each"})
    ('pack of 400 g', 'pack of 4')
    """
    size, unit = float(line["pack_size"] or 1), "" if line["unit"] == "each" else str(line["unit"])
    return "" if size == 1 and not unit else f"pack of {size:g} {unit}".rstrip()


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
    said = _AXLE.search(texts.get("description", "").strip())
    if said and "axle" not in typed:
        typed["axle"] = said[1]
    return owner_of({**asdict(entry), "line_key": ""}).may_be(owner_of(typed))


@lru_cache(maxsize=50_000)
def _fold(text: str) -> str:
    """Without capitals, spaces at the ends, and what no cell can hold."""
    return " ".join(BAD_IN_XML.sub("", text).split()).casefold()


def _same_words(typed: str, description: str) -> bool:
    """Behind the description may stand what is in a pack."""
    typed = _AXLE.sub("", typed.strip())
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
        its_car = "vehicle_label" not in texts or entry.owner.vehicle in ("", plain(texts["vehicle_label"]))
        if its_car and _is_row(entry, texts, by_words=by_words, with_job=True):
            del rows[row]
            entry.row, entry.supplier, entry.packs = row, texts.get("supplier"), _packs(texts, line, mapping)
            entry.part_number = texts.get("part_number")
            found.row_of[len(found.entries)] = row
            found.entries.append(entry)
            if not texts.get("line_key") and not _AXLE.search(texts.get("description", "").strip()):
                found.by_row.append(entry)
            return


def _packs(texts: Texts, line: Line, mapping: ColumnMap) -> float | None:
    """Packs that a row orders; None where it cannot be told, or part of them came meanwhile."""
    name = next((one for one in ("packs", *QUANTITIES[:1]) if one in texts), "")
    try:
        typed = float(texts[name].replace(",", ".")) if name and not line.get("came") else None
    except ValueError:
        return None
    by_piece = "unit" in texts and plain(texts["unit"]) == plain(str(line["unit"]))
    if typed is None or name == "packs" or (in_packs(mapping) and pack_words(line) and not by_piece):
        return typed
    return typed / float(line["pack_size"] or 1)


TEXTS = {"supplier": "supplier", "part_number": "part number"}
PRICES = ("price_each", "price_per_pack", "line_total")


def changes(
    place: Place, mapping: ColumnMap, found: Known, lines: Sequence[Line], owner: Owner, book: str
) -> list[str]:
    """The remarks. An entry whose row says already what is needed now is brought up to date, without one."""
    told: list[str] = []
    for line in lines:
        at = found.of(line)
        if not at:
            continue
        differ = list(_differences([found.entries[one] for one in at], line, mapping))
        if not differ:
            _bring_up_to_date(found, at, line)
            told += _fewer_there(place, mapping, found, at, line, book)
        elif len(at) == 1 and _is_settled(place, mapping, found.row_of.get(at[0]), line, differ):
            found.entries[at[0]] = remembered(line, found.row_of.get(at[0]))
        else:
            said = ", ".join(f"{what} {old} -> {new}" for _, what, old, new in differ)
            name = found.entries[at[0]].name
            told.append(Pending(f"{book}: {name} has changed since it was ordered: {said}. Change it there."))
    return [*told, *_not_needed(found, lines, owner, book)]


def _fewer_there(
    place: Place, mapping: ColumnMap, found: Known, at: Sequence[int], line: Line, book: str
) -> Iterator[Pending]:
    """Where somebody wrote a smaller number of packs into the sheet, or took it out."""
    filled = {"packs", "quantity_ordered"} & _filled_before(mapping) & set(place.columns.values())
    rows = [place.texts(row) for one in at if (row := found.row_of.get(one)) is not None]
    if not filled or len(rows) < len(at):
        return
    there = [
        _packs(texts, line, mapping) if any(texts.get(one, "").strip() for one in filled) else 0.0 for texts in rows
    ]
    packs = sum(one for one in there if one is not None)
    if None not in there and packs < line["packs"] - 1e-6 and not line.get("came"):
        name = found.entries[at[0]].name
        yield Pending(f"{book}: {name}: packs {packs:g} stand there, {line['packs']:g} are needed. Change it there.")


def _differences(entries: Sequence[Remembered], line: Line, mapping: ColumnMap) -> Iterator[tuple[str, str, str, str]]:
    """(order column, what it is called, old, new)."""
    for key, what in TEXTS.items():
        old, new = getattr(entries[0], key), str(line[key] or "")
        if old is not None and old != new:
            yield key, what, f'"{old}"' if old else "none", f'"{new}"' if new else "none"
    packs = [one.packs for one in entries if one.packs is not None]
    if len(packs) == len(entries) and abs(sum(packs) - line["packs"]) > 1e-6:
        yield "packs", "packs", f"{sum(packs):g}", f"{line['packs']:g}"
    price, old_price = line["price_per_pack"], entries[0].price
    if price is not None and old_price is not None and abs(price - old_price) > 0.004 and mapping.has(PRICES):
        yield "price", "price of a pack", f"{old_price:g}", f"{price:g}"
    note, old_note = str(line["note"] or ""), entries[0].note
    if old_note is not None and note != old_note and mapping.has(("note",)):
        yield "note", "note", f'"{old_note}"' if old_note else "none", f'"{note}"' if note else "none"


def _bring_up_to_date(found: Known, at: Sequence[int], line: Line) -> None:
    """An entry of an older small file takes over what it did not keep."""
    for one in at:
        entry = found.entries[one]
        new = remembered(line)
        fill = {key: getattr(new, key) for key in ("part_number", "supplier", "description", "packs", "price", "note")}
        empty = {key: value for key, value in fill.items() if getattr(entry, key) is None}
        stated = {key: getattr(new, key) for key in ("axle", "vehicle_label") if not getattr(entry, key)}
        found.entries[one] = replace(entry, **empty, **stated)


SHOWS = {"packs": ("packs", "quantity_ordered", "quantity_needed"), "price": ("price_per_pack", "price_each")}


def _is_settled(
    place: Place, mapping: ColumnMap, row: int | None, line: Line, differ: Sequence[tuple[str, str, str, str]]
) -> bool:
    """Whether the row shows the new supplier, number and quantity: somebody changed it there."""
    if row is None:
        return False
    texts, wanted = place.texts(row), shown(line, mapping)
    for key, *_ in differ:
        names = [n for n in SHOWS.get(key, (key,)) if n in texts]
        if not names or any(not _same(texts[name], wanted[name]) for name in names):
            return False
    return True


def _same(typed: str, wanted: Any) -> bool:
    try:
        return abs(float(typed.replace(",", ".")) - float(wanted)) < 1e-6
    except ValueError:
        return typed.strip() == str(wanted).strip()


def _not_needed(found: Known, lines: Sequence[Line], owner: Owner, book: str) -> list[str]:
    """Entries of this very job, axle and side that are no line any more."""
    left = [one for one in found.entries if one.owner == owner and not any(one.is_line(line) for line in lines)]
    return [
        Pending(
            f"{book}: {one.name} is no longer needed: packs {'?' if one.packs is None else f'{one.packs:g}'} -> 0. "
            "Take it out there, or send it back."
        )
        for one in left
    ]


def other_cars(found: Known, lines: Sequence[Line], book: str) -> list[str]:
    """One line where the same job and axle stand there for a car of another name."""
    for line in lines[:1]:
        mine = owner_of(line)
        for one in found.entries:
            other = one.owner
            if (other.job, other.axle) == (mine.job, mine.axle) and other.vehicle and mine.vehicle != other.vehicle:
                said = f'"{one.vehicle_label}" -> "{line["vehicle_label"]}"'
                return [
                    f"{book}: job {one.job_number} has lines of another car there ({said}); these are added as well."
                ]
    return []


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
            by_pack = in_packs(before) and pack_words(line)  # a row that counts packs keeps counting packs
            as_then = {**packed(line, in_unit=True), "pack_size": None} if by_pack else line
            cells = {n: as_then.get(name) for n, name in new.items() if n not in place.rows[row]}
            wanted[row] = {n: value for n, value in cells.items() if value not in (None, "")}
    return {row: cells for row, cells in wanted.items() if cells}


def currency_remarks(place: Place, mapping: ColumnMap, lines: Sequence[Mapping[str, Any]], book: str) -> list[str]:
    """One line where prices go into a sheet that has no column for their currency, or rows of another one."""
    priced = [line for line in lines if line["price_per_pack"] is not None and line["currency"]]
    if not priced or not mapping.has(PRICES):
        return []
    ours = str(priced[0]["currency"])
    if not mapping.has(("currency",)):
        headings = [heading for heading, name in mapping.columns.items() if name in PRICES]
        if any(plain(ours) in plain(heading) for heading in headings):
            return []
        return [f"{book}: no column takes the currency; the prices of the lines added are in {ours}."]
    typed = [place.texts(row).get("currency", "").strip() for row in place.rows if row > place.heading]
    others = list(dict.fromkeys(text for text in typed if text and plain(text) != plain(ours)))
    if not others:
        return []
    return [f"{book}: rows in {', '.join(others)} stand there too; the prices of the lines added are in {ours}."]
