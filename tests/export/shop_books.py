"""Order lines with awkward texts, and ordering spreadsheets as shops have them: invented, made by XlsxWriter."""

import re
import zipfile
from datetime import date
from pathlib import Path

import xlsxwriter

from bomcheck.paper.order_rows import COLUMNS

NASTY = ("00123", "10-1", "1E5", "=1+1", "+5", "-3", "@x", "a,b", 'say "x"', "two\nlines", "<r>no</r>", "ä & <b>")
HEADS = ["Part no", "Qty", "Description", "Vendor", "Price", "Job", "Signed"]


def row(number: int, **given: object) -> dict[str, object]:
    """One order line; texts as given, figures plausible."""
    blank: dict[str, object] = {c.name: "" if c.type == "string" else None for c in COLUMNS}
    figures = {"quantity_needed": 2.0, "pack_size": 5.0, "packs": 1, "quantity_ordered": 5.0, "price_each": 0.7,
               "price_per_pack": 3.5, "line_total": 3.5, "lead_days": 2.0, "needed_by": date(2026, 12, 1)}  # fmt: skip
    return {**blank, **figures, "line_key": f"line {number}", "job_number": "J-7", **given}


ROWS = [row(number, part_number=text, description=f"part {text}") for number, text in enumerate(NASTY)]


def shop_book(path: Path, table: bool = False) -> Path:
    """A sheet of notes, orders with own formats, and a sheet that adds up."""
    book = xlsxwriter.Workbook(path)
    book.add_worksheet("Notes").write("A1", "hello")
    sheet = book.add_worksheet("Orders")
    money = book.add_format({"num_format": "0.00", "bg_color": "#FFEECC"})
    sheet.write("A1", "Orders of the shop")
    sheet.write_row(2, 0, HEADS)
    sheet.write_row(3, 0, ["00001", 2, "clip", "A"])
    sheet.write_number(3, 4, 3.5, money)
    if table:
        sheet.add_table(2, 0, 3, 6, {"columns": [{"header": head} for head in HEADS]})
    else:
        sheet.autofilter(2, 0, 3, 6)
    book.add_worksheet("Sums").write_formula("A1", "=SUM(Orders!B4:B4)", None, 2)
    book.close()
    return path


def prepared_book(path: Path) -> Path:
    """Ruled rows that wait for lines: a date column, sums down to row 20, and a formula of the shop in its last line."""
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("Orders")
    ruled, day = book.add_format({"border": 1}), book.add_format({"num_format": "dd/mm/yyyy", "border": 1})
    for column, head in enumerate(("Date", "Job", "Part no", "Qty", "Price", "Total", "Net of 3 %")):
        sheet.write(0, column, head)
    sheet.write_datetime("A2", date(2026, 1, 5), day)
    for cell, value in {"B2": "J-1", "C2": "0007", "D2": 2, "E2": 1.5}.items():
        sheet.write(cell, value, ruled)
    sheet.write_formula("G2", "=ROUND(D2*E2*0.97,2)", ruled, 2.91)
    sheet.write_formula("F2", "=D2*E2", ruled, 3)
    for line in range(3, 21):
        sheet.write_blank(f"A{line}", None, day)
        for column in "BCDE":
            sheet.write_blank(f"{column}{line}", None, ruled)
        sheet.write_formula(f"F{line}", f"=D{line}*E{line}", ruled, 0)
    book.close()
    return path


def parts_of(path: Path) -> dict[str, bytes]:
    """Every part of a workbook."""
    with zipfile.ZipFile(path) as book:
        return {name: book.read(name) for name in book.namelist()}


def saved_with(path: Path, settings: str) -> Path:
    """The workbook with other settings of calculation: the element calcPr, "" for none."""
    parts = parts_of(path)
    parts["xl/workbook.xml"] = re.sub(rb"<calcPr[^>]*/>", settings.encode(), parts["xl/workbook.xml"])
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for name, content in parts.items():
            book.writestr(name, content)
    return path
