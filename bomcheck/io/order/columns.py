"""What earlier runs put into the ordering spreadsheet, as the small file beside it keeps it."""

import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import asdict, field
from pathlib import Path
from typing import Any

from bomcheck.io.disk import beside, mark_of
from bomcheck.io.order.csv_file import Owner, owner_of
from bomcheck.io.refusal import refuse
from bomcheck.model.records import dataclass
from bomcheck.paper.order_rows import COLUMNS
from bomcheck.tables.fields import other_headings, plain

TEXTS = ("part_number", "supplier", "description")


@dataclass
class Remembered:
    """One line. packs [-]: needed when it was ordered. row: where it was put. price: of a pack. None: not known."""

    job_number: str
    line_key: str
    axle: str = ""
    vehicle_label: str = ""
    part_number: str | None = None
    supplier: str | None = None
    description: str | None = None
    packs: float | None = None
    row: int | None = None
    price: float | None = None
    note: str | None = None

    @property
    def owner(self) -> Owner:
        """Whose order it is."""
        return owner_of(asdict(self))

    @property
    def name(self) -> str:
        """How it is named in a sentence."""
        return " ".join(f"{self.part_number or ''} {self.description or ''}".split()) or self.line_key

    def is_line(self, line: Mapping[str, Any]) -> bool:
        """Whether this is that order line."""
        return (self.line_key == str(line["line_key"]) or self._older(line)) and self.owner.may_be(owner_of(line))

    def _older(self, line: Mapping[str, Any]) -> bool:
        """Whether an older version, which named a line by what it must be, may have meant this one."""
        if " @ " in self.line_key or not self.part_number:
            return False
        return self.line_key.split(" | ")[0] == str(line["role"]) and self.part_number == str(line["part_number"])


def remembered(line: Mapping[str, Any], row: int | None = None) -> Remembered:
    """An order line as it is to be remembered."""
    names = ("job_number", "line_key", "axle", "vehicle_label", *TEXTS, "note")
    said = {key: str(line.get(key) or "") for key in names}
    packs, price = (None if line.get(key) is None else float(line[key]) for key in ("packs", "price_per_pack"))
    return Remembered(**said, packs=packs, row=row, price=price)


def read_remembered(lines: Iterable[Any]) -> list[Remembered]:
    """From the small file; an older one kept (job number, line, packs) only."""
    return [_older(one) if isinstance(one, list) else _read(dict(one)) for one in lines]


def _older(line: list[Any]) -> Remembered:
    packs = float(line[2]) if len(line) > 2 and line[2] is not None else None
    return Remembered(str(line[0]), str(line[1]), packs=packs)


def _read(one: dict[str, Any]) -> Remembered:
    axle, car = (str(one.get(key) or "") for key in ("axle", "vehicle_label"))
    kinds: dict[str, Any] = {**dict.fromkeys((*TEXTS, "note"), str), "packs": float, "price": float, "row": int}
    more = {key: kind(one[key]) for key, kind in kinds.items() if one.get(key) is not None}
    return Remembered(str(one["job_number"]), str(one["line_key"]), axle, car, **more)


def as_written(one: Remembered) -> dict[str, Any]:
    """For the small file, without what is not known."""
    return {key: value for key, value in asdict(one).items() if value not in (None, "") or key in (*TEXTS, "note")}


TODAY = "today"
"""Beside the columns of an order, the day on which a line is added."""
KNOWN = (*(column.name for column in COLUMNS), TODAY)
COUNTS, NAMES = ("quantity_ordered", "packs", "quantity_needed"), ("part_number", "description")
"""Of each of these an ordering sheet must take one, or nobody could order from it."""
OTHER_NAMES = other_headings("order")
SAID = (
    "On the left a heading of your sheet, on the right what goes into that column; it may be changed, taken out or added to. "
    f"On the right may stand: {', '.join(KNOWN)}. The lines under appended were put into the sheet; while they stand there they are never added twice. "
    "written names the columns that were filled on the last run."
)


@dataclass(frozen=True)
class Before:
    """book: mark of the spreadsheet's contents before the last run. lines: how many that run added. written: as then."""

    book: str
    lines: int
    written: list[str] | None


@dataclass
class ColumnMap:
    """sheet: name of the sheet. columns: heading as it stands there -> name of the order column. appended: lines of
    earlier runs. written: order columns that the last run filled, None before the first. before: what the spreadsheet
    and this list were before the last lines went in: a run that was broken off between the two is known by it.
    passed: sheets of later years that the shop does not order into. broken_off: lines of such a run, which never went in."""

    sheet: str
    columns: dict[str, str]
    appended: list[Remembered] = field(default_factory=list)
    written: list[str] | None = None
    passed: list[str] = field(default_factory=list)
    before: Before | None = None
    broken_off: list[Remembered] = field(default_factory=list)

    def has(self, names: Iterable[str]) -> bool:
        """Whether any of these order columns has a place in the sheet."""
        return any(name in self.columns.values() for name in names)


def mapping_file(book: Path) -> Path:
    """`orders.xlsx` -> `orders.xlsx.columns.json`."""
    return beside(book, ".columns.json")


def propose(
    headings: Iterable[str], given: Mapping[str, str] | None = None, barred: Mapping[str, Collection[str]] | None = None
) -> dict[str, str]:
    """Heading -> order column for the headings that are understood; each column at most once, by the likeliest heading.

    given: what the shop settled before: heading -> order column, "" for none. barred: order columns that what stands below a
    heading rules out.

    >>> propose(["Part no.", "Qty", "Signed", "Unit price"])
    {'Part no.': 'part_number', 'Qty': 'quantity_ordered', 'Unit price': 'price_each'}
    >>> propose(["Order no.", "Part"])
    {'Part': 'part_number'}
    """
    every, settled = (
        [words for words in headings if words.strip()],
        {plain(text): name for text, name in (given or {}).items()},
    )
    fixed = {words: settled[plain(words)] for words in every if plain(words) in settled}
    typed = [words for words in every if words not in fixed]
    found: dict[str, str] = {}
    for column in COLUMNS:
        own = [
            words for words in typed if plain(words) in (plain(column.name), plain(column.title)) and words not in found
        ]
        own = [words for words in own if column.name not in (barred or {}).get(words, ())]
        found |= dict.fromkeys(own[:1], column.name)
    for name, others in OTHER_NAMES.items():
        ranks = {plain(one): rank for rank, one in reversed(list(enumerate(others)))}
        free = [words for words in typed if words not in found and plain(words) in ranks]
        free = [words for words in free if name not in (barred or {}).get(words, ())]
        if free and name not in found.values():
            found[min(free, key=lambda words: ranks[plain(words)])] = name
    found = {words: name for words, name in found.items() if name not in fixed.values()} | fixed
    return {words: found[words] for words in every if found.get(words)}


def kept_mapping(book: Path, kept: bytes | None, data: bytes) -> ColumnMap | None:
    """The mapping of an earlier run; None if there is none. Raises WorkbookError for one that cannot be read.

    kept: the small file. data: the spreadsheet; where it is still what it was before the last run, that run was broken
    off and its lines are not there.
    """
    path = mapping_file(book)
    if kept is None:
        return None
    try:
        read: dict[str, Any] = json.loads(kept)
        columns = {str(key): str(value) for key, value in read["columns"].items()}
        mapping = ColumnMap(str(read["sheet"]), columns, read_remembered(read.get("appended", [])), _written(read))
        mapping.before = _before(read)
        mapping.passed = [str(name) for name in read.get("passed", [])]
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError):
        instead = "Delete it; the next run proposes a new one"
        raise refuse("damaged", path.name, "this list of columns cannot be read", instead) from None
    _require_known(path, columns)
    before = mapping.before
    if before is not None and before.lines and before.book == mark_of(data):
        mapping.appended, mapping.broken_off = mapping.appended[: -before.lines], mapping.appended[-before.lines :]
        mapping.written = before.written
    return mapping


def _before(read: Mapping[str, Any]) -> Before | None:
    given = read.get("before")
    return None if given is None else Before(str(given["book"]), int(given["lines"]), _written(given))


def _written(read: Mapping[str, Any]) -> list[str] | None:
    names = read.get("written")
    return None if names is None else [str(name) for name in names]


def _require_known(path: Path, columns: Mapping[str, str], *, twice: bool = False) -> None:
    for heading, name in columns.items():
        if name not in KNOWN:
            wrong = f'"{heading}" is to take "{name}", which is no order column'
            raise refuse("not one of the choices", path.name, wrong, f"Choose one of: {', '.join(KNOWN)}")
    again = [name for name in columns.values() if list(columns.values()).count(name) > 1]
    if again and not twice:
        raise refuse("label used twice", path.name, f'two columns are to take "{again[0]}"', "Keep one of them")


def as_json(mapping: ColumnMap) -> bytes:
    """The small file; the columns may be edited there."""
    lines = [as_written(one) for one in mapping.appended]
    content: dict[str, Any] = {"": SAID, "sheet": mapping.sheet, "columns": mapping.columns}
    if mapping.written is not None:
        content["written"] = mapping.written
    if mapping.passed:
        content["passed"] = mapping.passed
    if mapping.before is not None:
        content["before"] = asdict(mapping.before)
    head = json.dumps(content, ensure_ascii=False, indent=1).removesuffix("\n}")
    body = ",\n  ".join(json.dumps(line, ensure_ascii=False) for line in lines)
    return f'{head},\n "appended": [\n  {body}\n ]\n}}\n'.encode()


SHOP_FILE = "bomcheck_columns.json"
SHOP_SAID = (
    "For the whole shop: on the left a heading of your ordering sheets, on the right what goes into that column, nothing for none. "
    "It may be changed; confirmed says whether somebody looked it over. "
)


@dataclass
class ShopColumns:
    """What the shop settled once for all its ordering files. path: where that is kept. columns: heading -> order column, ""
    for none. confirmed: whether somebody said that it is right. content: the file as it was read, None for none."""

    path: Path
    columns: dict[str, str]
    confirmed: bool
    content: bytes | None


def shop_columns(book: Path) -> ShopColumns:
    """Of the file beside an ordering file, or in the folder above. Raises WorkbookError for one that cannot be read."""
    folders = (book.parent, book.parent.resolve().parent)
    path = next((one / SHOP_FILE for one in folders if (one / SHOP_FILE).is_file()), book.parent / SHOP_FILE)
    if not path.is_file():
        return ShopColumns(path, {}, False, None)
    content = path.read_bytes()
    try:
        read = json.loads(content)
        columns = {str(key): str(value) for key, value in read["columns"].items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise refuse(
            "damaged", path.name, "this list of columns cannot be read", "Delete it; the next run proposes a new one"
        ) from None
    _require_known(path, {key: value for key, value in columns.items() if value}, twice=True)
    return ShopColumns(path, columns, read.get("confirmed") is True, content)


def as_shop_json(columns: Mapping[str, str], confirmed: bool) -> bytes:
    """The file of the whole shop."""
    names = f"On the right may stand: {', '.join(KNOWN)}."
    content = {"": SHOP_SAID + names, "confirmed": confirmed, "columns": dict(columns)}
    return (json.dumps(content, ensure_ascii=False, indent=1) + "\n").encode()
