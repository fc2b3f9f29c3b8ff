"""A sheet of the result while it is written from the top down: rows of cells, each as tall as its texts need."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import field
from math import ceil
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.chart import Chart
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from bomcheck.io.sheets.looks import (
    AROUND,
    DEFAULT_ROW,
    FOOTER,
    PAPER,
    combined,
    lines_height,
    page_breaks,
    room_on_paper,
    wrapped_lines,
)
from bomcheck.io.sheets.pictures import NUMBERED, Picture
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Report
from bomcheck.paper.quote import kit_name
from bomcheck.paper.tick_list import BENCH_PREFIX

LONGEST_TEXT = 32_000
TALLEST_ROW = 400.0
TITLE_ROW, HEADING_ROW = 0, 1
NARROW = 5  # characters: no room for a word


@dataclass(frozen=True, slots=True)
class Cell:
    """What goes into one cell.

    value: text, number or None for an empty cell; of a formula its value. looks: names in `looks.LOOKS`. formula: live
    formula, "" for none. link: "Sheet!B2" to jump to. tip: shown when the pointer rests on the link. shown: number format.
    more: further lines below the text, as (text, looks). span: columns that it takes.
    """

    value: str | float | None = None
    looks: tuple[str, ...] = ("cell",)
    formula: str = ""
    link: str = ""
    tip: str = ""
    shown: str = ""
    more: tuple[tuple[str, tuple[str, ...]], ...] = ()
    span: int = 1


def text(value: str, *looks: str, span: int = 1) -> Cell:
    """A wrapped text."""
    return Cell(value, ("cell", *looks), span=span)


@dataclass(frozen=True, slots=True)
class Ref:
    """Cells of one line of the Parts list that other sheets refer to, with their values. ordered: packs, or where it has
    none its quantity. shown: number format of that. received: address alone."""

    total: str
    total_value: float | None
    ordered: str
    ordered_value: float
    shown: str
    received: str


Tables = Mapping[str, tuple[int, float, int] | None]


@dataclass
class Book:
    """The workbook of our sheets. system: "metric" or "inch". kept: what the user typed on an earlier run, by line.

    refs: cells of the Parts list that other sheets refer to, by line. axle: of a car with two kits, whose sheets these are, ""
    for those of the whole car. split: names of the sheets that each axle then has for itself. bench: rows in which the bench writes, by name, with
    what they are about. rows: lines of the Parts list by row. extra: columns that the shop added there, by heading and line.
    used: cells in which the bench writes how much of a line was used, what stands there and what was planned, without what is of the kit's box.
    pictures: and charts, by their numbers. tables: those of the job as they were read, by sheet.
    """

    workbook: Workbook
    report: Report
    system: str
    version: str
    now: str
    kept: Mapping[str, Mapping[str, Any]]
    formats: dict[tuple[tuple[str, ...], str], Format] = field(default_factory=dict)
    refs: dict[str, "Ref"] = field(default_factory=dict)
    axle: str = ""
    split: tuple[str, ...] = ()
    bench: dict[str, str] = field(default_factory=dict)
    rows: dict[int, str] = field(default_factory=dict)
    extra: Mapping[str, Mapping[str, str | float]] = field(default_factory=dict)
    used: dict[str, list[tuple[str, float | None, float]]] = field(default_factory=dict)
    pictures: list[Picture] = field(default_factory=list)
    tables: Tables = field(default_factory=dict)

    def of_axle(self, report: Report) -> "Book":
        """The same workbook, for the sheets of one axle of a car with two kits."""
        return replace(self, report=report, axle=report.job.place)

    def tab(self, name: str) -> str:
        """The name of one of our sheets, with the axle that it is of."""
        return f"{name} {self.axle}" if self.axle else name

    def link(self, link: str) -> str:
        """A link; one to a sheet that each axle has for itself leads to that of this axle, or to the first of them."""
        name = link.rpartition("!")[0].strip("'")
        axles = [self.axle] if self.axle else [one.job.place for one in self.report.axles]
        return link.replace(name, f"{name} {axles[0]}", 1) if axles and name in self.split else link

    def format(self, looks: tuple[str, ...], shown: str = "") -> Format:
        """The cell format of these looks; each is made once."""
        key = (looks, shown)
        if key not in self.formats:
            self.formats[key] = self.workbook.add_format(combined(looks, shown))
        return self.formats[key]

    @property
    def who(self) -> str:
        """Job number, vehicle, axle, side and kit in one line."""
        job = self.report.job
        axle, side = job.get("axle"), job.get("corner_side")
        word = ("axles" if len(job.each_axle) > 1 else "axle") if axle else ""
        corner = " ".join(str(one) for one in (axle, word, f"({side})" if side else "") if one)
        kit = kit_name(job)
        number = f"Job {job.get('job_number')}" if job.get("job_number") else ""
        return ", ".join(part for part in (number, str(job.get("vehicle_label") or ""), corner, kit) if part)

    @property
    def made(self) -> str:
        """When and by which version."""
        return " ".join(part for part in ("checked", self.now, "by bomcheck", self.version) if part)


class _Sheet(Worksheet):  # type: ignore[misc]
    """A sheet whose formulas are written as they are; XlsxWriter looks through each for functions that we never use."""

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula.removeprefix("=")


class Page:
    """One sheet. widths: of its columns in characters; printed: how many of them go on paper. row: the next free one."""

    def __init__(
        self, book: Book, name: str, colour: str, widths: Sequence[float], landscape: bool = True, printed: int = 0
    ) -> None:
        self.book, self.name, self.widths, self.printed = book, book.tab(name), widths, printed or len(widths)
        self.sheet: Worksheet = book.workbook.add_worksheet(self.name, _Sheet)
        self.row = self.start = 0
        self.landscape = landscape
        self.headed = set[int]()
        self.steps_in = True  # texts beside others; not on a page that must be one
        self.repeated = (0, 0)
        self._set_up(colour, landscape)

    def _set_up(self, colour: str, landscape: bool) -> None:
        sheet = self.sheet
        sheet.set_tab_color(colour)
        sheet.hide_gridlines(2)
        sheet.set_paper(PAPER[self.book.system])
        sheet.set_margins(left=0.35, right=0.35, top=0.4, bottom=0.55)
        sheet.fit_to_pages(1, 0)
        sheet.set_footer(FOOTER, {"scale_with_doc": False})
        if landscape:
            sheet.set_landscape()
        for column, width in enumerate(self.widths):
            sheet.set_column(column, column, width)

    def put(self, column: int, cell: Cell, row: int | None = None) -> None:
        """One cell of the present row, or of `row`."""
        at = self.row if row is None else row
        style = self.book.format(cell.looks, cell.shown)
        if cell.span > 1:
            self.sheet.merge_range(at, column, at, column + cell.span - 1, "", style)
        if cell.formula:
            self.sheet.write_formula(at, column, cell.formula, style, "" if cell.value is None else cell.value)
        elif cell.link and isinstance(cell.value, str):
            link = f"internal:{self.book.link(cell.link)}"
            self.sheet.write_url(at, column, link, style, "link", cell.tip[:250] or None)
            self.sheet.write_string(at, column, _safe(cell.value), style)
        elif cell.more:
            self._put_lines(at, column, cell)
        elif isinstance(cell.value, str) and cell.value:
            self.sheet.write_string(at, column, _safe(cell.value), style)
        elif isinstance(cell.value, int | float):
            self.sheet.write_number(at, column, cell.value, style)
        else:
            self.sheet.write_blank(at, column, None, style)

    def _put_lines(self, row: int, column: int, cell: Cell) -> None:
        """A text of several lines, each with a look of its own."""
        pieces = [(str(cell.value or ""), cell.looks), *((text, (*cell.looks, *looks)) for text, looks in cell.more)]
        pieces = [piece for piece in pieces if piece[0]]
        style = self.book.format(cell.looks, cell.shown)
        if len(pieces) < 2:
            self.sheet.write_string(row, column, _safe(pieces[0][0] if pieces else ""), style)
            return
        run: list[Any] = []
        for number, (words, looks) in enumerate(pieces):
            run += [self.book.format(looks), _safe(words) + ("\n" if number < len(pieces) - 1 else "")]
        self.sheet.write_rich_string(row, column, *run, style)

    def line(self, cells: Mapping[int, Cell] | Iterable[Cell], least: float = 16.0) -> int:
        """A row of cells, as tall as they need, the rest of it empty, texts beside others one step in; returns its number."""
        placed = self._filled(cells if isinstance(cells, Mapping) else dict(enumerate(cells)))
        for column, cell in placed.items():
            beside = self.steps_in and column and cell.value and isinstance(cell.value, str)
            if beside and "align" not in combined(cell.looks):
                placed[column] = replace(cell, looks=(*cell.looks, "indented"))
        for column, cell in placed.items():
            self.put(column, cell)
        self.sheet.set_row(
            self.row, min(TALLEST_ROW, max([least, *(self._height(c, one) for c, one in placed.items())]))
        )
        self.row += 1
        return self.row - 1

    def _filled(self, cells: Mapping[int, Cell]) -> dict[int, Cell]:
        """The cells, and empty ones in the columns that none of them takes."""
        covered = {column + step for column, cell in cells.items() for step in range(cell.span)}
        group = next((cell.looks for cell in cells.values() if "group" in cell.looks), ())
        empty = Cell(None, tuple(look for look in group if look != "link")) if group else text("")
        return {**{column: empty for column in range(len(self.widths)) if column not in covered}, **cells}

    def _height(self, column: int, cell: Cell) -> float:
        """Height that the cell needs [pt]."""
        pieces = [(cell.value if isinstance(cell.value, str) else "", cell.looks)]
        pieces += [(words, (*cell.looks, *looks)) for words, looks in cell.more]
        room = sum(self.widths[column : column + cell.span])
        heights = [_text_height(words, room, looks) for words, looks in pieces if words]
        return sum(heights) + AROUND

    def group(self, title: str, looks: tuple[str, ...] = ("group",), least: float = 16.0) -> None:
        """A heading across all columns."""
        self.headed.add(self.row)
        self.line({column: Cell(title if column == 0 else None, looks) for column in range(len(self.widths))}, least)

    def across(self, words: str, *looks: str, first: int = 0, last: int | None = None, least: float = 16.0) -> None:
        """A text over several columns in a row of its own."""
        end = len(self.widths) - 1 if last is None else last
        style = self.book.format(looks)
        self.sheet.merge_range(self.row, first, self.row, end, "", style)
        self.sheet.write_string(self.row, first, _safe(words), style)
        room = sum(self.widths[first : end + 1])
        self.sheet.set_row(self.row, max(least, _text_height(words, room, looks) + AROUND))
        self.row += 1

    def head(
        self, title: str, subtitle: str, headings: Sequence[str] = (), right: Collection[int] = (), beside: int = 1,
        above: str = "",
    ) -> None:  # fmt: skip
        """Title and headings, if all rows share them, which stay in view and are repeated in print. right: columns of
        figures. beside: column from which the subtitle stands. above: what stands over it, larger."""
        self.put(0, Cell(title, ("title",)))
        small = ("subtitle", "wrapped")
        under = Cell(subtitle, small, span=self.printed - beside)
        if above:
            under = replace(under, value=above, looks=("letterhead", "wrapped"), more=((subtitle, small),))
        self.put(beside, under)
        self.sheet.set_row(TITLE_ROW, max(27.0, self._height(beside, under)))
        self.row = HEADING_ROW
        if headings:
            self.headings(headings, right)
        self.keep_in_view()

    def headings(self, headings: Sequence[str], right: Collection[int] = ()) -> int:
        """A row of headings. right: columns of figures."""
        looks = [("heading", "heading right") if column in right else ("heading",) for column in range(len(headings))]
        looks = [(*one, "one line") if width < NARROW else one for one, width in zip(looks, self.widths, strict=False)]
        self.headed.add(self.row)
        return self.line([Cell(words, look) for words, look in zip(headings, looks, strict=True)], least=20.0)

    def name_column(self, row: int) -> None:
        """Behind a row of headings: from here on rows in which the bench writes are known by a name that nobody reads."""
        self.put(len(self.widths), Cell("Line", ("key",)), row=row)
        self.sheet.set_column(len(self.widths), len(self.widths), 3)

    def written(self, name: str, about: str) -> Mapping[str, Any]:
        """Names the present row; returns what the bench wrote there before. about: in words, for the job's history."""
        key = f"{BENCH_PREFIX}{self.book.axle} {name}" if self.book.axle else BENCH_PREFIX + name
        while key in self.book.bench:
            key += " again"
        self.put(len(self.widths), Cell(key, ("key",)))
        self.book.bench[key] = about
        return self.book.kept.get(key, {})

    def picture(self, picture: Picture, column: int = 0, chart: Chart | None = None, left: float = 2) -> int:
        """A picture or a chart at the present row, so many pixels from the left of a column; returns how many empty rows it covers."""
        named = {
            "description": f"{NUMBERED}{len(self.book.pictures)}",
            "object_position": 2,
            "x_offset": round(left),
            "y_offset": 4,
        }
        self.book.pictures.append(picture)
        if chart is None:
            self.sheet.insert_textbox(self.row, column, "", named)
        else:
            self.sheet.insert_chart(self.row, column, chart, named)
        return ceil((picture.height + 8) * 0.75 / DEFAULT_ROW)

    def keep_in_view(self) -> None:
        """Freezes everything above the present row and the first column; repeats title and headings in print."""
        self.sheet.freeze_panes(self.row, 1)
        self.repeat(TITLE_ROW, self.row - 1)

    def repeat(self, first: int, last: int) -> None:
        """Rows that stand on top of each printed page after them."""
        self.sheet.repeat_rows(first, last)
        self.repeated = (first, last + 1)

    def finish(self, breaks: Sequence[int] = (), squeeze: float = 1.0) -> None:
        """Sets the print area. squeeze: how many pages' height may be put on one. breaks: rows before which a page begins, besides those
        that the length asks for from `start` on. Takes the warning marks off numbers kept as text."""
        last = max(self.row - 1, 1)
        more = self.page_breaks(squeeze)
        self.sheet.set_h_pagebreaks([*breaks, *more])
        if squeeze > 1 and not more:
            self.sheet.fit_to_pages(1, 1)
        self.sheet.print_area(0, 0, last, self.printed - 1)
        area = f"A1:{address(last, len(self.widths) - 1)}"
        self.sheet.ignore_errors({"number_stored_as_text": area, "formula_differs": area})

    def paper(self) -> float:
        """What a printed page holds, in points of the sheet's own height."""
        return room_on_paper(self.book.system, self.landscape, self.widths[: self.printed])

    def page_breaks(self, squeeze: float = 1.0) -> list[int]:
        """Rows before which a page begins."""
        rows = range(self.start, self.row)
        return page_breaks(self.sheet, self.paper(), rows, self.repeated, self.headed, squeeze)


def address(row: int, column: int) -> str:
    """ "B12" from 0-based row and column."""
    name: str = xl_rowcol_to_cell(row, column)
    return name


def _text_height(words: str, characters: float, looks: tuple[str, ...]) -> float:
    """Height of a text in a column so many characters wide [pt]."""
    look = combined(looks)
    size, bold = float(look["font_size"]), bool(look.get("bold"))
    if not look.get("text_wrap"):
        return lines_height(1, size)
    return lines_height(wrapped_lines(words, characters, size, bold, int(look.get("indent", 0))), size)


def _safe(words: str) -> str:
    """A text that XlsxWriter takes for a text: it writes what stands between these two marks as bare XML."""
    words = words[:LONGEST_TEXT]
    return f"{words} " if words.startswith("<r>") and words.endswith("</r>") else words
