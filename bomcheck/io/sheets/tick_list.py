"""The Tick list: what must lie on the bench, to print and to tick off by hand."""

from collections.abc import Mapping
from typing import Any

from bomcheck.io import layout as palette
from bomcheck.io.read.own import CAME as CAME_HEADING
from bomcheck.io.read.own import INITIALS, TICKED, USED_UP
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.parts_list import amount_format
from bomcheck.io.sheets.words import quantity, sentence
from bomcheck.model.line import amount
from bomcheck.paper.quote import SHELF_KEY
from bomcheck.paper.tick_list import SHELF, Tick, from_a_box, planned, tick_groups, tick_name, wrote

NAME, KIND = "Tick list", "tick list"
HEADINGS = (TICKED, "Part", "Side", "Quantity", "Part number", "What to look at", CAME_HEADING, USED_UP, INITIALS)
WIDTHS = (3.5, 29.5, 6, 9, 12.5, 21.7, 6.9, 6.4, 7.5)
BOX, PART, SIDE, QUANTITY, NUMBER, LOOK, CAME, USED, SIGN = range(9)
EMPTY_BOX = "☐"


def write_tick_list(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.GREEN, WIDTHS, landscape=False)
    page.head(NAME, book.who, HEADINGS, (QUANTITY,), beside=SIDE)
    page.name_column(page.row - 1)
    for title, ticks in tick_groups(book.report.parts, book.report.cured.get("rotor_build")):
        page.group(f"{title} ({len(ticks)})")
        for tick in ticks:
            page.line(_cells(page, title, tick), least=24)
    if not book.report.parts:
        page.line([text(""), text("Nothing is known yet of what this corner needs")])
    signed = "Unpacked and checked by, date"
    stands = page.written("tick signed", signed)
    page.line({PART: text(signed, "bold"), **_room(stands)}, least=30)
    page.finish()


def _cells(page: Page, group: str, tick: Tick) -> dict[int, Cell]:
    line = tick.line
    words, part_number = line.named
    page.written(tick_name(group, line), f"{group}: {words}")
    stands = wrote(line, page.book.kept)[group]
    if not from_a_box(group):
        cell = f"'{page.name}'!{address(page.row, USED)}"
        key = f"{SHELF_KEY}{line.key}" if group == SHELF else line.out_of or line.key
        rows = page.book.used.setdefault(key, [])
        rows.insert(0 if key == line.key else len(rows), (cell, amount(stands, "used"), planned(line)))
    more = [line.spec, f"pack of {quantity(line.pack_size, line.unit)}" if line.packs and line.pack_size != 1 else ""]
    return {
        BOX: Cell(str(stands.get("ticked") or EMPTY_BOX), ("cell", "centre")),
        PART: Cell(sentence(words), ("cell", "bold"), more=tuple((said, ("quiet", "plain")) for said in more if said)),
        SIDE: text("" if line.side == "either" else line.side, "bold"),
        QUANTITY: Cell(tick.quantity, ("cell", "right", "bold"), shown=amount_format(line.unit)),
        NUMBER: text(part_number, "small"),
        LOOK: text(tick.look, "small"),
        **_room(stands),
    }


def _room(stands: Mapping[str, Any]) -> dict[int, Cell]:
    """Where it is ticked off and signed, with what was written there."""
    room = {column: text(str(stands.get(key) or "")) for column, key in ((CAME, "came"), (SIGN, "initials"))}
    used = amount(stands, "used")
    return {**room, USED: text(str(stands.get("used") or "")) if used is None else Cell(used, ("cell", "right"))}
