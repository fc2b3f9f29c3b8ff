"""The Quote sheet: what the customer gets is printed; what the shop types, and what it is told, stands to the right."""

from collections.abc import Iterable

from bomcheck.parts.line import NO_SOURCE, Line
from bomcheck.quote import NOT_INCLUDED, VALID_DAYS, Operation, bought, extra_work, kit_name, open_points, operations
from bomcheck.workbook import palette
from bomcheck.workbook.blank.start import CAUTIONS
from bomcheck.workbook.sheets.kept import QUOTE_PREFIX
from bomcheck.workbook.sheets.page import Book, Cell, Page, text
from bomcheck.workbook.sheets.parts_freight import FREIGHT_KEYS
from bomcheck.workbook.sheets.quote_about import write_about
from bomcheck.workbook.sheets.quote_columns import (
    FIGURE,
    FIGURES,
    HEADINGS,
    KEY,
    LAST_PRINTED,
    SHOP,
    WIDTHS,
)
from bomcheck.workbook.sheets.quote_figures import (
    CONSUMABLES,
    MARK_UP,
    RATE,
    TAX,
    Figure,
    settings,
)
from bomcheck.workbook.sheets.quote_offers import write_options
from bomcheck.workbook.sheets.quote_rows import Sums
from bomcheck.workbook.sheets.quote_totals import write_totals
from bomcheck.workbook.sheets.words import quantity, sentence

NAME, KIND = "Quote", "quote"
KIT = "kit"
KIT_NOTE = "The kit's price to the customer; 0 if the customer brings it"
PRICE_NOTE = "Its price is typed in the Parts list"
HOURS_NOTE = "Hours each time, usual ones and not of this car"


def write_quote(book: Book) -> None:
    """Adds the sheet; the Parts list must have been written before."""
    page = Page(book, NAME, palette.YELLOW, WIDTHS, landscape=False)
    page.head(NAME, book.who, HEADINGS, FIGURES)
    figures = write_about(page)
    sums = Sums(page, figures[MARK_UP])
    _parts(page, sums)
    _labour(page, sums, figures[RATE])
    write_totals(sums, figures[CONSUMABLES], figures[TAX], str(book.report.job.get("currency") or ""))
    write_options(page, sums)
    _words(page, "Not included", NOT_INCLUDED)
    _words(page, "Still open", open_points(book.report))
    _words(page, "Cautions", CAUTIONS)
    page.finish(columns=LAST_PRINTED + 1)
    _write_orphans(page)


def _parts(page: Page, sums: Sums) -> None:
    report, refs = page.book.report, page.book.refs
    page.group("Parts")
    sums.priced_line(KIT, "the kit", "The kit", kit_name(report.job), KIT_NOTE)
    for line in bought(report):
        note = f"No source is known yet. {PRICE_NOTE}" if line.status == NO_SOURCE else ""
        _line(page, sums, line, "" if line.description and line.part_number else line.spec, note)
    freight = [ref for key, ref in refs.items() if key.startswith(FREIGHT_KEYS)]
    if freight:
        sums.freight_line(freight)
    sums.subtotal("Parts, subtotal")
    work = extra_work(report)
    if work:
        page.group("Machining and extra work")
        for line in work:
            _line(page, sums, line, line.reason, PRICE_NOTE)
        sums.subtotal("Machining and extra work, subtotal")


def _line(page: Page, sums: Sums, line: Line, detail: str, note: str) -> None:
    """A line of the Parts list; the mark-up goes on parts, not on work."""
    name, ref = line.description or line.role, page.book.refs[line.key]
    packed = line.packs and (line.pack_size != 1 or line.unit not in ("each", "set"))
    shown = f'0" x {quantity(line.pack_size, line.unit)}"' if packed else ref.shown
    sums.referred_line(sentence(name), sentence(detail), ref, shown, line in bought(page.book.report), note)


def _labour(page: Page, sums: Sums, rate: Figure) -> None:
    page.group("Labour")
    for one in operations(page.book.report):
        times = f", x {one.times}" if one.times > 1 else ""
        sums.labour_line(_hours(one), one.name, one.covers, one.hours, one.times, rate, f"{HOURS_NOTE}{times}")
    sums.subtotal("Labour, subtotal", rate, "the labour")


def _hours(one: Operation) -> str:
    """Key of the row in which its hours are typed."""
    return f"labour {one.key}"


def _words(page: Page, title: str, sentences: Iterable[str]) -> None:
    lines = list(sentences)
    if not lines:
        return
    page.row += 1
    page.group(title)
    for words in lines:
        page.across(sentence(words), "cell", "small", last=LAST_PRINTED)


def _write_orphans(page: Page) -> None:
    """What was typed in rows that the quote no longer has: nothing of it is lost."""
    report = page.book.report
    rows = [one.key for one in settings(None, None, VALID_DAYS)] + [KIT] + [_hours(one) for one in operations(report)]
    known = {f"{QUOTE_PREFIX}{key}" for key in rows}
    for key in (one for one in page.book.kept if one.startswith(QUOTE_PREFIX) and one not in known):
        words = f"No longer in the quote; what you typed there: {key.removeprefix(QUOTE_PREFIX)}"
        typed = page.book.kept[key].get("figure")
        look = "input figure" if isinstance(typed, float | int) else "input"
        page.line({SHOP: text(words, "small"), FIGURE: Cell(typed, (look,)), KEY: Cell(key, ("key",))})
