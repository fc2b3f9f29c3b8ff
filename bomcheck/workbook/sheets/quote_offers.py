"""Pads and fluid out of the price list for the car's duty, below the Quote's total; nothing of it is in the total."""

from bomcheck.quote import bought
from bomcheck.quote_options import Option, options
from bomcheck.workbook.sheets.page import Cell, Page, text
from bomcheck.workbook.sheets.quote_columns import COUNT_LOOKS, DETAIL, ITEM, QUANTITY, SHOP, TOTAL
from bomcheck.workbook.sheets.quote_rows import Sums
from bomcheck.workbook.sheets.words import quantity, sentence


def write_options(page: Page, sums: Sums) -> None:
    """Adds the rows, with the mark-up on their prices."""
    found = options(page.book.report)
    if not found:
        return
    page.row += 1
    page.group("Options for the car's duty, not added to the total")
    quoted = {line.part_number for line in bought(page.book.report) if line.part_number}
    for one in found:
        page.line(_cells(page, sums, one, one.purchase.part.part_number in quoted))


def _cells(page: Page, sums: Sums, one: Option, quoted: bool) -> dict[int, Cell]:
    part, purchase = one.purchase.part, one.purchase
    why = f"{one.why}; this one is quoted above" if quoted else one.why
    price = purchase.total
    named = [word for word in (part.part_number, part.supplier) if word]
    return {
        ITEM: text(f"{sentence(one.what)}, {one.grade}", "bold"),
        DETAIL: Cell(sentence(part.description), ("cell", "small"), more=((sentence(why), ("quiet",)),)),
        QUANTITY: Cell(_quantity(one), COUNT_LOOKS),
        TOTAL: text("") if price is None else sums.marked_up(f"{price:g}", price),
        SHOP: text(", ".join(named), "small"),
    }


def _quantity(one: Option) -> str:
    packs, size = one.purchase.packs, one.purchase.pack_size
    unit = "L" if one.what == "fluid" else "set"
    return quantity(size, unit) if packs == 1 else f"{packs:g} x {quantity(size, unit)}"
