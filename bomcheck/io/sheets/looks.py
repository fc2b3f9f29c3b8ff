"""How the sheets of a job workbook look: cell formats, page setup, and how tall a row with wrapped text must be."""

import textwrap
from collections.abc import Collection, Mapping, Sequence
from functools import cache, lru_cache
from math import ceil
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from bomcheck.io import layout
from bomcheck.io import layout as palette
from bomcheck.model.records import dataclass
from bomcheck.tables import rows

FONT: dict[str, Any] = {"font_name": "Arial", "font_size": 10, "font_color": palette.INK, "valign": "vcenter"}
DEFAULT_FONT: dict[str, Any] = {"font_name": "Arial", "font_size": 10, "font_scheme": False}
"""Of the workbooks that we make: column widths count in its figures, and it looks alike in every program."""
TEXT, TWO_PLACES = 49, 2
Properties = dict[str, Any]


def _properties(text: str, parts: Mapping[str, Properties]) -> Properties:
    """A cell's look as `tables/looks.txt` writes it."""
    found: Properties = {}
    for item in text.split("; "):
        key, _, value = item.partition("=")
        number = value.replace(".", "", 1).isdigit()
        read = float(value) if number and "." in value else int(value) if number else value != "no" and (value or True)
        found |= (
            parts[item[1:]] if item.startswith("+") else {key: getattr(palette, value) if value.isupper() else read}
        )
    return found


def _looks(on: str) -> dict[str, Properties]:
    parts = {row["name"]: _properties(row["properties"], {}) for row in rows("looks") if row["on"] == "part"}
    return {row["name"]: _properties(row["properties"], parts) for row in rows("looks") if row["on"] == on}


STYLES = _looks("form") | {
    verdict: {"bg_color": fill, "font_color": ink, "bold": True, "align": "center"}
    for verdict, (fill, ink) in palette.VERDICT_COLOURS.items()
}
FOOTER = (
    "&L&9Brakes can kill: a competent person must check the work. This tool certifies nothing.&R&9&A, page &P of &N"
)
PAPER = {"metric": 9, "inch": 1}
PAPER_SIZE = {"metric": (595.3, 841.9), "inch": (612.0, 792.0)}  # pt, upright: ISO 216 A4, ANSI letter
BESIDE, ABOVE = 50.4, 68.4  # pt; both margins of the result's sheets, those of the forms are a hair wider
DIGIT = 7.42  # pixels of a figure in Arial 10; some programs round it down
DEFAULT_ROW = 15.0  # pt
CAREFUL = 0.91  # programs draw rows a little taller


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

    def finish(self, sheet: Worksheet, end: int, widths: Sequence[float], headed: Collection[int] = ()) -> None:
        """Sets the print area, up to before row `end`, and where its pages begin. headed: rows of headings."""
        sheet.print_area(0, 0, end - 1, len(widths) - 1)
        room = room_on_paper(self.system, True, widths)
        sheet.set_h_pagebreaks(page_breaks(sheet, room, range(end), (0, layout.FIRST_ROW), headed))


def styles(workbook: Workbook) -> dict[str, Format]:
    """Every format by name."""
    return {name: workbook.add_format({**FONT, **properties}) for name, properties in STYLES.items()}


def height_of(sheet: Worksheet, row: int) -> float:
    """Of a row [pt]; XlsxWriter keeps pixels."""
    sizes: Mapping[int, Any] = sheet.row_sizes
    return 0.75 * float(sizes[row][0]) if row in sizes else DEFAULT_ROW


def room_on_paper(system: str, landscape: bool, widths: Sequence[float]) -> float:
    """What a page holds that is one page wide, in points of the sheet's own height. widths: of its columns in characters."""
    across, down = PAPER_SIZE[system][::-1] if landscape else PAPER_SIZE[system]
    sheet = sum(0.75 * (DIGIT * characters + 5) for characters in widths)
    return CAREFUL * (down - ABOVE) / min(1.0, (across - BESIDE) / sheet)


def page_breaks(
    sheet: Worksheet, room: float, rows: range, repeated: tuple[int, int], headed: Collection[int], squeeze: float = 1.0
) -> list[int]:
    """Those of `rows` before which a page begins, so that all pages are about equally full and none holds a few rows alone. repeated:
    from, and before which row stand those that each page repeats. headed: rows of headings. squeeze: how many pages' height one may hold."""
    heights = [height_of(sheet, row) for row in rows]
    if sum(heights) <= room * squeeze:
        return []
    for row in range(max(repeated[0], rows.start), repeated[1]):
        heights[row - rows.start] = 0.0  # room for these is kept on each page, the first among them
    room -= sum(height_of(sheet, row) for row in range(*repeated))
    fewest, most, heads = ceil(sum(heights) / room), len(heights) + 1, {row - rows.start for row in headed}
    ways = ((pages, early) for pages in range(fewest, most) for early in (0.65, 0.8, 1.0))
    return [row + rows.start for row in next(filter(None, (_breaks(heights, room, heads, *way) for way in ways)), [])]


def _breaks(heights: Sequence[float], room: float, headed: Collection[int], pages: int, early: float) -> list[int]:
    """Empty where so many pages do not hold all."""
    breaks, first = list[int](), 0
    for rest in range(pages - 1, 0, -1):
        first = max(first + 1, _page_end(heights[first:], {row - first for row in headed}, (rest, early), room) + first)
        breaks.append(first)
    return breaks if sum(heights[first:]) <= room else []


def _page_end(heights: Sequence[float], headed: Collection[int], share: tuple[int, float], room: float) -> int:
    """Row before which the next page begins. share: pages that follow, and what part of an equal page this one must hold to end at a
    heading already; no page ends with one."""
    used, end, heading = 0.0, 0, 0
    rest, early = share
    equal = sum(heights) / (rest + 1)
    while end < len(heights) and used < equal and used + heights[end] <= room:
        used += heights[end]
        end += 1
        if end in headed and end - 1 not in headed and used > equal * early and sum(heights[end:]) <= room * rest:
            heading = end
    while not heading and end > 1 and end - 1 in headed:
        end -= 1
    return heading or end


def row_height(text: str, characters: int, line: float = 12.5, least: float = 18.0) -> float:
    """Height in points of a row whose text wraps after so many characters."""
    return max(least, line * max(1, len(textwrap.wrap(text, characters))) + 4)


def note_size(text: str) -> dict[str, Any]:
    """Options of a cell note that shows all of its text."""
    lines = sum(max(1, len(textwrap.wrap(part, 44))) for part in text.splitlines())
    return {"author": "bomcheck", "width": 300, "height": 16 * lines + 14, "font_size": 9, "font_name": "Arial"}


RULED: Properties = {"bottom": 1, "bottom_color": palette.RULE}
SIGNS = {
    "fits": "✓", "fits with parts": "+", "needs machining": "▲", "does not fit": "×", "not known": "?",
    "does not apply": "–",
}  # fmt: skip
STATUS_COLOURS = {
    "to order": (palette.SKY, palette.BLACK), "no source known": (palette.ORANGE, palette.BLACK),
    "ask": (palette.YELLOW, palette.BLACK), "work": (palette.PALE_PURPLE, palette.INK),
    "in kit": (palette.PALE_GREEN, palette.INK), "on car": (palette.PALE_GREEN, palette.INK),
    "on shelf": (palette.PALE_GREEN, palette.INK), "surplus": (palette.PALE_GREY, palette.QUIET),
}  # fmt: skip


def _word(fill: str, ink: str, sign: str = "") -> Properties:
    """A coloured cell whose word has a sign before it; the sign belongs to the look, so filters see the word alone."""
    shown = {"num_format": f'"{sign} "@'} if sign else {}
    return {**RULED, "bg_color": fill, "font_color": ink, "bold": True, "align": "left", "indent": 1, **shown}


LOOKS = _looks("result")
# What fits is the rule and stays pale: what needs a hand stands out, in grey as well.
CELL_COLOURS = {**palette.VERDICT_COLOURS, "fits": (palette.PALE_GREEN, "#00543D")}
LOOKS |= {f"verdict {word}": _word(fill, ink, SIGNS.get(word, "")) for word, (fill, ink) in CELL_COLOURS.items()}
LOOKS |= {
    f"banner {word}": {"bg_color": fill, "font_color": ink, "bold": True, "font_size": 26, "indent": 1}
    for word, (fill, ink) in palette.VERDICT_COLOURS.items()
}
LOOKS |= {f"status {word}": _word(fill, ink) for word, (fill, ink) in STATUS_COLOURS.items()}


@cache
def combined(names: tuple[str, ...], number_format: str = "") -> Properties:
    """The properties of several looks together; later ones rule."""
    merged: Properties = dict(FONT)
    for name in names:
        merged.update(LOOKS[name])
    if number_format:
        merged["num_format"] = number_format
    return merged


_WIDTHS = {
    191: "'", 222: "ijl", 260: "|", 278: " !,./:;[]\\tfI·", 333: "-()`r“”", 355: '"', 365: "✓²³", 389: "*°", 469: "^",
    500: "ckvxyzsJ", 549: "±÷", 556: "#$0123456789_abdeghnopquL?–", 584: "+<=>~−×", 611: "FTZ", 667: "ABEKPSVXY&",
    722: "CDHNRUw", 778: "GOQ", 833: "Mm", 889: "%", 944: "W", 1000: "→—", 1015: "@",
}  # fmt: skip
UNKNOWN = 620


class _Width(dict[str, int]):
    """Width of a letter [1/1000 of the font size]."""

    def __missing__(self, letter: str) -> int:
        return UNKNOWN


WIDTH = _Width({letter: width for width, letters in _WIDTHS.items() for letter in letters})
BOLD = 1.07
PIXELS_PER_CHARACTER, PADDING_PIXELS, POINTS_PER_PIXEL = 7.0, 5.0, 0.75
INDENT_POINTS = 7.0
SAFETY = 0.97  # programs differ a little in how they round widths
LINE, AROUND = 1.275, 2.5  # height of a line in font sizes; room around all lines [pt]


@lru_cache(maxsize=8192)
def _units(text: str) -> int:
    return sum(map(WIDTH.__getitem__, text))


def text_width(text: str, size: float = 10.0, bold: bool = False) -> float:
    """Width of one line [pt].

    >>> round(text_width("mm", 10), 2)
    16.66
    """
    width = _units(text) * size / 1000
    return width * BOLD if bold else width


@lru_cache(maxsize=4096)
def wrapped_lines(text: str, characters: float, size: float = 10.0, bold: bool = False, indent: int = 0) -> int:
    """Lines of a text in a column so many characters wide.

    >>> wrapped_lines("one two", 20), wrapped_lines("one two three four five", 10), wrapped_lines("a\\nb", 10)
    (1, 3, 2)
    """
    room = (characters * PIXELS_PER_CHARACTER - PADDING_PIXELS) * POINTS_PER_PIXEL * SAFETY - indent * INDENT_POINTS
    return sum(_lines(part, room, size, bold) for part in text.split("\n"))


def _lines(text: str, room: float, size: float, bold: bool) -> int:
    lines, used = 1, 0.0
    space = text_width(" ", size, bold)
    for word in text.split(" "):
        width = text_width(word, size, bold)
        if used and used + space + width > room:
            lines, used = lines + 1, 0.0
        while width > room > 0:  # a word longer than the column is broken
            lines, width = lines + 1, width - room
        used = used + space + width if used else width
    return lines


def lines_height(lines: int, size: float = 10.0) -> float:
    """Height of so many lines [pt]."""
    return lines * size * LINE
