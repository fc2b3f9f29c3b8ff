"""The Quote sheet: live sums over the Parts list, labour by operation, tax; options, exclusions, open questions."""

from datetime import date

from bomcheck.parts.line import Line
from bomcheck.quote import VALID_DAYS, bought, extra_work, kit_name, not_included, open_points, operations
from bomcheck.quote_options import options
from bomcheck.workbook import palette
from bomcheck.workbook.blank.start import CAUTIONS
from bomcheck.workbook.sheets.page import Book, Cell, Page, address, text
from bomcheck.workbook.sheets.parts_freight import FREIGHT, TOP_UP
from bomcheck.workbook.sheets.quote_rows import DETAIL, FIGURE, HEADINGS, ITEM, PRICE, QUANTITY, TOTAL, WIDTHS, Sums
from bomcheck.workbook.sheets.words import label, quantity, sentence

NAME, KIND = "Quote", "quote"


def write_quote(book: Book) -> None:
    """Adds the sheet; the Parts list must have been written before."""
    page = Page(book, NAME, palette.YELLOW, WIDTHS, landscape=False)
    page.head(NAME, book.who, HEADINGS, (FIGURE, QUANTITY, PRICE, TOTAL))
    _about(page)
    sums = Sums(page)
    _parts(page, sums)
    _labour(page, sums)
    _totals(page, sums)
    _options(page)
    _words(page, "Not included", not_included(book.report))
    _words(page, "Still open", open_points(book.report))
    _words(page, "Cautions", CAUTIONS)
    page.finish(columns=TOTAL + 1)


def _about(page: Page) -> None:
    """Whose job it is, in which currency, and until when the quote holds."""
    job, sums = page.book.report.job, Sums(page)
    for key in ("job_number", "customer_reference", "prepared_by", "currency"):
        if job.get(key):
            page.line({ITEM: text(label(key), "bold"), DETAIL: text(str(job.get(key)))})
    row = sums.input_line(
        "quote days", "Valid for, days", "Prices and lead times change; ask again after that", VALID_DAYS, shown="0"
    )
    if page.book.now:
        today = date.fromisoformat(page.book.now)
        day = f"DATE({today.year},{today.month},{today.day})"
        until = (today - date(1899, 12, 30)).days + sums.figure("quote days", VALID_DAYS)
        formula = f'=IF(ISNUMBER({address(row, FIGURE)}),{day}+{address(row, FIGURE)},"")'
        cell = Cell(until, ("cell", "right"), formula=formula, shown="yyyy-mm-dd")
        page.line({ITEM: text("Valid until", "bold"), DETAIL: text(f"Quoted on {page.book.now}"), TOTAL: cell})


def _parts(page: Page, sums: Sums) -> None:
    report, refs = page.book.report, page.book.refs
    page.group("Parts")
    name = kit_name(report.job)
    sums.priced_line(
        "quote kit", "The kit", f"{name}. Type its price, or leave it blank if the customer brings it".lstrip(". ")
    )
    for line in bought(report):
        sums.referred_line(sentence(line.description or line.role), _detail(line), refs[line.key])
    for key, ref in refs.items():
        if key.startswith((FREIGHT, TOP_UP)):
            sums.freight_line(sentence(key), ref)
    sums.subtotal("Parts, subtotal")
    work = extra_work(report)
    if work:
        page.group("Machining and extra work, priced in the Parts list")
        for line in work:
            sums.referred_line(sentence(line.description or line.role), line.reason, refs[line.key])
        sums.subtotal("Machining and extra work, subtotal")


def _detail(line: Line) -> str:
    pack = (
        "" if line.pack_size == 1 and line.unit in ("each", "set") else f"pack of {quantity(line.pack_size, line.unit)}"
    )
    return ", ".join(one for one in (line.part_number, line.supplier, pack if line.packs else "", line.spec) if one)


def _labour(page: Page, sums: Sums) -> None:
    page.group("Labour; the hours are usual ones, not of this car: change them")
    rate = sums.rate_line(page.book.report.job.get("labour_rate"))
    for one in operations(page.book.report):
        sums.labour_line(f"quote labour {one.key}", one.name, one.covers, one.hours, one.times, rate)
    sums.subtotal("Labour, subtotal")


def _totals(page: Page, sums: Sums) -> None:
    sums.percent_line(
        "quote consumables",
        "Consumables, percent",
        "Rags, gloves, disposal; fluid and threadlocker are among the parts",
    )
    sums.final(page.book.report.job.get("tax_percent"), str(page.book.report.job.get("currency") or ""))


def _options(page: Page) -> None:
    """Pads and fluid out of the price list; nothing of it is in the total."""
    found = options(page.book.report)
    if not found:
        return
    page.row += 1
    page.group("Options for the car's duty, not added to the total")
    quoted = {line.part_number for line in bought(page.book.report) if line.part_number}
    for one in found:
        part, purchase = one.purchase.part, one.purchase
        why = f"{one.why}; this one is quoted above" if part.part_number in quoted else one.why
        detail = ", ".join(word for word in (part.description, part.part_number, part.supplier) if word)
        page.line(
            {
                ITEM: text(f"{sentence(one.what)}, {one.grade}", "bold"),
                DETAIL: Cell(detail, ("cell",), more=((why, ("quiet",)),)),
                QUANTITY: text(quantity(purchase.packs * purchase.pack_size, _unit(one.what)), "right"),
                PRICE: Cell(purchase.unit_price, ("cell", "money")),
                TOTAL: Cell(purchase.total, ("cell", "money", "quiet")),
            }
        )


def _unit(what: str) -> str:
    return "L" if what == "fluid" else "set"


def _words(page: Page, title: str, sentences: object) -> None:
    lines = list(sentences)  # type: ignore[call-overload]
    if not lines:
        return
    page.row += 1
    page.group(title)
    for words in lines:
        page.across(sentence(str(words)), "cell", "small", last=TOTAL)
