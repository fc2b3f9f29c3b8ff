"""What the shop typed into the lists of an earlier run, read back."""

import re
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from bomcheck.io.cells import Cell
from bomcheck.io.disk import is_there, real_path
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package, open_package, texts_below
from bomcheck.io.read.value import read_money
from bomcheck.io.refusal import one_line, refuse
from bomcheck.model.errors import BomcheckError, Fault, Place, Unreadable, WorkbookError
from bomcheck.model.job import Job
from bomcheck.model.line import PACK, amount
from bomcheck.paper.parts_columns import PART_COLUMNS, TYPED
from bomcheck.paper.quote import QUOTE_PREFIX
from bomcheck.paper.tick_list import BENCH_PREFIX
from bomcheck.tables import rows
from bomcheck.tables.fields import plain

KEY_HEADING = "Line"
ORDERED = tuple(next(one.heading for one in PART_COLUMNS if one.name == name) for name in ("part_number", "supplier"))
FIGURE = "Yours"
INPUTS = {**TYPED, "figure": FIGURE, **{row["name"]: row["heading"] for row in rows("sheet_columns") if row["typed"]}}
DONE, FINAL, CAME, INITIALS, TRIED = "Done by", "Final", "Came", "Initials", "Pieces tried"
USED_UP, TICKED = "Used", "OK"
BENCH = {DONE: "done", FINAL: "done", CAME: "came", INITIALS: "initials", TRIED: "tried"}
BENCH |= {USED_UP: "used", TICKED: "ticked"}
"""Columns in which the bench writes: Fit-up and test, Tick list, Shims."""
ROOM = ("☐", "_______")
"""What stands there as long as nobody wrote anything."""
NUMBERS = ("on_hand", "own_price", "received", "figure")
MEASURE_PREFIX, TRY_PREFIX = "measure ", "try "
BILL_PREFIX = f"{QUOTE_PREFIX}bill "
OTHER_SHEETS = (MEASURE_PREFIX, QUOTE_PREFIX, BENCH_PREFIX, TRY_PREFIX)


def read_kept(cells: Mapping[str, Cell]) -> dict[str, dict[str, Any]]:
    """What stands in the input columns of Parts list or Measure next.

    cells: of the sheet, by address. The columns are found by their headings, the lines by their name in the last
    column, so moved columns and sorted rows do no harm. Returns {line: {"on_hand": 2.0, "own_note": "call", ...}}; a line
    of which nothing was typed is absent.
    """
    return {line: {key: cell.content for key, cell in typed.items()} for line, typed in input_cells(cells).items()}


def input_cells(cells: Mapping[str, Cell]) -> dict[str, dict[str, Cell]]:
    """The cells in which something was typed, as `read_kept` finds them. A sheet may have several rows of headings."""
    wanted = {plain(words): key for key, words in INPUTS.items()} | {plain(words): key for words, key in BENCH.items()}
    rows: dict[int, list[Cell]] = {}
    for cell in cells.values():
        rows.setdefault(cell.row, []).append(cell)
    inputs, names = dict[int, str](), 0
    typed: dict[str, dict[str, Cell]] = {}
    for _, row in sorted(rows.items()):
        texts = {plain(cell.text): cell.column for cell in row if cell.kind == "text"}
        if plain(KEY_HEADING) in texts and wanted.keys() & texts.keys():
            names, inputs = (
                texts[plain(KEY_HEADING)],
                {texts[words]: key for words, key in wanted.items() if words in texts},
            )
            continue
        name = next((cell.text for cell in row if cell.column == names), "")
        for cell in row if name else ():
            if cell.column in inputs and cell.value is not None and _is_typed(cell, name, inputs[cell.column]):
                typed.setdefault(name, {})[inputs[cell.column]] = cell
    for line, entries in list(typed.items()):
        if "own_price" not in entries:
            entries.pop("own_price_per", None)  # it stands ready beside every price
        if not entries:
            del typed[line]
    return typed


def _is_typed(cell: Cell, line: str, key: str) -> bool:
    """Not what we put there: room to write, or the shims to start with, whose number the line's name ends in."""
    text = cell.text.strip()
    return bool(text) and text not in ROOM and not (key == "tried" and text == line.rpartition("|")[2])


def kept_from(package: Package) -> dict[str, dict[str, Any]]:
    """{line: {column: value}} of all sheets of ours; empty for a workbook that was not checked yet."""
    kept: dict[str, dict[str, Any]] = {}
    sheets = marked_sheets(package)
    for name in sheets.values():
        for line, typed in read_kept(package.cells(name)).items():
            kept.setdefault(line, {}).update(typed)
    if "receiving" in sheets:
        from bomcheck.io.receive.match import read_receipts, taken_instead

        for line, took in taken_instead(read_receipts(package.cells(sheets["receiving"]))).items():
            kept.setdefault(line, {})["instead"] = took
    return kept


def as_ordered(package: Package) -> dict[str, frozenset[tuple[str, str]]]:
    """(part number, supplier) that the Parts list shows beside each line, of a line that is met by two kinds of packs both."""
    name, found = marked_sheets(package).get("parts"), dict[str, frozenset[tuple[str, str]]]()
    for line, number, supplier in texts_below(package.cells(name), (KEY_HEADING, *ORDERED)) if name else ():
        if line and number and supplier:
            key = re.sub(rf"{PACK}\d+$", "", line)
            found[key] = found.get(key, frozenset()) | {(number, supplier)}
    return found


COUNTED = ("on_hand", "own_price", "received")


class Stopped(BomcheckError):
    """Cells that must be corrected first; one line for each."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


def require_sound(job: Job, package: Package) -> None:
    """Raises Stopped where a cell cannot be trusted that tells what is to be ordered, or has come."""
    faults = [fault for fault in job.faults if fault.stops]
    faults += [one for one in typed_faults(package, str(job.get("currency") or "")) if one.key in COUNTED]
    if faults:
        raise Stopped(faults)


JUDGED = {column.name: column.judged for column in PART_COLUMNS if column.judged}
QUOTE = {
    "kit": "the price of the kit to the customer", "rate": "the price of an hour", "days": "for how many days the quote holds",
    "mark-up": "the percentage", "consumables": "the percentage", "tax": "the percentage",
}  # fmt: skip
"""What a figure of the Quote is; all others are hours."""
MONEY = ("kit", "rate")
HOURS = "the hours for one time"
Judge = Callable[[Cell], Unreadable | None]


def own_faults(package: Package, currency: str) -> list[Fault]:
    """Those of Parts list, Quote, Tick list and Bill, in this order. currency: of the job, "" where it states none."""
    used = partial(_bad_number, what="how many were used", wrong="this is no quantity")
    judges: dict[str, Callable[[str, str], Judge | None]] = {
        "quote": partial(_quote_judge, currency),
        "tick list": lambda _line, key: used if key == "used" else None,
        "bill": partial(_quote_judge, currency),
    }
    return [
        *typed_faults(package, currency),
        *(fault for kind, judge in judges.items() for fault in _sheet_faults(package, kind, judge)),
    ]


def typed_faults(package: Package, currency: str) -> list[Fault]:
    """Those of the Parts list; `key` is the column: "on_hand", "own_price" or "received"."""
    return _sheet_faults(package, "parts", partial(_parts_judge, currency))


def _sheet_faults(package: Package, kind: str, judge_of: Callable[[str, str], Judge | None]) -> list[Fault]:
    """judge_of: for a line and a column; None for a column in which everything may stand."""
    name = marked_sheets(package).get(kind)
    return [] if name is None else list(_faults(package, name, judge_of))


def _faults(package: Package, name: str, judge_of: Callable[[str, str], Judge | None]) -> Iterator[Fault]:
    for line, cells in input_cells(package.cells(name)).items():
        for key, cell in cells.items():
            judge = judge_of(line, key)
            bad = judge(cell) if judge else None
            if bad is not None:
                place = Place(package.file, name, cell.address)
                yield Fault(bad.kind, place, one_line(cell.text), bad.wrong, bad.instead, key)


def _parts_judge(currency: str, _line: str, key: str) -> Judge | None:
    if key == "own_price":
        return partial(_bad_price, currency=currency, what="the price of a pack, without tax")
    return partial(_bad_number, what=JUDGED[key], wrong="this is no quantity") if key in JUDGED else None


def _quote_judge(currency: str, line: str, key: str) -> Judge | None:
    if key != "figure":
        return None
    name = line.removeprefix(QUOTE_PREFIX)
    if name in MONEY or name.startswith(("shelf ", "list ")):
        return partial(_bad_price, currency=currency, what=QUOTE.get(name, "what the part costs"))
    what = QUOTE.get(name, HOURS)
    return partial(_bad_number, what=what, wrong="this is no figure of 0 or more")


def _bad_number(cell: Cell, what: str, wrong: str) -> Unreadable | None:
    value = cell.value if cell.kind == "number" else amount({"typed": cell.text}, "typed")
    if isinstance(value, float | int) and value >= 0:
        return None
    return Unreadable("unreadable text", cell.text, wrong, f"Type {what} as a number, or clear the cell")


def _bad_price(cell: Cell, currency: str, what: str) -> Unreadable | None:
    try:
        price = read_money(cell, currency)
    except Unreadable as bad:
        return bad
    if price is not None and price < 0:
        return Unreadable("out of range", cell.text, "a price is never negative", f"Type {what}")
    if cell.kind == "number" or amount({"typed": cell.text}, "typed") is not None:
        return None
    if price is None:
        return Unreadable("unreadable text", cell.text, "this is no price", f"Type {what}, or clear the cell")
    return Unreadable("unreadable text", cell.text, "the price has its currency in the cell", f"Type {price:g} alone")


Own = Mapping[str, Mapping[str, Any]]


def earlier_result(source: Path, out: Path | None) -> Package | None:
    """The workbook at `out`; None where nothing is there, or where it is the source itself.

    Raises WorkbookError where something else than a result of an earlier run stands there.
    """
    if out is None or not is_there(out) or real_path(out) == real_path(source):
        return None
    try:
        package = open_package(out)
    except WorkbookError:
        raise _taken(out) from None
    if not marked_sheets(package):
        raise _taken(out)
    return package


def _taken(out: Path) -> WorkbookError:
    wrong = "something that is no result of an earlier check stands there, and it is not overwritten"
    return refuse("file", out.name, wrong, "Give another name with --out")


def over(own: Own, later: Own) -> dict[str, dict[str, Any]]:
    """The yellow entries of the job, with those of an earlier result over them, by line and column."""
    return {line: {**own.get(line, {}), **later.get(line, {})} for line in dict.fromkeys((*own, *later))}
