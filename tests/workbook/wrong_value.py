"""A workbook whose stored values are wrong: only a reader that works its formulas out anew gets them right."""

from pathlib import Path

import xlsxwriter

RIGHT = {"A1": ("=1+1", 2.0), "A2": ('="to "&"order"', "to order"), "A3": ("=A1*B3", 10.0)}


def wrong_value(path: Path) -> None:
    """Each formula of RIGHT with another value beside it."""
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("Wrong")
    sheet.write("B3", 5)
    for cell, (formula, _) in RIGHT.items():
        sheet.write_formula(cell, formula, None, 77)
    book.close()
