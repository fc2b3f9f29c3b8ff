"""The head of the Quote: whose job it is and until when it holds; beside it the yellow figures for the whole quote."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from math import ceil

from bomcheck.io import layout as palette
from bomcheck.io.blank.start import CAUTIONS
from bomcheck.io.read.own import BILL_PREFIX
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.parts_freight import FREIGHT_KEYS
from bomcheck.io.sheets.quote_parts import (
    COUNT_LOOKS,
    DETAIL,
    FIGURE,
    FIGURES,
    HEADINGS,
    ITEM,
    KEY,
    LAST_PRINTED,
    LISTED,
    PERCENT,
    QUANTITY,
    SHOP,
    TOTAL,
    UNLESS_NONE,
    USED,
    WIDE,
    WIDTHS,
    Figure,
    Quoted,
    Row,
    Sums,
    Value,
    at_least,
    figure_cells,
    number,
    quoted,
    settings,
    write_options,
)
from bomcheck.io.sheets.words import label, quantity, sentence
from bomcheck.model.line import NO_SOURCE, WORK, Line, cents
from bomcheck.paper.quote import (
    CONSUMABLES,
    DAYS,
    KIT,
    MARK_UP,
    MEASURED,
    POURED,
    QUOTE_PREFIX,
    RATE,
    SHELF_KEY,
    TAX,
    VALID_DAYS,
    bought,
    extra_work,
    from_shelf,
    kit_contents,
    kit_name,
    kit_price,
    labour_key,
    not_included,
    open_points,
    operations,
    own_stock,
)

ABOUT = ("job_number", "customer_reference", "prepared_by", "currency")


def write_about(page: Page) -> dict[str, Figure]:
    """Adds the rows; returns the figures by key. The last row has the day until which the quote holds."""
    job, figures = page.book.report.job, dict[str, Figure]()
    rows = [{ITEM: text(label(key), "bold"), DETAIL: text(str(job.get(key) or ""))} for key in ABOUT]
    yellow = settings(_figure(job.get("labour_rate")), _figure(job.get("tax_percent")), VALID_DAYS)
    for row, one in enumerate(yellow):
        cells, figures[one.key] = figure_cells(page, one.key, one.note, one.usual, one.shown)
        page.line({**(rows[row] if row < len(rows) else _valid(page, figures[DAYS])), **cells})
    return figures


def _figure(stated: object) -> float | None:
    return float(stated) if isinstance(stated, int | float) else None


def _valid(page: Page, days: Figure) -> Mapping[int, Cell]:
    """The last day on which the quote holds; nothing where today is not known."""
    if not page.book.now:
        return {}
    today = date.fromisoformat(page.book.now)
    known = isinstance(days.value, float)
    until = (today - date(1899, 12, 30)).days + int(days.value) if known else ""
    formula = f'=IF(ISNUMBER({days.at}),DATE({today.year},{today.month},{today.day})+INT({days.at}),"")'
    cell = Cell(until, ("cell", "right"), formula=formula, shown="yyyy-mm-dd")
    return {ITEM: text("Valid until", "bold"), DETAIL: text(f"Quoted on {page.book.now}"), TOTAL: cell}


SUNDRIES, COVERS = "Consumables", "Rags, gloves, caps, ties, paint, disposal"
SHOWN_PERCENT = f"{PERCENT};-{PERCENT};"


def write_totals(sums: Sums, consumables: Figure, tax: Figure, currency: str) -> None:
    """Adds the rows. consumables, tax: percent. currency: "" where it is not stated."""
    printable = "".join(one for one in currency if one.isprintable())
    named = f", {printable}" if printable else ""
    _consumables(sums, consumables)
    net, row = _net(sums, named)
    _tax(sums, tax, net, row, named)


def _consumables(sums: Sums, percent: Figure) -> None:
    """A percentage of all subtotals; nothing is shown where it is 0."""
    share = number(percent.value)
    of = cents(sum(number(one.value) for one in sums.closed))
    base = "+".join(address(one.row, TOTAL) for one in sums.closed)
    value = cents(of * share / 100)
    cells = {
        column: Cell(words if share else "", look, formula=f'=IF(N({percent.at})=0,"","{words}")')
        for column, words, look in ((ITEM, SUNDRIES, ("cell",)), (DETAIL, COVERS, ("cell",)))
    }
    cells |= {
        QUANTITY: Cell(share, COUNT_LOOKS, formula=f"=N({percent.at})", shown=SHOWN_PERCENT),
        TOTAL: Cell(value, ("cell", "money"), formula=f"=ROUND(({base})*N({percent.at})/100,2)", shown=UNLESS_NONE),
    }
    sums.closed.append(Row(sums.page.line(cells), value))


def _net(sums: Sums, currency: str) -> tuple[float, int]:
    """The total without tax, and its row: "at least" while something has no price, which is named beside it."""
    value, at = cents(sum(number(one.value) for one in sums.closed)), address(sums.page.row, USED)
    lacking = "".join(words for _, words in sums.lacking)
    without = f"Without {lacking[2:]}" if lacking else ""
    cells = {
        ITEM: at_least(f"Total without tax{currency}", at, lacking),
        DETAIL: Cell(without, ("cell", "total", "plain"), formula=f'=IF({at}="","","Without "&MID({at},3,9999))'),
        USED: Cell(lacking, ("key",), formula=f"={'&'.join(where for where, _ in sums.lacking)}"),
        TOTAL: Cell(
            value, ("cell", "total", "money"), formula=f"={'+'.join(address(one.row, TOTAL) for one in sums.closed)}"
        ),
    }
    return value, sums.total_line(cells)


def _tax(sums: Sums, percent: Figure, net: float, row: int, currency: str) -> None:
    """Tax and the total with it; where no percentage is known both rows say so."""
    known, at, before = isinstance(percent.value, float), address(sums.page.row, TOTAL), address(row, TOTAL)
    taxed: Value = cents(net * number(percent.value) / 100) if known else ""
    there = f"ISNUMBER({percent.at})"
    sums.page.line(
        {
            ITEM: Cell(
                "Tax" if known else "Tax: not stated", ("cell",), formula=f'=IF({there},"Tax","Tax: not stated")'
            ),
            DETAIL: text(""),
            QUANTITY: Cell(percent.value, COUNT_LOOKS, formula=f"={percent.at}", shown=PERCENT),
            TOTAL: Cell(taxed, ("cell", "money"), formula=f'=IF({there},ROUND({before}*{percent.at}/100,2),"")'),
        }
    )
    lacking, lacks = "".join(words for _, words in sums.lacking), address(row, USED)
    title, unknown = f"Total with tax{currency}", "Total with tax: not known"
    least = f'{quoted(title)}&IF({lacks}="",""," (at least)")'
    said = f"{title} (at least)" if lacking else title
    sums.total_line(
        {
            ITEM: Cell(said if known else unknown, ("cell", "total"), formula=f'=IF({there},{least},"{unknown}")'),
            TOTAL: Cell(
                cents(net + number(taxed)) if known else "",
                ("cell", "total", "money"),
                formula=f'=IF({there},{before}+{at},"")',
            ),
        }
    )


NAME, KIND = "Quote", "quote"
SQUEEZE = 1.18  # of a page as `Page` reckons it: what is put on one, its letters of 9.9 pt no smaller than 8
KIT_NOTE = "The kit's price to the customer; 0 if the customer brings it"
PRICE_NOTE = "Its price is typed in the Parts list"
HOURS_NOTE = "Hours each time, usual ones and not of this car"


def write_quote(book: Book) -> tuple[dict[str, Figure], dict[str, Quoted]]:
    """Adds the sheet; the Parts list must have been written before. Returns its yellow figures and its rows, for the Bill."""
    widths = WIDE if book.report.axles else WIDTHS
    page = Page(book, NAME, palette.YELLOW, widths, landscape=False, printed=LAST_PRINTED + 1)
    page.head(NAME, book.who, HEADINGS, FIGURES, above=letterhead(book))
    figures = write_about(page)
    sums = Sums(page, figures[MARK_UP])
    _parts(page, sums)
    _labour(page, sums, figures[RATE])
    write_totals(sums, figures[CONSUMABLES], figures[TAX], str(book.report.job.get("currency") or ""))
    _delivery(page)
    write_options(page, sums)
    _words(page, "Not included", not_included(page.book.report), together=True)
    _words(page, "Still open", open_points(book.report))
    _words(page, "Cautions", CAUTIONS, together=True)
    page.finish(squeeze=SQUEEZE)
    _write_orphans(page)
    return {key: replace(one, at=f"'{NAME}'!{one.at}") for key, one in figures.items()}, sums.by_key


def letterhead(book: Book) -> str:
    """The shop's name and address as it typed them, "" for none."""
    return str(book.report.job.get("shop_letterhead") or "")


def _delivery(page: Page) -> None:
    """The day on which the work can begin, and where the customer signs."""
    report, now = page.book.report, page.book.now
    days = [line.lead_days or 0.0 for line in bought(report)]
    days += [one.get("kit_lead_days") or 0.0 for one in report.job.each_axle if "kit_lead_days" in one.values]
    wanted = report.job.get("needed_by")
    if now:
        here = date.fromisoformat(now) + timedelta(days=ceil(max(days, default=0.0)))
        words = f"{here.isoformat()}, if it is ordered today" if days else "at once"
        page.line({ITEM: text("Parts can be here", "bold"), DETAIL: text(words)})
    if wanted:
        page.line({ITEM: text("Needed by", "bold"), DETAIL: text(str(wanted)[:10])})
    page.line({ITEM: text("Agreed: name, signature, date", "bold"), DETAIL: text("")}, least=28)


def _parts(page: Page, sums: Sums) -> None:
    report, refs = page.book.report, page.book.refs
    page.group("Parts")
    contents = kit_contents(report.job)
    detail = "\n".join(filter(None, (kit_name(report.job), contents and f"With {contents}")))
    sums.priced_line(KIT, "the kit", "The kit", detail, KIT_NOTE, kit_price(report.job))
    for line in bought(report):
        note = f"No source is known yet. {PRICE_NOTE}" if line.status == NO_SOURCE else ""
        _line(page, sums, line, "" if line.description and line.part_number else line.spec, note)
    for line, cost in from_shelf(report):
        sums.shelf_line(sentence(line.description or line.role), own_stock(line), f"{SHELF_KEY}{line.key}", cost)
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
    if line.unit in MEASURED:
        shown = "0" if line.packs else '"as needed"'
    elif line.unit == POURED and not line.packs:
        shown = '"as needed"'
    if line.status == WORK:
        sums.work_line(line.key, sentence(name), sentence(detail), ref, shown, note)
    else:
        sums.part_line(
            line.key, sentence(name), sentence(detail), ref, shown, note, line.pack_size if line.packs else 1.0
        )


def _labour(page: Page, sums: Sums, rate: Figure) -> None:
    page.group("Labour")
    for one in operations(page.book.report):
        times = f", x {one.times}" if one.times > 1 else ""
        sums.labour_line(labour_key(one), one.name, one.covers, one.hours, one.times, rate, f"{HOURS_NOTE}{times}")
    sums.subtotal("Labour, subtotal", rate, "the labour")


def _words(page: Page, title: str, sentences: Iterable[str], together: bool = False) -> None:
    lines = list(sentences)
    if not lines:
        return
    page.group(title)
    if together:
        lines = [" ".join(f"{sentence(words).rstrip('.')}." for words in lines)]
    for words in lines:
        page.across(sentence(words), "cell", "near", last=LAST_PRINTED)


def _write_orphans(page: Page) -> None:
    """What was typed in rows that the quote no longer has: nothing of it is lost."""
    report = page.book.report
    shelf = [f"{SHELF_KEY}{line.key}" for line, _ in from_shelf(report)]
    rows = (
        [one.key for one in settings(None, None, VALID_DAYS)]
        + [KIT, *shelf, *(f"{LISTED}{line.key}" for line in bought(report))]
        + [labour_key(one) for one in operations(report)]
    )
    known = {f"{QUOTE_PREFIX}{key}" for key in rows}
    typed_here = (one for one in page.book.kept if one.startswith(QUOTE_PREFIX) and not one.startswith(BILL_PREFIX))
    for key in (one for one in typed_here if one not in known):
        words = f"No longer in the quote; what you typed there: {key.removeprefix(QUOTE_PREFIX)}"
        typed = page.book.kept[key].get("figure")
        look = "input figure" if isinstance(typed, float | int) else "input"
        page.line({SHOP: text(words, "small"), FIGURE: Cell(typed, (look,)), KEY: Cell(key, ("key",))})
