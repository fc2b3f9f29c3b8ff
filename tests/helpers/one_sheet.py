"""One sheet of a workbook as openpyxl reads it, without the time that all the others take."""

from pathlib import Path
from typing import IO

from openpyxl.reader.excel import ExcelReader
from openpyxl.worksheet.worksheet import Worksheet


class _Reader(ExcelReader):
    """Reads one sheet; the others are there by name, and empty."""

    only = ""

    def read_worksheets(self) -> None:
        pairs = list(self.parser.find_sheets())
        for pair in pairs:
            if pair[0].name == self.only:
                self.parser.find_sheets = lambda pair=pair: [pair]
                super().read_worksheets()
            else:
                self.wb.create_sheet(pair[0].name)


def one_sheet(book: Path | str | IO[bytes], name: str, data_only: bool = False, rich_text: bool = False) -> Worksheet:
    """The sheet of that name; its book is for reading only. KeyError where there is none."""
    reader = _Reader(book, data_only=data_only, rich_text=rich_text)
    reader.only = name
    reader.read()
    return reader.wb[name]
