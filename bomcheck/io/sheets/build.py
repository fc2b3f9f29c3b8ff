"""All our sheets of a report as one workbook, and that written into the user's."""

from collections.abc import Mapping, Sequence
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xlsxwriter import Workbook

from bomcheck.io import layout as palette
from bomcheck.io.disk import real_path
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package
from bomcheck.io.read.fill_in import Filled
from bomcheck.io.sheets import (
    bill,
    compare,
    compatibility,
    drawing,
    fit_up,
    line_sheet,
    measure_next,
    parts_list,
    quote,
    shims,
    tick_list,
    whole_car,
)
from bomcheck.io.sheets import history as history_sheet
from bomcheck.io.sheets import proof as proof_sheet
from bomcheck.io.sheets import sizes as sizes_sheet
from bomcheck.io.sheets.corner_views import View
from bomcheck.io.sheets.looks import DEFAULT_FONT
from bomcheck.io.sheets.page import Book, Page, Tables
from bomcheck.io.sheets.pictures import with_pictures
from bomcheck.io.sheets.proof import PROOF, Proof
from bomcheck.io.sheets.sizes import PLAIN, PLAIN_HEADINGS, PLAIN_KIND, WHAT_IF, Sizes
from bomcheck.io.splice import Written, write_back
from bomcheck.model.finding import said_in
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.model.version import __version__
from bomcheck.paper.live import live

if TYPE_CHECKING:
    from bomcheck.io.receive.match import Receipt

MODULES = (
    compatibility, parts_list, quote, tick_list, line_sheet, shims, measure_next, fit_up, drawing, whole_car,
    sizes_sheet, proof_sheet,
)  # fmt: skip
OF_AXLE = (line_sheet, shims, measure_next, drawing, sizes_sheet, proof_sheet)
"""What each axle has for itself where both get a kit; Compatibility then stands for the car and once more for each."""
NOTHING = Filled()
OPTIONS = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
    "default_format_properties": DEFAULT_FONT,
}


def build_sheets(
    report: Report,
    *,
    kept: Mapping[str, Mapping[str, Any]] | None = None,
    system: str = "metric",
    version: str = "",
    now: date | None = None,
    receipts: "Sequence[Receipt]" = (),
    history: Sequence[history_sheet.Entry] = (),
    extra: Mapping[str, Mapping[str, str | float]] | None = None,
    tables: Tables | None = None,
) -> tuple[bytes, dict[str, str]]:
    """Our sheets as a workbook, and the kind of each by its name.

    kept: what the user typed on an earlier run, from `kept.read_kept`. system: "metric" or "inch". now: the day that is
    printed, None for none. receipts: what was booked from packing slips; without any there is no Receiving sheet.
    history: what the bench wrote before. extra: columns that the shop added to the Parts list, by heading and line. tables: those of the job, added up.
    """
    out = BytesIO()
    workbook = Workbook(out, OPTIONS)
    split = tuple(module.NAME for module in OF_AXLE) if report.axles else ()
    day = now.isoformat() if now else ""
    book = Book(workbook, report, system, version, day, kept or {}, split=split, extra=extra or {}, tables=tables or {})
    axles = [book.of_axle(one) for one in report.axles]
    compare.write_compare(book)
    car, *fronts = (_front(one) for one in (book, *axles))
    views, marked, billed = _write_pages(book, axles, fronts or [car])
    if axles:
        compatibility.write_compatibility(book, car, None, views, marked)
    kinds = _kinds(axles, split) | billed | ({compare.NAME: compare.KIND} if report.kits else {})
    if receipts:
        from bomcheck.io.sheets import receiving

        receiving.write_receiving(book, receipts)
        kinds[receiving.NAME] = receiving.KIND
    told = history_sheet.entries(book, history)
    if told:
        history_sheet.write_history(book, told)
        kinds[history_sheet.NAME] = history_sheet.KIND
    workbook.close()
    return with_pictures(out.getvalue(), book.pictures), kinds


def _write_pages(
    book: Book, axles: Sequence[Book], fronts: Sequence[Page]
) -> tuple[list[View], list[Sizes], dict[str, str]]:
    """All pages in their order but those of Compatibility for a car; returns (each corner from the side, its sizes, kind of the
    bill by its name)."""
    parts_list.write_parts_list(book)
    quoted = quote.write_quote(book)
    tick_list.write_tick_list(book)
    billed = bill.write_bill(book, *quoted)
    views, shims_pages, marked = [], [], []
    for own in axles or [book]:
        line_sheet.write_line(own)
        shims_pages.append(Page(own, shims.NAME, palette.PURPLE, shims.WIDTHS, landscape=False))
        measure_next.write_measure_next(own)
        views.append(drawing.write_drawing(own))
    fit_up.write_fit_up(book)
    whole_car.write_whole_car(book)
    for own, shims_page, front, view in zip(axles or [book], shims_pages, fronts, views, strict=True):
        proof = write_live(own)
        shims.write_shims(shims_page, proof)
        proof.sizes.write_stacks()
        marked.append(proof.sizes)
        compatibility.write_compatibility(own, front, proof, [view], marked[-1:])
    return views, marked, billed


def _kinds(axles: Sequence[Book], split: Sequence[str]) -> dict[str, str]:
    """The kind of each sheet by its name."""
    kinds = {module.NAME: module.KIND for module in MODULES if module.NAME not in split}
    kinds |= {} if axles else {PLAIN: PLAIN_KIND}
    for own in axles:
        kinds |= {own.tab(one.NAME): f"{one.KIND} {own.axle}" for one in (compatibility, *OF_AXLE)}
        kinds[own.tab(PLAIN)] = f"{PLAIN_KIND} {own.axle}"
    return kinds


def _front(book: Book) -> Page:
    """The Compatibility sheet, still empty."""
    colour = palette.VERDICT_COLOURS[book.report.verdict][0]
    return Page(book, compatibility.NAME, colour, compatibility.CHECKS.widths, landscape=False)


def write_live(book: Book) -> Proof:
    """What if, Proof, and the hidden plain sizes behind them."""
    report, sizes = book.report, Sizes(book)
    page = Page(book, sizes_sheet.NAME, palette.YELLOW, WHAT_IF.widths, landscape=False, printed=WHAT_IF.printed)
    proof_page = Page(book, proof_sheet.NAME, palette.BLUE, PROOF.widths, printed=PROOF.printed)
    plain = Page(book, PLAIN, palette.QUIET, (24,) * len(PLAIN_HEADINGS))
    plain.sheet.hide()
    found = [one for one in report.findings if one.verdict is not Verdict.DOES_NOT_APPLY]
    known = live(report)
    reads = [key for one in found for key in one.reads] + [key for one in known.forms.values() for key in one.behind]
    sizes.write(page, plain, known, reads + [key for one in found for key in one.asks])
    proof = Proof(book, proof_page, known, sizes)
    proof.write(found, [one for one in report.findings if one.verdict is Verdict.DOES_NOT_APPLY])
    return proof


def receipts_from(package: Package) -> "list[Receipt]":
    """What was booked from packing slips on earlier runs."""
    name = marked_sheets(package).get("receiving")
    if name is None:
        return []
    from bomcheck.io.receive.match import read_receipts

    return read_receipts(package.cells(name))


def _history_from(package: Package) -> list[history_sheet.Entry]:
    """What the bench wrote, as earlier runs kept it."""
    name = marked_sheets(package).get(history_sheet.KIND)
    return [] if name is None else history_sheet.read_history(package.cells(name))


def _extra_from(package: Package) -> dict[str, dict[str, str | float]]:
    """Columns that the shop added to the Parts list."""
    name = marked_sheets(package).get(parts_list.KIND)
    return {} if name is None else parts_list.extra_columns(package.cells(name))


def write_result(
    report: Report, package: Package, target: Path, backup: bool, today: date | None, *,
    kept: Mapping[str, Mapping[str, Any]] | None = None, receipts: "Sequence[Receipt] | None" = None,
    earlier: Package | None = None, filled: Filled = NOTHING,
) -> Written:  # fmt: skip
    """Put the result sheets into a workbook at `target`. Raises WorkbookError; the target is then unchanged.

    kept: in the place of what the job holds of an earlier run; receipts: in the place of what stands in the workbook.
    earlier: what was read at the target, where that is another workbook. filled: blanks of the user that are filled in.
    """
    system, own = report.job.get("units") or "metric", report.job.own if kept is None else kept
    done = (
        filled if real_path(target) == real_path(package.path) else NOTHING
    )  # elsewhere the job itself still lacks it
    with said_in(system):
        ours, kinds = build_sheets(
            report,
            kept={line: typed for line, typed in own.items() if line not in done.lines},
            system=system,
            version=__version__,
            now=today,
            receipts=receipts_from(package) if receipts is None else receipts,
            history=[*_history_from(earlier or package), *history_sheet.of_found(done.what, today)],
            extra=_extra_from(earlier or package),
            tables=package.tables,
        )
    return write_back(package, ours, kinds, target, backup=backup, earlier=earlier, filled=filled.parts)
