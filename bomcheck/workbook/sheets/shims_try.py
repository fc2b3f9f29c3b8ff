"""The live part of the Shims sheet: pieces to try, and what they do to every check that the stack moves."""

from dataclasses import dataclass

from bomcheck.fitting.setting import lengths
from bomcheck.verdict.adjust import CORNERS, SCREWS, StackPlan
from bomcheck.verdict.limits import Limit
from bomcheck.verdict.stacks import HOUSE_SIZES
from bomcheck.verdict.verdict import Verdict
from bomcheck.workbook.sheets.page import Cell, Page, address, text
from bomcheck.workbook.sheets.shims_word import ANOTHER, colour_words, served_by, word_formula, word_of, write_meaning
from bomcheck.workbook.sheets.stack_chain import MovedCheck, StackChain, Straight
from bomcheck.workbook.sheets.words import INCH_PER_MM, in_unit, number_format, shown_unit

TRY_HEADINGS = ("Try a stack: yellow cells", "Thickness", "In the kit", "For a screw", "Pieces tried", "Adds", "", "")
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
    page.headings(TRY_HEADINGS, (1, 2, 3, 4, 5))
    stack = _pieces(page, chain, plan)
    page.headings(MOVES_HEADINGS, (2, 3, 4, 5, 6))
    moves = _Moves(page, stack, rest, plan.likely.thickness, page.book.system)
    first = page.row
    served = {moved.check.name: served_by(page.book.report, moved, plan) for moved in chain.moved}
    for moved in sorted(chain.moved, key=lambda one: one is not chain.lead):
        moves.write(moved, moved is chain.lead, ANOTHER if served[moved.check.name] else Verdict.NOT_KNOWN)
    colour_words(page, f"{address(first, 1)}:{address(page.row - 1, 1)}")
    write_meaning(page, served.values())
    page.row += 1


def _pieces(page: Page, chain: StackChain, plan: StackPlan) -> str:
    """One row a thickness; returns the cell of the stack's thickness."""
    system = page.book.system
    held = {one.thickness: one.count for one in page.book.report.job.get(f"shim_sizes_{chain.name}") or ()}
    likely = dict(plan.likely.pieces)
    sizes = {*held, *likely, *HOUSE_SIZES, *(size for size, _ in (*plan.least.pieces, *plan.most.pieces))}
    first, shown = page.row, number_format("mm", system)
    for size in sorted(sizes, reverse=True):
        value, tried = in_unit(size, "mm", system), likely.get(size, 0)
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
    total = in_unit(plan.likely.thickness, "mm", system)
    formula = f"=SUM({address(first, 5)}:{address(page.row - 1, 5)})"
    row = page.line(
        {0: text("Stack tried, at each screw", "bold"), 5: Cell(total, ("cell", "bold", "right"), formula, shown=shown)}
    )
    return address(row, 5)


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
