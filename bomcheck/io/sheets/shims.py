"""The word for a check with the stack that is tried: fits, does not fit, may need another; as value and as live formula."""

from collections.abc import Collection, Iterator

from bomcheck.engine.adjust import CORNERS
from bomcheck.engine.stacks import HOUSE_SIZES
from bomcheck.io.read.own import TRIED
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.proof import Proof, colour_words
from bomcheck.io.sheets.sizes import COUNTS, COUNTS_HALF, Sizes
from bomcheck.io.sheets.stack_chain import MovedCheck, Size, StackChain, stack_chain
from bomcheck.io.sheets.words import figure, in_unit, jump, label, number_format, places, quantity, sentence, shown_unit
from bomcheck.model.line import Line
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.rule import STACKS
from bomcheck.model.stack import StackPlan
from bomcheck.model.verdict import Verdict
from bomcheck.paper.setting import lengths, stack_words
from bomcheck.paper.tick_list import BENCH_PREFIX
from bomcheck.rules import all_checks
from bomcheck.rules.joint_table import shim_screws
from bomcheck.tables import texts

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


TRY_HEADINGS = ("Try a stack: yellow cells", "Thickness", "In the kit", "For a screw", TRIED, "Adds", "", "")
MOVES_HEADINGS = (
    "What the stack moves", "With this stack", "As stated", "Least", "Greatest", "Limit from", "Limit to", "Limit",
)  # fmt: skip


def write_try(page: Page, chain: StackChain, plan: StackPlan, proof: Proof) -> None:
    """The stack that is tried, and what it does to the checks."""
    page.name_column(page.headings(TRY_HEADINGS, (1, 2, 3, 4, 5)))
    tab, key = f"'{page.name}'" if " " in page.name else page.name, STACKS[chain.name]
    stack, thickness = _pieces(page, chain, plan)
    proof.sizes.stacks[key], proof.sizes.laid[key] = f"{tab}!{stack}", thickness
    page.headings(MOVES_HEADINGS, (2, 3, 4, 5, 6))
    moves = _Moves(page, proof, thickness, abs(thickness - plan.likely.thickness) < 1e-9)
    first = page.row
    served = {moved.check.name: served_by(page.book.report, moved, plan) for moved in chain.moved}
    for moved in sorted(chain.moved, key=lambda one: one is not chain.lead):
        moves.write(moved, moved is chain.lead, ANOTHER if served[moved.check.name] else Verdict.NOT_KNOWN)
    colour_words(page, f"{address(first, 1)}:{address(page.row - 1, 1)}", {ANOTHER: str(Verdict.FITS_WITH_PARTS)})
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
    job = page.book.report.job
    held = {one.thickness: one.count for one in job.get(f"shim_sizes_{chain.name}") or ()}
    screws = shim_screws(chain.name, job.get) * CORNERS
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
                3: Cell(held.get(size, 0) // screws, ("cell", "right"), shown="0"),
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
    "validate": "integer", "criteria": "between", "minimum": 0, "maximum": 20, "error_title": "Pieces",
    "error_message": "Type a whole number of pieces, 0 to 20.",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Moves:
    """Writes what the stack moves. thickness [mm]: of the stack that is filled in; likely: whether it is that of the run."""

    page: Page
    proof: Proof
    thickness: float
    likely: bool

    def write(self, moved: MovedCheck, leads: bool, between: str) -> None:
        """One check: value over the ± with the stack tried, its limit, and a word; between: where only some sizes fit."""
        row, unit, system, name = self.page.row, moved.check.unit, self.page.book.system, moved.check.name
        form, shown = self.proof.live.forms.get(name), self.proof.shown.get(name)
        live = form is not None and form.cured and form.stack == moved.check.stack
        least, middle, most = (in_unit(one, unit, system) for one in moved.ends(self.thickness))
        if live and self.likely and shown is not None and shown.least is not None and shown.most is not None:
            least, middle, most = shown.least, shown.found or 0.0, shown.most
        low, high = (None if end is None else in_unit(end, unit, system) for end in (moved.limit.low, moved.limit.high))
        look, form_of = ("cell", "right"), number_format(unit, system)
        title = f"{moved.check.title} [{shown_unit(unit, system)}]" if shown_unit(unit, system) else moved.check.title
        figures = {2: ("found", middle), 3: ("least", least), 4: ("most", most)}
        self.page.line(
            {
                0: text(title, "bold") if leads else text(title),
                1: Cell(word_of(least, most, low, high, between), ("cell", "bold"), word_formula(row, between)),
                **{
                    column: Cell(value, look, f"={self.proof.at(name, end)}" if live else "", shown=form_of)
                    for column, (end, value) in figures.items()
                },
                5: Cell(low, look, shown=form_of),
                6: Cell(high, look, shown=form_of),
                7: text(f"{moved.limit.title} ({moved.limit.ruled_by})", "quiet"),
            }
        )


NAME, KIND = "Shims", "shims"
TITLES = {
    "axial": "Axial shims: they centre the caliper on the rotor",
    "radial": "Radial shims: they bring the pads flush",
}
WIDTHS = (27.5, 13, 9, 9, 9.5, 10.5, 9.5, 15.5)
FIGURES = (1, 2, 3, 4)
HEADINGS = ("Size", "Value", "±", "Counts", "Adds", "Read from", "", "")


def write_shims(page: Page, proof: Proof) -> None:
    """Fills the sheet; the stacks that are tried here count in the live checks."""
    book = page.book
    unit = "inches" if book.system == "inch" else "mm"
    page.head(NAME, f"{book.who}. Sizes in {unit}.")
    for name in STACKS:
        chain, plan = stack_chain(book.report, name), book.report.plans.get(name)
        page.group(TITLES[name])
        if chain is None or plan is None:
            _not_known(page, name)
        else:
            _stack(page, chain, plan, proof)
    _orders(page)
    page.finish()


def _not_known(page: Page, name: str) -> None:
    """Why there is no stack yet."""
    lead = next((check.name for check in all_checks().values() if check.stack == name and check.target is not None), "")
    for finding in page.book.report.findings:
        if finding.check == lead:
            page.across(sentence(f"{finding.said}. {finding.do}".strip(". ")), "cell", "quiet")


def _stack(page: Page, chain: StackChain, plan: StackPlan, proof: Proof) -> None:
    for title, words in _plan_rows(page.book.report, plan, page.book.system):
        page.line({0: text(title, "bold"), 1: text(words, span=len(WIDTHS) - 1)})
    page.across(texts("texts")["shims on the car"][chain.name == "radial"], "cell", "small")
    _chain_rows(page, chain, proof.sizes)
    write_try(page, chain, plan, proof)


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
    yield (
        f"Pieces in the kit, for {shim_screws(plan.name, report.job.get)} screws at {CORNERS} corners",
        f"{held}: {covers}",
    )


def _chain_rows(page: Page, chain: StackChain, sizes: Sizes) -> None:
    """The sizes that add up to the leading check's value without shims."""
    page.headings(HEADINGS, FIGURES)
    first, total = page.row, 0.0
    fixed = [Size("", chain.fixed, 0.0, 1.0)] if abs(chain.fixed) > 1e-9 else []
    for size in (*chain.sizes, *fixed):
        cells, adds = _size_cells(page, size, sizes)
        page.line(cells)
        total += adds
    formula = f"=SUM({address(first, 4)}:{address(page.row - 1, 4)})"
    name = f"{chain.lead.check.title}, without shims"
    shown = number_format("mm", page.book.system)
    page.line({0: text(name, "bold"), 4: Cell(total, ("cell", "bold", "right"), formula, shown=shown)})


def _size_cells(page: Page, size: Size, sizes: Sizes) -> tuple[dict[int, Cell], float]:
    """The cells of a size, live where the plain size is the same one; and what it adds."""
    system, row, look = page.book.system, page.row, ("cell", "right")
    shown, scale = number_format("mm", system), f"*{sizes.scale:.15g}"
    live = size.key in sizes.middle and abs(sizes.run[size.key][0] - size.value) < 1e-9
    value, half = (sizes.middle[size.key], sizes.half[size.key]) if live else (size.value, size.half)
    value, half = (in_unit(one, "mm", system) for one in (value, half))
    counts, spread = (f"={sizes.at(size.key, one)}{scale}" if live else "" for one in (COUNTS, COUNTS_HALF))
    return {
        0: text(label(size.key) if size.key else "Fixed part"),
        1: Cell(value, look, counts, shown=shown),
        2: Cell(half or (0.0 if live else None), look, spread, shown=f"{shown};-{shown};"),
        3: Cell(size.factor, look, shown="+0.##;-0.##"),
        4: Cell(value * size.factor, look, f"={address(row, 1)}*{address(row, 3)}", shown=shown),
        5: _read_from(page.book, size.key),
    }, value * size.factor


def _read_from(book: Book, key: str) -> Cell:
    """The cell, and what was typed there if a remedy has changed the size."""
    found = places((key,), book.report.job)
    typed, now = book.report.job.get(key), book.report.cured.get(key)
    if typed is not None and typed != now:
        return text(f"typed {figure(typed, 'mm', book.system)}; with the remedy", "small")
    if not found:
        return text("")
    return Cell(f"{found[0][0]} {found[0][1]}", ("cell", "small", "link"), link=jump(*found[0]))


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
