"""Ordering spreadsheets as shops build them, at random, made without anything of the package: by openpyxl and in raw XML.

Invented. Each has titles, some merged, lines with formulas of the shop, totals of one kind or another above, below or on
another sheet, styles, formats, validations, a print area, sometimes a table.
"""

import random
import re
import zipfile
from dataclasses import dataclass, field
from pathlib import Path

from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule
from openpyxl.styles import Border, Font, PatternFill, Side
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table, TableColumn, TableFormula, TableStyleInfo
from openpyxl.worksheet.worksheet import Worksheet

HEADS = ["Part no.", "What", "Qty", "Net", "Line", "Job", "Done"]


@dataclass
class Made:
    """first, last: rows of the lines that are there. below: how many rows of totals and notes follow. sums: cells, sheet and
    address, that sum the column Line over all lines. blanks: free rows between lines and totals. table: whether it is one."""

    path: Path
    first: int
    last: int
    below: int = 0
    blanks: int = 0
    table: bool = False
    sums: list[tuple[str, str]] = field(default_factory=list)


def shop_book(path: Path, dice: random.Random) -> Made:
    """One of them."""
    book = Workbook()
    book.active.title = "Notes"
    book["Notes"]["A1"] = "Call the depot first"
    sheet = book.create_sheet(dice.choice(["Orders", "My orders", "Parts 2026"]))
    heading = dice.randint(1, 6)
    if heading > 2:
        sheet["A1"] = "Orders of the shop"
        sheet.merge_cells("A1:D1")
    for column, text in enumerate(HEADS, 1):
        sheet.cell(heading, column, text).font = Font(bold=True)
    made = Made(path, heading + 1, heading + dice.randint(1, 6))
    _lines(sheet, made, dice)
    made.table = dice.random() < 0.4
    if made.table:
        _table(sheet, made, heading, dice)
    elif dice.random() < 0.7:
        _totals(sheet, made, dice)
    _around(book, sheet, made, dice, heading)
    book.save(path)
    if not made.table and dice.random() < 0.4:
        _shared(path, sheet.title, made)
    return made


def _lines(sheet: Worksheet, made: Made, dice: random.Random) -> None:
    ruled = Border(bottom=Side(style="thin"))
    for row in range(made.first, made.last + 1):
        values = [f"0{row}-{dice.randint(10, 99)}", f"thing {row}", dice.randint(1, 9), dice.randint(100, 900) / 100]
        for column, value in enumerate([*values, f"=C{row}*D{row}", "X-1", None], 1):
            cell = sheet.cell(row, column, value)
            cell.border = ruled
            if column in (4, 5):
                cell.number_format = "#,##0.00"
            if column == 1:
                cell.fill = PatternFill("solid", fgColor="FFF2CC")


def _table(sheet: Worksheet, made: Made, heading: int, dice: random.Random) -> None:
    totals = dice.random() < 0.6
    end = made.last + totals
    table = Table(displayName="Lines", ref=f"A{heading}:G{end}", totalsRowCount=int(totals) or None)
    table.tableStyleInfo = TableStyleInfo(name="TableStyleMedium2", showRowStripes=True)
    table._initialise_columns()
    for column, head in zip(table.tableColumns, HEADS, strict=True):
        column.name = head
    table.tableColumns[4].calculatedColumnFormula = TableFormula(
        attr_text="Lines[[#This Row],[Qty]]*Lines[[#This Row],[Net]]"
    )
    for row in range(made.first, made.last + 1):
        sheet.cell(row, 5).value = "=Lines[[#This Row],[Qty]]*Lines[[#This Row],[Net]]"
    if totals:
        table.tableColumns[0].totalsRowLabel = "Total"
        table.tableColumns[4].totalsRowFunction = "sum"
        sheet.cell(end, 1, "Total")
        sheet.cell(end, 5, "=SUBTOTAL(109,Lines[Line])")
        made.below = 1
        made.sums.append((sheet.title, f"E{end}"))
        table.autoFilter.ref = f"A{heading}:G{made.last}"
    sheet.add_table(table)
    assert isinstance(table.tableColumns[0], TableColumn)


def _totals(sheet: Worksheet, made: Made, dice: random.Random) -> None:
    """Total, VAT, Total with VAT, and a note; sometimes after a free row."""
    made.blanks = dice.choice([0, 0, 1])
    row = made.last + made.blanks + 1
    sheet.cell(row, 2, "Total")
    sheet.cell(row, 5, f"=SUM(E{made.first}:E{made.last})")
    made.sums.append((sheet.title, f"E{row}"))
    made.below = 1
    if dice.random() < 0.7:
        sheet.cell(row + 1, 2, "VAT 20 %")
        sheet.cell(row + 1, 5, f"=E{row}*0.2")
        sheet.cell(row + 2, 2, "Total with VAT")
        sheet.cell(row + 2, 5, f"=E{row}+E{row + 1}")
        made.below = 3
    if dice.random() < 0.5:
        sheet.cell(row + made.below + 1, 1, "Deliver to the back door")
        sheet.merge_cells(start_row=row + made.below + 1, end_row=row + made.below + 1, start_column=1, end_column=4)
        sheet.cell(row + made.below + 1, 1).comment = Comment("ring twice", "shop")


def _around(book: Workbook, sheet: Worksheet, made: Made, dice: random.Random, heading: int) -> None:
    area = f"E{made.first}:E{made.last}"
    title = f"'{sheet.title}'"
    if heading > 2 and dice.random() < 0.6:
        sheet["F2"] = f"=SUM({area})"
        made.sums.append((sheet.title, "F2"))
    if dice.random() < 0.6:
        other = book.create_sheet("Sums")
        other["B3"] = f"=SUM({title}!$E${made.first}:$E${made.last})"
        other["B4"] = "=B3*2"
        other["A9"] = f"=COUNTA({title}!A{made.first}:A{made.last})"
        made.sums.append(("Sums", "B3"))
    if dice.random() < 0.6:
        choice = DataValidation(type="list", formula1='"yes,no"')
        choice.add(f"G{made.first}:G{made.last}")
        sheet.add_data_validation(choice)
    if dice.random() < 0.6:
        red = PatternFill("solid", bgColor="FFC7CE")
        sheet.conditional_formatting.add(
            f"C{made.first}:C{made.last}", CellIsRule(operator="greaterThan", formula=["5"], fill=red)
        )
    if dice.random() < 0.6:
        sheet.print_area = f"A1:G{made.last + made.blanks + made.below}"
    if dice.random() < 0.4:
        sheet.freeze_panes = f"A{heading + 1}"
    if dice.random() < 0.5:
        chart = BarChart()
        chart.add_data(Reference(sheet, min_col=5, min_row=made.first, max_row=made.last))
        chart.set_categories(Reference(sheet, min_col=2, min_row=made.first, max_row=made.last))
        dice.choice([sheet, book["Notes"]]).add_chart(chart, "J3")
    if dice.random() < 0.5:
        named = f"{title}!$E${made.first}:$E${made.last}"
        book.defined_names["AllLines"] = DefinedName("AllLines", attr_text=named)
        book["Notes"]["C5"] = "=SUM(AllLines)"
        made.sums.append(("Notes", "C5"))


def _shared(path: Path, sheet: str, made: Made) -> None:
    """In raw XML: the column Line as one formula that all its cells share, as spreadsheet programs save it."""
    with zipfile.ZipFile(path) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    names = re.findall(rb'<sheet [^>]*name="([^"]*)"', parts["xl/workbook.xml"])
    part = f"xl/worksheets/sheet{names.index(sheet.encode()) + 1}.xml"
    content = parts[part]
    for row in range(made.first, made.last + 1):
        old = f"<f>C{row}*D{row}</f>".encode()
        first = f'<f t="shared" ref="E{made.first}:E{made.last}" si="0">C{row}*D{row}</f>'.encode()
        assert old in content
        content = content.replace(old, first if row == made.first else b'<f t="shared" si="0"/>')
    parts[part] = content
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for name, data in parts.items():
            book.writestr(name, data)
