"""The word for a check with the stack that is tried: fits, does not fit, may need another; as value and as live formula."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from bomcheck.engine.adjust import CORNERS, SCREWS
from bomcheck.engine.stacks import HOUSE_SIZES
from bomcheck.io import layout as palette
from bomcheck.io.read.own import BENCH_PREFIX, TRIED
from bomcheck.io.sheets.looks import CELL_COLOURS
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.stack_chain import MovedCheck, Size, StackChain, Straight, stack_chain
from bomcheck.io.sheets.words import (
    INCH_PER_MM,
    figure,
    in_unit,
    jump,
    label,
    number_format,
    places,
    quantity,
    sentence,
    shown_unit,
)
from bomcheck.model.limits import Limit
from bomcheck.model.line import Line
from bomcheck.model.report import Report
from bomcheck.model.rule import STACKS
from bomcheck.model.stack import StackPlan
from bomcheck.model.verdict import Verdict
from bomcheck.paper.setting import lengths, stack_words
from bomcheck.rules import all_checks

NOISE = "0.000001"
ANOTHER = "may need another"
REST = {
    Verdict.FITS: "not for every size inside the ±; the pieces in the kit serve the rest",
    Verdict.FITS_WITH_PARTS: "not for every size inside the ±; with the shims on the Parts list the rest is served too",
}
SERVED = tuple(REST)


def served_by(report: Report, moved: MovedCheck, plan: StackPlan) -> Verdict | None:
    """Whether every true size finds a stack for this check: of the kit's pieces, with bought ones, or None.

    As the Compatibility sheet judges it; after a cure by the plan for the cured sizes.
    """
    finding = next((one for one in report.findings if one.check == moved.check.name), None)
    if finding is None or finding.verdict in (Verdict.NOT_KNOWN, Verdict.DOES_NOT_FIT):
        return None
    if any(key in report.job.values and report.job.get(key) != report.cured.get(key) for key in finding.reads):
        return Verdict.FITS if plan.covered else None
    return finding.verdict if finding.verdict in SERVED else None


def write_meaning(page: Page, served: Collection[Verdict | None]) -> None:
    """The sentence below the checks."""
    worst = Verdict.FITS_WITH_PARTS if Verdict.FITS_WITH_PARTS in served else Verdict.FITS
    if worst in served:
        page.across(f'"{ANOTHER}": {REST[worst]}', "cell", "small")


def word_of(least: float, most: float, low: float | None, high: float | None, between: str) -> str:
    """The word for a value between `least` and `most`; between: where only some sizes of the ± hold the limit."""
    slack = float(NOISE)
    if (low is None or least >= low - slack) and (high is None or most <= high + slack):
        return str(Verdict.FITS)
    if (low is not None and most < low - slack) or (high is not None and least > high + slack):
        return str(Verdict.DOES_NOT_FIT)
    return str(between)


def word_formula(row: int, between: str) -> str:
    """The same as a live formula over the columns Least, Greatest, Limit from and Limit to of a row."""
    least, most, low, high = (address(row, column) for column in (3, 4, 5, 6))
    good = f'AND(OR({low}="",{least}>={low}-{NOISE}),OR({high}="",{most}<={high}+{NOISE}))'
    bad = f"OR(AND(ISNUMBER({low}),{most}<{low}-{NOISE}),AND(ISNUMBER({high}),{least}>{high}+{NOISE}))"
    return f'=IF({good},"fits",IF({bad},"does not fit","{between}"))'


def colour_words(page: Page, area: str) -> None:
    """Colours the cells by the word that their formula gives."""
    looks = {str(one): str(one) for one in (Verdict.FITS, Verdict.DOES_NOT_FIT, Verdict.NOT_KNOWN)}
    for word, colour in {**looks, ANOTHER: str(Verdict.FITS_WITH_PARTS)}.items():
        fill, ink = CELL_COLOURS[colour]
        style = page.book.workbook.add_format({"bg_color": fill, "font_color": ink})
        page.sheet.conditional_format(area, {"type": "cell", "criteria": "==", "value": f'"{word}"', "format": style})


TRY_HEADINGS = ("Try a stack: yellow cells", "Thickness", "In the kit", "For a screw", TRIED, "Adds", "", "")
MOVES_HEADINGS = (
    "What the stack moves",
    "With this stack",
    "As stated",
    "Least",
    "Greatest",
    "Limit from",
    "Limit to",
    "Limit",
)


def write_try(page: Page, chain: StackChain, plan: StackPlan, rest: str) -> None:
    """rest: cell of the leading check's value without shims."""
    page.name_column(page.headings(TRY_HEADINGS, (1, 2, 3, 4, 5)))
    stack, thickness = _pieces(page, chain, plan)
    page.headings(MOVES_HEADINGS, (2, 3, 4, 5, 6))
    moves = _Moves(page, stack, rest, thickness, page.book.system)
    first = page.row
    served = {moved.check.name: served_by(page.book.report, moved, plan) for moved in chain.moved}
    for moved in sorted(chain.moved, key=lambda one: one is not chain.lead):
        moves.write(moved, moved is chain.lead, ANOTHER if served[moved.check.name] else Verdict.NOT_KNOWN)
    colour_words(page, f"{address(first, 1)}:{address(page.row - 1, 1)}")
    write_meaning(page, served.values())
    page.row += 1


def _tried(page: Page, size: float, start: int, name: str) -> int:
    """Pieces in the stack that is tried: what the bench typed, else those to start with, which the row's name ends in."""
    row = f"shims {name} tried {size:g} |"
    page.written(f"{row}{start}", f"Shims tried, {name}: pieces of {lengths((size,), page.book.system)}")
    mine = f"{BENCH_PREFIX}{page.book.axle} {row}" if page.book.axle else f"{BENCH_PREFIX}{row}"
    for key, typed in page.book.kept.items():
        number = typed.get("tried")
        if key.startswith(mine) and isinstance(number, int | float) and number == int(number) >= 0:
            return int(number)
    return start


def _pieces(page: Page, chain: StackChain, plan: StackPlan) -> tuple[str, float]:
    """One row a thickness; returns the cell of the stack's thickness, and that [mm]."""
    system = page.book.system
    held = {one.thickness: one.count for one in page.book.report.job.get(f"shim_sizes_{chain.name}") or ()}
    likely = dict(plan.likely.pieces)
    sizes = {*held, *likely, *HOUSE_SIZES, *(size for size, _ in (*plan.least.pieces, *plan.most.pieces))}
    first, shown, whole = page.row, number_format("mm", system), 0.0
    for size in sorted(sizes, reverse=True):
        value, tried = in_unit(size, "mm", system), _tried(page, size, likely.get(size, 0), chain.name)
        whole += size * tried
        adds = f"={address(page.row, 1)}*{address(page.row, 4)}"
        page.line(
            {
                0: text(f"Shim {lengths((size,), system)}"),
                1: Cell(value, ("cell", "right"), shown=shown),
                2: Cell(held.get(size, 0), ("cell", "right"), shown="0"),
                3: Cell(held.get(size, 0) // (SCREWS * CORNERS), ("cell", "right"), shown="0"),
                4: Cell(tried, ("input figure", "bold"), shown="0"),
                5: Cell(value * tried, ("cell", "right"), adds, shown=shown),
            }
        )
    page.sheet.data_validation(first, 4, page.row - 1, 4, _WHOLE)
    total = in_unit(whole, "mm", system)
    formula = f"=SUM({address(first, 5)}:{address(page.row - 1, 5)})"
    row = page.line(
        {0: text("Stack tried, at each screw", "bold"), 5: Cell(total, ("cell", "bold", "right"), formula, shown=shown)}
    )
    return address(row, 5), whole


_WHOLE = {
    "validate": "integer",
    "criteria": "between",
    "minimum": 0,
    "maximum": 20,
    "error_title": "Pieces",
    "error_message": "Type a whole number of pieces, 0 to 20.",
}


@dataclass(frozen=True, slots=True)
class _Moves:
    """Writes what the stack moves. stack, rest: cells. thickness [mm]: of the stack that is filled in."""

    page: Page
    stack: str
    rest: str
    thickness: float
    system: str

    def write(self, moved: MovedCheck, leads: bool, between: str) -> None:
        """One check: value over the ± with the stack tried, its limit, and a word; between: where only some sizes fit."""
        row, unit = self.page.row, moved.check.unit
        least, middle, most = (in_unit(one, unit, self.system) for one in moved.ends(self.thickness))
        low, high = (
            None if end is None else in_unit(end, unit, self.system) for end in (moved.limit.low, moved.limit.high)
        )
        shown, look = number_format(unit, self.system), ("cell", "right")
        name = (
            f"{moved.check.title} [{shown_unit(unit, self.system)}]"
            if shown_unit(unit, self.system)
            else moved.check.title
        )
        self.page.line(
            {
                0: text(name, "bold") if leads else text(name),
                1: Cell(word_of(least, most, low, high, between), ("cell", "bold"), word_formula(row, between)),
                2: Cell(middle, look, self._formula(moved, 0.0, leads), shown=shown),
                3: Cell(least, look, self._formula(moved, -1.0, leads), shown=shown),
                4: Cell(most, look, self._formula(moved, 1.0, leads), shown=shown),
                5: Cell(low, look, shown=shown),
                6: Cell(high, look, shown=shown),
                7: text(_limit_name(moved.limit), "quiet"),
            }
        )

    def _formula(self, moved: MovedCheck, sign: float, leads: bool) -> str:
        sides = [self._side(side, moved.check.unit, sign, self.rest if leads else "") for side in moved.sides]
        if len(sides) == 1:
            return f"={sides[0]}"
        return f"={'MAX' if moved.greatest else 'MIN'}({','.join(sides)})"

    def _side(self, side: Straight, unit: str, sign: float, rest: str) -> str:
        """rest + slope x stack ± spread; the stack's cell is in the sheet's unit."""
        slope = side.slope / INCH_PER_MM if self.system == "inch" and unit != "mm" else side.slope
        base = rest or _number(in_unit(side.rest, unit, self.system))
        shift = in_unit(sign * side.spread, unit, self.system, difference=True)
        return f"{base}+({_number(slope)})*{self.stack}" + (f"+({_number(shift)})" if shift else "")


def _number(value: float) -> str:
    text_of = f"{value:.12g}"
    return f"({text_of})" if value < 0 else text_of


def _limit_name(limit: Limit) -> str:
    return f"{limit.title} ({limit.ruled_by})"


NAME, KIND = "Shims", "shims"
TITLES = {
    "axial": "Axial shims: they centre the caliper on the rotor",
    "radial": "Radial shims: they bring the pads flush",
}
WIDTHS = (34, 15, 12, 12, 12, 12, 16, 34)
FIGURES = (1, 2, 3, 4)
HEADINGS = ("Size", "Value", "±", "Counts", "Adds", "Read from", "", "")
ONE_PAGE_ROWS = 80
ON_CAR = {
    "axial": (
        "On the car: fit the starting stack at every screw, measure the gap between rotor and caliper on both sides with "
        "feelers at three points of the rotor, move half the difference, and check again."
    ),
    "radial": (
        "On the car: fit the starting stack at every screw, look how far the pad's top edge lies inside the rotor's edge "
        "at both ends of the pad, correct, and check again."
    ),
}
SAME = "The stack is the same at every screw of a bracket: unequal shims set the caliper askew."


def write_shims(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.PURPLE, WIDTHS, landscape=False)
    unit = "inches" if book.system == "inch" else "mm"
    page.head(NAME, f"{book.who}. Sizes in {unit}.")
    for name in STACKS:
        chain, plan = stack_chain(book.report, name), book.report.plans.get(name)
        page.group(TITLES[name])
        if chain is None or plan is None:
            _not_known(page, name)
        else:
            _stack(page, chain, plan)
    _orders(page)
    page.finish()
    if page.row <= ONE_PAGE_ROWS:
        page.sheet.fit_to_pages(1, 1)


def _not_known(page: Page, name: str) -> None:
    """Why there is no stack yet."""
    lead = next((check.name for check in all_checks().values() if check.stack == name and check.target is not None), "")
    for finding in page.book.report.findings:
        if finding.check == lead:
            page.across(sentence(f"{finding.said}. {finding.do}".strip(". ")), "cell", "quiet")


def _stack(page: Page, chain: StackChain, plan: StackPlan) -> None:
    for title, words in _plan_rows(page.book.report, plan, page.book.system):
        page.line({0: text(title, "bold"), 1: text(words, span=len(WIDTHS) - 1)})
    page.across(f"{ON_CAR[chain.name]} {SAME}", "cell", "small")
    rest = _chain_rows(page, chain)
    write_try(page, chain, plan, rest)


def _plan_rows(report: Report, plan: StackPlan, system: str) -> Iterator[tuple[str, str]]:
    """Start, range, the kit's pieces."""
    yield "Start with, at each screw", stack_words(plan.likely, system)
    least, most = plan.least.thickness, plan.most.thickness
    span = "no other: the ± does not matter here" if least == most else lengths((least, most), system)
    yield "May be needed, inside the ±", span
    pieces = report.job.get(f"shim_sizes_{plan.name}")
    held = (
        "not stated"
        if pieces is None
        else ", ".join(f"{one.count} x {lengths((one.thickness,), system)}" for one in pieces) or "none"
    )
    covers = {True: "they serve every true size", False: "they do not serve every true size", None: "count them"}[
        plan.covered
    ]
    yield f"Pieces in the kit, for {SCREWS} screws at {CORNERS} corners", f"{held}: {covers}"


def _chain_rows(page: Page, chain: StackChain) -> str:
    """The sizes that add up; returns the cell of the sum without shims."""
    page.headings(HEADINGS, FIGURES)
    first = page.row
    for size in chain.sizes:
        page.line(_size_cells(page, size))
    if abs(chain.fixed) > 1e-9:
        page.line(_size_cells(page, Size("", chain.fixed, 0.0, 1.0)))
    system = page.book.system
    total = in_unit(chain.lead.ends(0.0)[1], "mm", system)
    formula = f"=SUM({address(first, 4)}:{address(page.row - 1, 4)})"
    name = f"{chain.lead.check.title}, without shims"
    row = page.line(
        {0: text(name, "bold"), 4: Cell(total, ("cell", "bold", "right"), formula, shown=number_format("mm", system))}
    )
    return address(row, 4)


def _size_cells(page: Page, size: Size) -> dict[int, Cell]:
    system, row = page.book.system, page.row
    shown = number_format("mm", system)
    value, half = (in_unit(one, "mm", system) for one in (size.value, size.half))
    formula = f"={address(row, 1)}*{address(row, 3)}"
    return {
        0: text(label(size.key) if size.key else "Fixed part"),
        1: Cell(value, ("cell", "right"), shown=shown),
        2: Cell(half or None, ("cell", "right"), shown=shown),
        3: Cell(size.factor, ("cell", "right"), shown="+0.##;-0.##"),
        4: Cell(value * size.factor, ("cell", "right"), formula, shown=shown),
        5: _read_from(page.book, size.key),
    }


def _read_from(book: Book, key: str) -> Cell:
    """The cell, and what was typed there if a remedy has changed the size."""
    found = places((key,), book.report.job)
    typed, now = book.report.job.get(key), book.report.cured.get(key)
    if typed is not None and typed != now:
        return text(f"typed {figure(typed, 'mm', book.system)}; with the remedy", "small")
    if not found:
        return text("")
    return Cell(f"{found[0][0]} {found[0][1]}", ("cell", "small", "link", "indented"), link=jump(*found[0]))


def _orders(page: Page) -> None:
    """What the parts list says of shims and spacers."""
    lines = [
        line
        for line in page.book.report.parts
        if line.role in ("shim", "bracket spacer", "caliper spacer") and line.needed
    ]
    if not lines:
        return
    page.group("Shims on the parts list")
    page.headings(("Piece", "Status", "Needed", "In kit", "To order", "At", "", ""), (2, 3, 4))
    for line in lines:
        page.line(_order_cells(line))


def _order_cells(line: Line) -> dict[int, Cell]:
    words = line.spec or line.description
    return {
        0: Cell(sentence(line.description or line.role), ("cell", "bold"), more=((words, ("quiet", "plain")),)),
        1: Cell(line.status, (f"status {line.status}", "top", "small")),
        **{
            c: text(quantity(n, line.unit), "right")
            for c, n in ((2, line.needed), (3, line.in_kit), (4, line.to_order))
        },
        5: text(sentence(line.used_at), span=3),
    }
