"""What if: a yellow column beside each size; and behind it the hidden sheet of plain sizes that all live formulas read.

A plain size follows its own cell as long as a bare number stands there. What cannot be followed (a text, another unit, a
choice) is marked as changed, and the checks that read it then say that they must be run again.
"""

import re
from collections.abc import Iterable

from bomcheck.io import layout
from bomcheck.io.read.own import TRY_PREFIX
from bomcheck.io.sheets.columns import columns_of
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.words import in_unit, jump, label, number_format, sentence
from bomcheck.model.errors import Place
from bomcheck.model.job import Value
from bomcheck.model.rule import STACKS
from bomcheck.notation.text import BLANKS
from bomcheck.paper.live import Live, Size
from bomcheck.rules.derived import TITLES
from bomcheck.tables import page as page_text
from bomcheck.tables.fields import Field, fields
from bomcheck.tables.sources import MEASURED, SHEET, default_source, usual_interval

NAME, KIND = "What if", "what if"
PLAIN, PLAIN_KIND = "Sizes", "sizes"
WHAT_IF = columns_of(NAME)
KEY, STATED, STATED_HALF, OWN, OWN_HALF, CHANGED, LOST, COUNTS, COUNTS_HALF, TRIED, MOVED = range(11)
PLAIN_HEADINGS = (
    "size", "as checked, mm", "±", "its cell", "± there", "changed", "lost", "counts", "±", "tried", "moved",
)  # fmt: skip
SAME = "1E-9"
NEW_LINES = 200
ROW = 15.3  # pt: one line, so that all sizes stand on two pages
UNITS = {"mm": 1.0, "in": 25.4}
Keys = Iterable[str]


class Sizes:
    """Writes both sheets; tells other sheets where a plain size counts. stack_cells: cell of each stack that is tried."""

    page: Page
    plain: Page

    def __init__(self, book: Book) -> None:
        self.book = book
        self.scale = in_unit(1.0, "mm", book.system)
        self.rows: dict[str, int] = {}
        self.middle: dict[str, float] = {}
        self.half: dict[str, float] = {}
        self.run: dict[str, tuple[float, float]] = {}
        self.stacks: dict[str, str] = {}
        self.laid: dict[str, float] = {}

    @property
    def _plain_tab(self) -> str:
        name = self.plain.name
        return f"'{name}'" if " " in name else name

    def _try(self, key: str) -> str:
        """The name of the line in which another size may be typed."""
        return f"{TRY_PREFIX}{self.book.axle} {key}" if self.book.axle else f"{TRY_PREFIX}{key}"

    def at(self, key: str, column: int) -> str:
        """Address of a plain size's figure, for formulas of other sheets."""
        return f"{self._plain_tab}!{address(self.rows[key], column)}"

    def write(self, page: Page, plain: Page, live: Live, read: Keys) -> None:
        """read: fields of the Job sheet that checks read. Their cells are watched, and all of the car and the kit that no formula
        follows: what one check hangs on may be a choice that another one reads."""
        self.page, self.plain, sizes = page, plain, live.sizes
        self.page.head(NAME, self.book.who, WHAT_IF.headings, WHAT_IF.figures)
        self.page.across(page_text("what if"), "cell", "small", last=WHAT_IF["note"])
        for column, words in enumerate(PLAIN_HEADINGS):
            self.plain.sheet.write_string(0, column, words)
        self.plain.row = 1
        used = {key for form in live.forms.values() for key in form.keys}
        groups: dict[str, list[Size]] = {}
        for size in sizes.values():
            if size.key not in STACKS.values() and size.key in used:
                groups.setdefault(_group(size.field), []).append(size)
        for title, members in groups.items():
            self.page.group(title)
            for size in members:
                self._size(size)
        for key in STACKS.values():
            if key in sizes:
                self.rows[key], self.plain.row = self.plain.row, self.plain.row + 1
                self.middle[key], self.half[key] = sizes[key].value, 0.0
        job, known = self.book.report.job, fields()
        there = (key for key in (*job.values, *job.rejected, *job.blank) if known[key].section != "job")
        for key in dict.fromkeys((*read, *there)):
            if key not in self.rows:
                self._watched(key)
        for name, sums in self.book.tables.items():
            self._watch(name, _table_differs(name, *sums) if sums else "")
        self._orphans()
        self._sums()
        page.finish()

    def _size(self, size: Size) -> None:
        book, key, row = self.book, size.key, self.page.row
        kept = book.kept.get(self._try(key), {})
        tried, tried_half = (
            kept.get(name) if isinstance(kept.get(name), int | float) else None for name in ("try", "try_half")
        )
        typed = book.report.job.values.get(key) if size.typed else None
        shown = number_format("mm", book.system)
        self.run[key] = (size.value, size.half)
        at = self._plain(size, typed, WHAT_IF.at("try", row), WHAT_IF.at("try_half", row))
        tried_half = tried_half if tried_half is None or tried_half >= 0 else None
        self.middle[key] = size.value if tried is None else tried / self.scale
        self.half[key] = size.half if tried_half is None else tried_half / self.scale
        self._counts(at, size, tried, tried_half)

        def own(figure: float, column: int) -> Cell:
            formula = f"={self._plain_tab}!{address(at, column)}*{self.scale:.12g}"
            return Cell(figure * self.scale, ("cell", "right"), formula, shown=shown)

        cells = WHAT_IF.row(
            what=label(size.field) if size.field in fields() else sentence(TITLES.get(size.field) or label(size.field)),
            where=_where(typed.place) if typed is not None else text(""),
            value=own(size.value, OWN),
            half=own(size.half, OWN_HALF),
            key=self._try(key),
            note=_note(size),
        )
        for name in ("try", "try_half"):
            value = kept.get(name)
            cells[WHAT_IF[name]] = Cell(
                value if isinstance(value, int | float | str) else None, ("input figure",), shown=shown
            )
        self.page.line(cells, least=ROW)

    def _plain(self, size: Size, typed: Value | None, tried: str, tried_half: str) -> int:
        """The row of the hidden sheet up to what its own cell says; returns it."""
        sheet, row = self.plain.sheet, self.plain.row
        self.rows[size.key], self.plain.row = row, row + 1
        linked = _linked(fields().get(size.key), typed, size, self.book.system) if typed is not None else None
        sheet.write_string(row, KEY, size.key)
        sheet.write_number(row, STATED, size.value)
        sheet.write_number(row, STATED_HALF, size.half)
        stated, half = address(row, STATED), address(row, STATED_HALF)
        own, own_half, lost = linked if linked else (stated, half, "0")
        sheet.write_formula(row, OWN, f"={own.format(stated=stated)}", None, size.value)
        sheet.write_formula(row, OWN_HALF, f"={own_half.format(half=half)}", None, size.half)
        if linked is None and typed is not None and _is_cell(typed.place):
            lost = _differs(typed)
        changed = f"OR({lost}>0,ABS({address(row, OWN)}-{stated})>{SAME},ABS({address(row, OWN_HALF)}-{half})>{SAME})"
        sheet.write_formula(row, CHANGED, f"=IF({changed},1,0)", None, 0)
        sheet.write_formula(row, LOST, f"={lost}", None, 0)
        return row

    def _counts(self, row: int, size: Size, tried: float | None, tried_half: float | None) -> None:
        """What counts: what is tried, else what the own cell says."""
        sheet, at, half = (
            self.plain.sheet,
            *(f"'{self.page.name}'!{WHAT_IF.at(one, self.page.row)}" for one in ("try", "try_half")),
        )
        factor = f"{1 / self.scale:.12g}"
        formula = f"=IF(ISNUMBER({at}),{at}*{factor},{address(row, OWN)})"
        sheet.write_formula(row, COUNTS, formula, None, self.middle[size.key])
        good = f"AND(ISNUMBER({half}),N({half})>=0)"
        formula = f"=IF({good},{half}*{factor},{address(row, OWN_HALF)})"
        sheet.write_formula(row, COUNTS_HALF, formula, None, self.half[size.key])
        any_tried = tried is not None or tried_half is not None
        sheet.write_formula(row, TRIED, f"=IF(OR(ISNUMBER({at}),{good}),1,0)", None, int(any_tried))
        self._moved(row, int(any_tried))

    def _moved(self, row: int, value: int) -> None:
        formula = f"={address(row, CHANGED)}+{address(row, TRIED)}"
        self.plain.sheet.write_formula(row, MOVED, formula, None, value)

    def write_stacks(self) -> None:
        """The stacks that are tried on the Shims sheet, once their cells are known."""
        sheet = self.plain.sheet
        for key in (one for one in STACKS.values() if one in self.rows):
            row, value, cell = self.rows[key], self.middle[key], self.stacks.get(key)
            sheet.write_string(row, KEY, key)
            for column in (STATED, OWN):
                sheet.write_number(row, column, value)
            for column in (STATED_HALF, OWN_HALF, COUNTS_HALF, CHANGED, LOST):
                sheet.write_number(row, column, 0)
            formula = f"={cell}*{1 / self.scale:.12g}" if cell else f"={address(row, STATED)}"
            laid = self.laid.get(key, value)
            sheet.write_formula(row, COUNTS, formula, None, laid)
            formula = f"=IF(ABS({address(row, COUNTS)}-{address(row, STATED)})>{SAME},1,0)"
            moved = int(abs(laid - value) > 1e-9)
            sheet.write_formula(row, TRIED, formula, None, moved)
            self._moved(row, moved)

    def _watched(self, key: str) -> None:
        """A cell that no formula can follow: only whether it is still what it was."""
        job = self.book.report.job
        value, held = job.values.get(key), job.rejected.get(key)
        if value is None and held is not None:
            value = Value(key, None, typed=held.typed, place=held.place)
        if value is not None:
            self._watch(key, _differs(value) if _is_cell(value.place) else "")
        else:
            place = job.blank.get(key)
            self._watch(key, _filled(f"{_quoted(place.sheet)}!{place.cell}") if place else "")

    def _watch(self, key: str, differs: str) -> None:
        if not differs:
            return
        sheet, row = self.plain.sheet, self.plain.row
        self.plain.row = row + 1
        sheet.write_string(row, KEY, key)
        sheet.write_formula(row, LOST, f"={differs}", None, 0)

    def _orphans(self) -> None:
        """What was tried for sizes that no check reads any longer: nothing of it is lost."""
        known = {self._try(key) for key in self.rows}
        left = [key for key in self.book.kept if key.startswith(self._try("")) and key not in known]
        for key in left:
            kept = self.book.kept[key]
            cells = WHAT_IF.row(
                what=text(label(key.removeprefix(TRY_PREFIX)), "quiet"), key=key, note="read by no check now"
            )
            for name in ("try", "try_half"):
                cells[WHAT_IF[name]] = WHAT_IF.cell(name, kept.get(name))
            self.page.line(cells)

    def _sums(self) -> None:
        """Above all rows: whether anything has changed, been lost or is tried."""
        last = max(self.plain.row - 1, 1)
        for column in (CHANGED, LOST, TRIED, MOVED):
            area = f"{address(1, column)}:{address(last, column)}"
            tried = sum(1 for key in self.middle if self._is_tried(key))
            value = tried if column in (TRIED, MOVED) else 0
            self.plain.sheet.write_formula(0, column + 10, f"=SUM({area})", None, value)

    def _is_tried(self, key: str) -> bool:
        kept = self.book.kept.get(self._try(key), {})
        half = kept.get("try_half")
        return isinstance(kept.get("try"), int | float) or (isinstance(half, int | float) and half >= 0)

    def total(self, column: int) -> str:
        """Cell of the sum of CHANGED, LOST, TRIED or MOVED."""
        return f"{self._plain_tab}!{address(0, column + 10)}"

    def sum_of(self, keys: Keys, column: int) -> str:
        """ "Sizes!F3+Sizes!F9"; "0" for none that is watched."""
        cells = [self.at(key, column) for key in keys if key in self.rows]
        return "+".join(cells) or "0"

    def shift(self, key: str) -> float:
        """By how much a size and its ± together differ from those of the run as the sheet is written [mm]."""
        run = self.run[key]
        return abs(self.middle[key] - run[0]) + abs(self.half[key] - run[1])

    def shift_formula(self, key: str) -> str:
        """The same, live."""
        pairs = ((COUNTS, STATED), (COUNTS_HALF, STATED_HALF))
        return "+".join(f"ABS({self.at(key, counts)}-{self.at(key, stated)})" for counts, stated in pairs)

    def moved(self, keys: Keys) -> bool:
        """Whether one of them is tried as the sheet is written."""
        return any(self._is_tried(key) for key in keys)


def _note(size: Size) -> str:
    if size.changed:
        return "with the remedy"
    return "" if size.typed else "follows from others"


def _group(key: str) -> str:
    field = fields().get(key)
    return f"{sentence(field.section)}: {field.group}" if field else "Sizes that follow from others"


def _is_cell(place: Place) -> bool:
    return bool(place.sheet and re.fullmatch(r"[A-Z]{1,3}\d+", place.cell or ""))


def _where(place: Place) -> Cell:
    if not _is_cell(place):
        return text("")
    return Cell(f"{place.sheet} {place.cell}", ("cell", "small", "link"), link=jump(place.sheet, place.cell))


def _quoted(sheet: str) -> str:
    return jump(sheet).rsplit("!", 1)[0]


def _number(typed: str) -> float | None:
    try:
        return float(typed)
    except ValueError:
        return None


def _differs(value: Value) -> str:
    """1 where the cell is no longer what was read there, else 0."""
    at, number = f"{_quoted(value.place.sheet)}!{value.place.cell}", _number(value.typed)
    words = value.typed.replace('"', '""')
    if len(words) > 200 or not words.isprintable() or words.endswith("..."):
        return f'IF({at}="",1,0)'
    same = f'IF({at}&""="{words}",0,1)'
    return same if number is None else f"IF(ISNUMBER({at}),IF(ABS({at}-{number:.15g})<{SAME},0,1),{same})"


def _table_differs(sheet: str, last: int, total: float, letters: int) -> str:
    """1 where the numbers or the letters of a table add up to something else than was read, else 0; new lines below it count."""
    area = f"{_quoted(sheet)}!$A$1:$AZ${last + NEW_LINES}"
    numbers = f"ABS(SUM({area})-({total:.15g}))>{SAME}*{1 + abs(total):.15g}"
    return f"IFERROR(IF(OR({numbers},SUMPRODUCT(ISTEXT({area})*LEN({area}))<>{letters}),1,0),1)"


def _filled(at: str) -> str:
    """1 where something stands in a cell that was blank, or said that nothing is known, else 0."""
    words = "|".join(("", *sorted(BLANKS), "")).replace('"', '""')
    return f'IF(OR({at}="",ISNUMBER(FIND("|"&LOWER(TRIM({at}))&"|","{words}"))),0,1)'


def _linked(field: Field | None, value: Value, size: Size, system: str) -> tuple[str, str, str] | None:
    """(middle, ±, whether it is lost) as formulas over the size's own cell; None where no formula can follow it.

    It can where a bare number stands in a column that is where the template has it, in mm or inches.
    """
    number, place = _number(value.typed), value.place
    cell = re.fullmatch(r"([A-Z]+)(\d+)", place.cell)
    if field is None or number is None or cell is None or place.sheet.endswith((" left", " right")):
        return None
    source = value.source or default_source(field)
    moved, usual = usual_interval(field, source, number)
    shift = moved if value.plus_minus_from == "usual" else 0.0
    factors = UNITS.values() if number else (UNITS.get(field.shown_unit(system), 0.0),)
    factor = next((one for one in factors if one and abs(number * one + shift - size.value) < 1e-9), None)
    if factor is None or cell[1] != "ABCDEF"[layout.VALUE] or source not in (MEASURED, SHEET):
        return None
    at, unit, beside, origin = (
        f"{_quoted(place.sheet)}!{'ABCDEF'[column]}{cell[2]}"
        for column in (layout.VALUE, layout.UNIT, layout.PLUS_MINUS, layout.FROM)
    )
    there = f"ISNUMBER({at})"
    if field.low is not None and field.high is not None:
        there = f"AND({there},N({at})>={field.low / factor:.12g},N({at})<={field.high / factor:.12g})"
    middle = f'IF({there},{at}*{factor:g}+IF({beside}="",{moved:g},0),{{stated}})'
    half = f'IF(ISNUMBER({beside}),MAX(0,{beside})*{factor:g},IF({beside}="",{usual:g},{{half}}))'
    other = f'{origin}<>""' if source == default_source(field) else "TRUE"  # whether a blank cell means another source
    lost = [
        f'AND(NOT({there}),{at}&""<>"{value.typed}")',
        f"N({beside})<0",
        f'AND({origin}<>"{source}",{other})',
    ]
    if not number:
        lost.append(f'{unit}<>"{field.shown_unit(system)}"')
    return middle, half, f"IF(OR({','.join(lost)}),1,0)"
