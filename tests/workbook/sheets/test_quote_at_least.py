"""The Quote's totals say "at least" and what has no price, as long as something has none. LibreOffice is the judge."""

from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from xlsxwriter import Workbook as Writer

from bomcheck.io.sheets.page import Book, Page
from bomcheck.io.sheets.quote_parts import DETAIL, FIGURE, KEY, TOTAL, WIDTHS, Figure, Sums
from bomcheck.model.shipped import folder
from tests.helpers.demo_jobs import checked
from tests.helpers.one_sheet import one_sheet
from tests.workbook.changed_quantity import headings, money_sheets, saved
from tests.workbook.sheets.office import recalculated, recalculated_all
from tests.workbook.sheets.test_quote import row

MANY = 250
SALOON, COUPE = (folder("demo_workbooks") / f"{name}.xlsx" for name in ("saloon_drums_to_discs", "half_measured_coupe"))


def result(demo: Path, tmp_path: Path) -> Workbook:
    """A demo's result, to type in."""
    path = tmp_path / demo.name
    path.write_bytes(demo.read_bytes())
    checked(path)
    return money_sheets(path)


def typed(sheet: Worksheet, key: str, value: object) -> None:
    """In the yellow cell of that line of the Quote."""
    at = next(line[0].row for line in sheet.iter_rows() if line[KEY].value == key)
    sheet.cell(at, FIGURE + 1).value = value


def said(book: Workbook) -> tuple[str, str, object, str]:
    """Title, what is missing, and amount of the total without tax, and the title of that with it, by LibreOffice."""
    net, both = row(book["Quote"], "Total without tax"), row(book["Quote"], "Total with tax")
    return str(net[0]), str(net[DETAIL] or ""), net[TOTAL], str(both[0])


def test_machining_and_kit(tmp_path: Path) -> None:
    """Labour 6.5 h at 58 = 377.00. Boring at 40 for each of two hats, a kit of 900, fluid 25 and cleaner 9 from the shelf:
    1,391.00, and the words are gone."""
    book = result(SALOON, tmp_path)
    least, firm = "Total without tax, EUR (at least)", "Total without tax, EUR"
    tax = "Total with tax, EUR"
    steps = [saved(book)]
    parts = book["Parts list"]
    at = headings(parts)
    bore = next(line[0].row for line in parts.iter_rows(min_row=3) if str(line[0].value).startswith("Bore the hat"))
    parts.cell(bore, at["Price, yours"]).value = 40
    steps.append(saved(book))
    typed(book["Quote"], "quote kit", 900)
    typed(book["Quote"], "quote shelf fluid @ job", 25)
    typed(book["Quote"], "quote shelf cleaner @ job", 9)
    steps.append(saved(book))
    typed(book["Quote"], "quote labour test", "by the customer")
    first, bored, whole, untested = map(said, recalculated_all([*steps, saved(book)], tmp_path))
    assert first == (
        least,
        "Not in it: the kit, Brake fluid DOT 4, Brake cleaner, can, Bore the hat to 60.18 to 60.25 mm",
        377.0,
        f"{tax} (at least)",
    )
    assert bored[:3] == (least, "Not in it: the kit, Brake fluid DOT 4, Brake cleaner, can", 457.0)
    assert whole == (firm, "", 1391.0, tax)
    assert untested[:3] == (least, "Not in it: test", 1362.0)


def test_a_kit_that_the_customer_brings(tmp_path: Path) -> None:
    """0 is a price, also of what comes from the shelf: then only the labour is missing, whose rate the job does not state."""
    book = result(COUPE, tmp_path)
    steps = [saved(book)]
    for key in ("quote kit", "quote shelf fluid @ job", "quote shelf cleaner @ job"):
        typed(book["Quote"], key, 0)
    steps.append(saved(book))
    typed(book["Quote"], "quote rate", 50)
    first, brought, rated = map(said, recalculated_all([*steps, saved(book)], tmp_path))
    assert first[1] == "Not in it: the kit, Brake fluid DOT 4, Brake cleaner, can, the labour"
    assert brought[1] == "Not in it: the labour"
    assert rated == ("Total without tax, EUR", "", 15.1 + 6.5 * 50, "Total with tax: not known")


@pytest.mark.parametrize("priced", [True, False])
def test_more_rows_than_a_formula_can_name(priced: bool, tmp_path: Path) -> None:
    """A spreadsheet's formula holds 8192 characters (Excel's published limits): the rows beyond are "and more"."""
    out = BytesIO()
    book = Writer(out, {"in_memory": True})
    kept = {f"quote {one}": {"figure": 1.0} for one in range(MANY) if priced or one < MANY - 1}
    page = Page(Book(book, None, "metric", "", "", kept), "Quote", "#000000", WIDTHS)  # type: ignore[arg-type]
    sums = Sums(page, Figure("$A$1", 0.0))
    for one in range(MANY):
        sums.priced_line(str(one), f"part {one} with a name", "Part", "", "", None)
    sums.subtotal("Parts, subtotal")
    book.close()
    texts = [cell.value for line in one_sheet(BytesIO(out.getvalue()), "Quote").iter_rows() for cell in line]
    assert 7000 < max(len(one) for one in texts if isinstance(one, str)) < 8192
    found = row(recalculated(out.getvalue(), tmp_path)["Quote"], "Parts, subtotal")
    assert found[0] == ("Parts, subtotal" if priced else "Parts, subtotal (at least)")
    assert found[TOTAL] == len(kept)
    assert (found[TOTAL + 1] or "") == ("" if priced else "No price yet: and more")
