"""A section through wheel, hub, rotor, caliper and ear, drawn with filled cells: it shows where positions count from."""

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from bomcheck.io import layout
from bomcheck.io import layout as palette
from bomcheck.io.sheets.looks import Book, row_height
from bomcheck.model.records import dataclass
from bomcheck.tables import texts

TEXTS = texts("first_sheet")
SECTION = tuple(line[1:] for line in TEXTS["section"])
HUB_FACE = 13
PARTS = {
    letter: (palette.colour(colour), name) for letter, colour, name in (line.split("\t") for line in TEXTS["parts"])
}
# text, first and last column of the bar
LENGTHS = [(words, int(first), int(last)) for words, first, last in (line.split("\t") for line in TEXTS["lengths"])]
TALL = 12.0
NAMED = {"font_name": "Arial", "font_size": 9, "valign": "vcenter", "indent": 1}


def draw_section(workbook: Workbook, sheet: Worksheet, top: int) -> None:
    """Draws into 40 narrow columns and 17 rows from row `top` on."""
    formats: dict[tuple[str, bool, bool], Format] = {}
    for down, line in enumerate(SECTION):
        sheet.set_row(top + down, TALL)
        for column, letter in enumerate(line):
            face, axis = column == HUB_FACE, down == len(SECTION) - 1
            if letter != " " or face or axis:
                sheet.write_blank(top + down, column, None, _cell(workbook, formats, letter, face, axis))
    _name_parts(workbook, sheet, top)
    _ruler(workbook, sheet, top + len(SECTION))
    _draw_lengths(workbook, sheet, top + len(SECTION) + 1)


def _cell(
    workbook: Workbook, formats: dict[tuple[str, bool, bool], Format], letter: str, face: bool, axis: bool
) -> Format:
    """A filled cell; the hub face is a thick line at its left, the hub axis a dash-dotted one at its foot."""
    kind = (letter, face, axis)
    if kind not in formats:
        made = workbook.add_format({"bg_color": PARTS[letter][0]} if letter in PARTS else {})
        if face:
            made.set_left(5)
        if axis:
            made.set_bottom(10)
        formats[kind] = made
    return formats[kind]


def _name_parts(workbook: Workbook, sheet: Worksheet, top: int) -> None:
    for down, (colour, name) in enumerate(PARTS.values(), start=1):
        sheet.write_blank(top + down, 32, None, workbook.add_format({"bg_color": colour}))
        sheet.merge_range(top + down, 33, top + down, 39, name, workbook.add_format(NAMED))


def _ruler(workbook: Workbook, sheet: Worksheet, row: int) -> None:
    look = {"font_name": "Arial", "font_size": 9, "bold": True, "font_color": palette.INK}
    sheet.set_row(row, 15)
    sheet.merge_range(row, 0, row, 8, "outboard  −", workbook.add_format({**look, "align": "right"}))
    sheet.merge_range(row, 9, row, 16, "0 = hub face", workbook.add_format({**look, "align": "center"}))
    sheet.merge_range(row, 17, row, 25, "+  inboard", workbook.add_format(look))


def _draw_lengths(workbook: Workbook, sheet: Worksheet, row: int) -> None:
    line, start, end = (workbook.add_format({"bottom": 5, **ends}) for ends in ({}, {"left": 5}, {"right": 5}))
    for down, (name, first, last) in enumerate(LENGTHS):
        sheet.set_row(row + down, 14)
        for column in range(first, last + 1):
            sheet.write_blank(row + down, column, None, start if column == first else end if column == last else line)
        sheet.merge_range(row + down, 26, row + down, 39, name, workbook.add_format(NAMED))


GRID = 40
EXAMPLES = {"metric": "44.5 mm, 1-3/4 in, 30 thou, 35 ft-lb", "inch": "1-3/4, .750, 44.5 mm, 30 thou, 48 N·m"}
CELLS = (
    ("input", "To fill in"),
    ("label", "Label, unit, usual limit: leave it"),
    ("group", "Heading of a group"),
)
VERDICTS = [line.split("\t") for line in TEXTS["verdicts"]]


@dataclass(slots=True)
class Page:
    """The sheet being written from the top down; `row` is the next free row."""

    book: Book
    sheet: Worksheet
    row: int = 0

    def text(self, text: str, style: str, first: int = 0, last: int = GRID - 1, height: float | None = None) -> None:
        """Writes a text across columns and goes on to the next row; the height follows from the text."""
        characters = int((last - first + 1) * 2.9)
        self.sheet.set_row(self.row, height or row_height(text, characters, line=13.0, least=17.0))
        self.across(text, style, first, last)
        self.row += 1

    def across(self, text: str, style: str, first: int, last: int) -> None:
        """Writes a text across columns of the present row."""
        self.sheet.merge_range(self.row, first, self.row, last, text, self.book.styles[style])

    def section(self, title: str) -> None:
        self.row += 1
        self.text(title, "section", height=20)


def write_start(book: Book) -> None:
    """Adds the first sheet. `filled["start_note"]`, if given, stands at the top: what a demo shows."""
    sheet = book.sheet(layout.START, palette.INK)
    sheet.set_column(0, GRID - 1, 2.0)
    page = Page(book, sheet)
    page.text(f"Brake job workbook, {book.system}", "title", height=28)
    page.text("Will this kit go on this corner, and what must be added, measured and ordered first?", "subtitle")
    if book.filled.get("start_note"):
        page.text(book.filled["start_note"], "demo")
    _how_to(page)
    _colours(page)
    sheet.set_h_pagebreaks([page.row + 1])
    page.section("Where sizes count from")
    draw_section(page.book.workbook, sheet, page.row)
    page.row += 18
    for sign in TEXTS["signs"]:
        page.text(sign, "step")
    page.row += 1
    page.text("Cautions", "caution heading", height=18)
    for caution in TEXTS["cautions"]:
        page.text(caution, "caution")
    sheet.print_area(0, 0, page.row - 1, GRID - 1)


def _how_to(page: Page) -> None:
    page.section("How to fill it in")
    for number, step in enumerate(TEXTS["steps"], start=1):
        page.across(str(number), "number", 0, 1)
        page.text(step.format(examples=EXAMPLES[page.book.system]), "step", first=2)
    page.text("bomcheck check  this-workbook.xlsx", "command", first=2, last=GRID - 1, height=20)


def _colours(page: Page) -> None:
    page.section("What the colours mean")
    top = page.row
    for style, meaning in CELLS:
        page.across("", style, 0, 2)
        page.across(meaning, "meaning", 3, 14)
        page.row += 1
    page.row = top
    for verdict, meaning in VERDICTS:
        page.across(verdict, verdict, 16, 21)
        page.text(meaning, "meaning", first=22)
