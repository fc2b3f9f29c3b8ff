"""How the sheets of a job workbook look: cell formats, page setup, and how tall a row with wrapped text must be."""

import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from bomcheck.workbook import layout, palette

FONT: dict[str, Any] = {"font_name": "Arial", "font_size": 10, "font_color": palette.INK, "valign": "vcenter"}
TEXT, TWO_PLACES = 49, 2
_SMALL: dict[str, Any] = {"font_size": 9, "font_color": palette.QUIET}
_INPUT: dict[str, Any] = {
    "bg_color": palette.PALE_YELLOW,
    "border": 1,
    "border_color": palette.RULE,
    "align": "left",
    "locked": False,
}
_LINE: dict[str, Any] = {"bottom": 1, "bottom_color": palette.RULE}
STYLES: dict[str, dict[str, Any]] = {
    "title": {"font_size": 15, "bold": True, "font_color": palette.BLUE},
    "subtitle": {**_SMALL, "font_size": 10},
    "heading": {"bold": True, "font_color": palette.WHITE, "bg_color": palette.BLUE, "text_wrap": True, "indent": 1},
    "table heading": {
        "bold": True,
        "font_color": palette.WHITE,
        "bg_color": palette.BLUE,
        "text_wrap": True,
        "valign": "top",
    },
    "group": {"bold": True, "font_color": palette.BLUE, "bg_color": palette.PALE_SKY, "indent": 1},
    "label": {**_LINE, "indent": 1, "text_wrap": True},
    "plain": {**_LINE, "indent": 1},
    "none": {**_LINE, "bg_color": palette.PALE_GREY},
    "small": {**_LINE, **_SMALL, "text_wrap": True, "indent": 1},
    "figure": {**_LINE, "align": "right"},
    "input": {**_INPUT, "indent": 1},
    "input text": {**_INPUT, "indent": 1, "num_format": TEXT},
    "input long text": {**_INPUT, "indent": 1, "num_format": TEXT, "text_wrap": True},
    "input date": {**_INPUT, "indent": 1, "num_format": "yyyy-mm-dd"},
    "table input": {**_INPUT},
    "table text": {**_INPUT, "num_format": TEXT},
    "table money": {**_INPUT, "align": "right", "num_format": TWO_PLACES},
    "step": {"text_wrap": True, "valign": "top"},
    "meaning": {"indent": 1},
    "number": {"bold": True, "font_color": palette.BLUE, "align": "center", "valign": "top"},
    "section": {"bold": True, "font_size": 11, "font_color": palette.BLUE, "bottom": 2, "bottom_color": palette.SKY},
    "caution": {"text_wrap": True, "valign": "top", "bg_color": palette.PALE_VERMILLION, "indent": 1},
    "caution heading": {"bold": True, "font_color": palette.WHITE, "bg_color": palette.VERMILLION, "indent": 1},
    "command": {"font_name": "Courier New", "bold": True, "bg_color": palette.PALE_GREY, "indent": 1},
    "demo": {"text_wrap": True, "bg_color": palette.PALE_GREEN, "indent": 1, "bold": True},
} | {
    verdict: {"bg_color": fill, "font_color": ink, "bold": True, "align": "center"}
    for verdict, (fill, ink) in palette.VERDICT_COLOURS.items()
}
FOOTER = (
    "&L&8Brakes can kill: a competent person must check the work. This tool certifies nothing.&R&8&A, page &P of &N"
)
PAPER = {"metric": 9, "inch": 1}


@dataclass(frozen=True, slots=True)
class Book:
    """A workbook in the making: its system of units, its formats by name, and what is filled in."""

    workbook: Workbook
    system: str
    styles: Mapping[str, Format]
    filled: Mapping[str, Any]

    def sheet(self, name: str, colour: str) -> Worksheet:
        """A new sheet with a coloured tab and a page that prints one page wide with numbered pages."""
        sheet: Worksheet = self.workbook.add_worksheet(name)
        sheet.set_tab_color(colour)
        sheet.hide_gridlines(2)
        sheet.set_paper(PAPER[self.system])
        sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.7)
        sheet.fit_to_pages(1, 0)
        sheet.set_footer(FOOTER)
        return sheet

    def head(
        self, sheet: Worksheet, title: str, subtitle: str, headings: tuple[str, ...], style: str = "heading"
    ) -> None:
        """Title, one line of explanation beside it, and the row of headings, which stays in view and is repeated in print."""
        sheet.set_row(layout.TITLE_ROW, 27)
        sheet.write_string(layout.TITLE_ROW, 0, title, self.styles["title"])
        sheet.write_string(layout.TITLE_ROW, 2 if style == "table heading" else 1, subtitle, self.styles["subtitle"])
        sheet.set_row(layout.HEADING_ROW, 24 if style == "heading" else 42)
        for column, text in enumerate(headings):
            sheet.write_string(layout.HEADING_ROW, column, text, self.styles[style])
        sheet.freeze_panes(layout.FIRST_ROW, 1)
        sheet.repeat_rows(layout.TITLE_ROW, layout.HEADING_ROW)
        sheet.set_landscape()


def styles(workbook: Workbook) -> dict[str, Format]:
    """Every format by name."""
    return {name: workbook.add_format({**FONT, **properties}) for name, properties in STYLES.items()}


def row_height(text: str, characters: int, line: float = 12.5, least: float = 18.0) -> float:
    """Height in points of a row whose text wraps after so many characters."""
    return max(least, line * max(1, len(textwrap.wrap(text, characters))) + 4)


def note_size(text: str) -> dict[str, Any]:
    """Options of a cell note that shows all of its text."""
    lines = sum(max(1, len(textwrap.wrap(part, 44))) for part in text.splitlines())
    return {"author": "bomcheck", "width": 300, "height": 16 * lines + 14, "font_size": 9, "font_name": "Arial"}
