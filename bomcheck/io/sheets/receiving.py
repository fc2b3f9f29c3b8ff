"""The Receiving sheet: what must come against what came, live, and every line of every slip that was booked."""

from collections.abc import Sequence

from bomcheck.io import layout as palette
from bomcheck.io.layout import counts_as
from bomcheck.io.receive.match import SLIPS, Receipt
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.parts_list import amount_format
from bomcheck.io.sheets.words import sentence
from bomcheck.paper.awaited import Expected, expected

NAME, KIND = "Receiving", "receiving"
WIDTHS = (27, 8, 14, 28, 9, 8, 12, 32, 3)
LIST = ("Part", "Side", "Part number", "From", "Expected", "Came", "Missing", "State", "")
EXPECTED, CAME, MISSING = 4, 5, 6
THERE, SHORT, AWAITED = "there", "short", "still to come"
LOOKS = {
    "came": "status in kit",
    "wrong": "verdict does not fit",
    "surplus": "status surplus",
    "unknown": "status no source known",
    "other job": "status surplus",
}


def write_receiving(book: Book, receipts: Sequence[Receipt]) -> None:
    """Adds the sheet; the Parts list must have been written before."""
    page = Page(book, NAME, palette.GREEN, WIDTHS, printed=len(WIDTHS) - 1)
    about = f"{book.who}. What came is counted in the column Received of the Parts list."
    page.head(NAME, about, LIST, (EXPECTED, CAME, MISSING))
    by_line: dict[str, list[Expected]] = {}
    for one in expected(book.report):
        by_line.setdefault(one.line.key, []).append(one)
    for things in by_line.values():
        page.line(_thing_cells(page, things))
    page.row += 1
    page.headings(SLIPS, (4,))
    for receipt in receipts:
        page.line(_receipt_cells(receipt))
    page.finish()


def _thing_cells(page: Page, things: Sequence[Expected]) -> dict[int, Cell]:
    """One line of the parts list: from the box, from the order, or from both."""
    line, row, shown = things[0].line, page.row, amount_format(things[0].line.unit)
    total = round(sum(one.quantity for one in things), 6)
    came = line.own.received
    missing = max(0.0, round(total - came, 6))
    at = page.book.refs[line.key].received
    sources = (f"{one.source}{f' with {one.line.supplier}' * bool(one.packs and one.line.supplier)}" for one in things)
    here, there, left = (address(row, column) for column in (EXPECTED, CAME, MISSING))
    state = THERE if not missing else SHORT if came else AWAITED
    return {
        0: text(sentence(line.description or line.role), "bold"),
        1: text("" if line.side == "either" else line.side),
        2: text(", ".join(dict.fromkeys(one.part_number for one in things if one.part_number))),
        3: text(sentence(" and ".join(dict.fromkeys(sources)))),
        EXPECTED: Cell(total, ("cell", "right"), shown=shown),
        CAME: Cell(came, ("cell", "right"), formula=f"={counts_as(at)}", shown=shown),
        MISSING: Cell(missing, ("cell", "right", "bold"), formula=f"=MAX(0,ROUND({here}-{there},6))", shown=shown),
        7: Cell(state, ("cell",), formula=f'=IF({left}=0,"{THERE}",IF({there}>0,"{SHORT}","{AWAITED}"))'),
    }


def _receipt_cells(receipt: Receipt) -> dict[int, Cell]:
    words = (receipt.slip, receipt.day, receipt.part_number, receipt.description, receipt.quantity, receipt.side)
    cells = {column: text(one) for column, one in enumerate(words)}
    look = (LOOKS[receipt.result], "top") if receipt.result in LOOKS else ("cell",)
    return {**cells, 6: Cell(receipt.result, look), 7: text(receipt.why, "small"), 8: Cell(receipt.mark, ("key",))}
