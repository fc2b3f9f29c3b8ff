"""Two sheets such as the program writes, with every feature that must survive the transplant."""

import io

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

KINDS = {"Compatibility": "compatibility", "Parts list": "parts list"}


def our_sheets(verdict: str = "fits", user_sheet: str = "Corner", names: tuple[str, str] = tuple(KINDS)) -> bytes:
    """A workbook in memory with the sheets of KINDS; `user_sheet` is the tab that its jump link leads to."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    compatibility, parts = (book.add_worksheet(name) for name in names)
    _fill_compatibility(book, compatibility, verdict, user_sheet, names)
    parts.write_row("A1", ["part", "pieces"])
    parts.write("B2", 42)
    parts.write_comment("B1", "count them")
    chart = book.add_chart({"type": "scatter"})
    values, first = f"='{names[1]}'!$B$2:$B$3", f"='{names[0]}'!$B$2:$B$3"
    chart.add_series({"values": values, "categories": first, "name": f"='{names[1]}'!$B$1"})
    compatibility.insert_chart("F2", chart)
    book.close()
    return stream.getvalue()


def _fill_compatibility(
    book: xlsxwriter.Workbook, sheet: Worksheet, verdict: str, user_sheet: str, names: tuple[str, str]
) -> None:
    number = book.add_format({"bold": True, "bg_color": "#FFCC00", "num_format": '0.00 "mm"', "border": 1})
    red = book.add_format({"font_color": "#D55E00"})
    sheet.write("A1", verdict, number)
    sheet.write("A2", "plain text with ü, <, & and '")
    sheet.write_formula("B2", f"='{names[1]}'!B2*2", number, 84)
    sheet.write_formula("B3", f'="see Compatibility!A1"&{user_sheet}!B2', None, "see Compatibility!A164.1")
    sheet.write_rich_string("A4", "a ", red, "red", " word")
    sheet.write_url("A5", f"internal:'{names[1]}'!B2", string="jump to the parts")
    sheet.write_url("A6", f"internal:'{user_sheet}'!B2", string="jump to the cell that was read")
    sheet.conditional_format("B1:B9", {"type": "data_bar", "data_bar_2010": True, "bar_color": "#56B4E9"})
    sheet.conditional_format("C1:C9", {"type": "formula", "criteria": f"='{names[1]}'!$B$2>3", "format": red})
    sheet.data_validation("D1", {"validate": "list", "source": f"='{names[1]}'!$B$1:$B$3"})
    sheet.write_comment("A1", "how it was reckoned")
    sheet.freeze_panes(1, 0)
    sheet.autofilter("A1:C9")
    sheet.repeat_rows(0)
    sheet.print_area("A1:D9")
    sheet.fit_to_pages(1, 0)
    sheet.set_column("A:A", 30, number)
    sheet.set_row(7, 20, red)
