"""The Shims sheet: for each stack the chain of sizes, what to start with, and cells to try another stack."""

from collections.abc import Iterator

from bomcheck.fitting.setting import lengths, stack_words
from bomcheck.parts.line import Line
from bomcheck.report import Report
from bomcheck.verdict.adjust import CORNERS, SCREWS, StackPlan
from bomcheck.verdict.check import STACKS, all_checks
from bomcheck.workbook import palette
from bomcheck.workbook.sheets.page import Book, Cell, Page, address, text
from bomcheck.workbook.sheets.shims_try import write_try
from bomcheck.workbook.sheets.stack_chain import Size, StackChain, stack_chain
from bomcheck.workbook.sheets.words import (
    figure,
    in_unit,
    jump,
    label,
    number_format,
    places,
    quantity,
    sentence,
)

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
    lead = next((check.name for check in all_checks().values() if check.stack == name and check.aim is not None), "")
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
