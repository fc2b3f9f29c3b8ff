"""The head of the Quote: whose job it is and until when it holds; beside it the yellow figures for the whole quote."""

from collections.abc import Iterable, Mapping
from datetime import date

from bomcheck.io import layout as palette
from bomcheck.io.read.own import BILL_PREFIX
from bomcheck.io.sheets import quote_parts as parts
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.parts_freight import FREIGHT_KEYS
from bomcheck.io.sheets.words import label, quantity, sentence
from bomcheck.model.line import NO_SOURCE, WORK, Line, cents
from bomcheck.model.records import replace
from bomcheck.model.verdict import Verdict
from bomcheck.paper import quote as paper
from bomcheck.paper.awaited import delivery
from bomcheck.tables import texts

ABOUT = ("job_number", "customer_reference", "prepared_by", "currency")


def write_about(page: Page) -> dict[str, parts.Figure]:
    """Adds the rows; returns the figures by key. The last row has the day until which the quote holds."""
    job, figures = page.book.report.job, dict[str, parts.Figure]()
    rows = [{parts.ITEM: text(label(key), "bold"), parts.DETAIL: text(str(job.get(key) or ""))} for key in ABOUT]
    yellow = parts.settings(_figure(job.get("labour_rate")), _figure(job.get("tax_percent")), paper.VALID_DAYS)
    for row, one in enumerate(yellow):
        cells, figures[one.key] = parts.figure_cells(page, one.key, one.note, one.usual, one.shown)
        page.line({**(rows[row] if row < len(rows) else _valid(page, figures[paper.DAYS])), **cells})
    return figures


def _figure(stated: object) -> float | None:
    return float(stated) if isinstance(stated, int | float) else None


def _valid(page: Page, days: parts.Figure) -> Mapping[int, Cell]:
    """The last day on which the quote holds; nothing where today is not known."""
    if not page.book.now:
        return {}
    today = date.fromisoformat(page.book.now)
    known = isinstance(days.value, float)
    until = (today - date(1899, 12, 30)).days + int(days.value) if known else ""
    formula = f'=IF(ISNUMBER({days.at}),DATE({today.year},{today.month},{today.day})+INT({days.at}),"")'
    cell = Cell(until, ("cell", "right"), formula=formula, shown="yyyy-mm-dd")
    return {
        parts.ITEM: text("Valid until", "bold"),
        parts.DETAIL: text(f"Quoted on {page.book.now}"),
        parts.TOTAL: cell,
    }


SUNDRIES, COVERS = "Consumables", "Rags, gloves, caps, ties, paint, disposal"
SHOWN_PERCENT = f"{parts.PERCENT};-{parts.PERCENT};"


def write_totals(sums: parts.Sums, consumables: parts.Figure, tax: parts.Figure, currency: str) -> None:
    """Adds the rows. consumables, tax: percent. currency: "" where it is not stated."""
    printable = "".join(one for one in currency if one.isprintable())
    named = f", {printable}" if printable else ""
    _consumables(sums, consumables)
    net, row = _net(sums, named)
    _tax(sums, tax, net, row, named)


def _consumables(sums: parts.Sums, percent: parts.Figure) -> None:
    """A percentage of all subtotals; nothing is shown where it is 0."""
    share = parts.number(percent.value)
    of = cents(sum(parts.number(one.value) for one in sums.closed))
    base = "+".join(address(one.row, parts.TOTAL) for one in sums.closed)
    value = cents(of * share / 100)
    cells = {
        column: Cell(words if share else "", look, formula=f'=IF(N({percent.at})=0,"","{words}")')
        for column, words, look in ((parts.ITEM, SUNDRIES, ("cell",)), (parts.DETAIL, COVERS, ("cell",)))
    }
    cells |= {
        parts.QUANTITY: Cell(share, parts.COUNT_LOOKS, formula=f"=N({percent.at})", shown=SHOWN_PERCENT),
        parts.TOTAL: Cell(
            value, ("cell", "money"), formula=f"=ROUND(({base})*N({percent.at})/100,2)", shown=parts.UNLESS_NONE
        ),
    }
    sums.closed.append(parts.Row(sums.page.line(cells), value))


def _net(sums: parts.Sums, currency: str) -> tuple[float, int]:
    """The total without tax, and its row: "at least" while something has no price, which is named beside it."""
    value, at = cents(sum(parts.number(one.value) for one in sums.closed)), address(sums.page.row, parts.USED)
    lacking = "".join(words for _, words in sums.lacking)
    without = f"Not in it: {lacking[2:]}" if lacking else ""
    cells = {
        parts.ITEM: parts.at_least(f"Total without tax{currency}", at, lacking),
        parts.DETAIL: Cell(
            without, ("cell", "total", "plain"), formula=f'=IF({at}="","","Not in it: "&MID({at},3,9999))'
        ),
        parts.USED: Cell(lacking, ("key",), formula=f"={'&'.join(where for where, _ in sums.lacking)}"),
        parts.TOTAL: Cell(
            value,
            ("cell", "total", "money"),
            formula=f"={'+'.join(address(one.row, parts.TOTAL) for one in sums.closed)}",
        ),
    }
    return value, sums.total_line(cells)


def _tax(sums: parts.Sums, percent: parts.Figure, net: float, row: int, currency: str) -> None:
    """Tax and the total with it; where no percentage is known both rows say so."""
    known, at, before = isinstance(percent.value, float), address(sums.page.row, parts.TOTAL), address(row, parts.TOTAL)
    taxed: parts.Value = cents(net * parts.number(percent.value) / 100) if known else ""
    there = f"ISNUMBER({percent.at})"
    sums.page.line(
        {
            parts.ITEM: Cell(
                "Tax" if known else "Tax: not stated", ("cell",), formula=f'=IF({there},"Tax","Tax: not stated")'
            ),
            parts.DETAIL: text(""),
            parts.QUANTITY: Cell(percent.value, parts.COUNT_LOOKS, formula=f"={percent.at}", shown=parts.PERCENT),
            parts.TOTAL: Cell(taxed, ("cell", "money"), formula=f'=IF({there},ROUND({before}*{percent.at}/100,2),"")'),
        }
    )
    lacking, lacks = "".join(words for _, words in sums.lacking), address(row, parts.USED)
    title, unknown = f"Total with tax{currency}", "Total with tax: not known"
    least = f'{parts.quoted(title)}&IF({lacks}="",""," (at least)")'
    said = f"{title} (at least)" if lacking else title
    sums.total_line(
        {
            parts.ITEM: Cell(
                said if known else unknown, ("cell", "total"), formula=f'=IF({there},{least},"{unknown}")'
            ),
            parts.TOTAL: Cell(
                cents(net + parts.number(taxed)) if known else "",
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


def write_quote(book: Book) -> tuple[dict[str, parts.Figure], dict[str, parts.Quoted]]:
    """Adds the sheet; the Parts list must have been written before. Returns its yellow figures and its rows, for the Bill."""
    widths = parts.WIDE if book.report.axles else parts.WIDTHS
    page = Page(book, NAME, palette.YELLOW, widths, landscape=False, printed=parts.LAST_PRINTED + 1)
    page.steps_in = False
    page.head(NAME, book.who, parts.HEADINGS, parts.FIGURES, above=letterhead(book))
    figures = write_about(page)
    sums = parts.Sums(page, figures[paper.MARK_UP])
    _parts(page, sums)
    _labour(page, sums, figures[paper.RATE])
    write_totals(sums, figures[paper.CONSUMABLES], figures[paper.TAX], str(book.report.job.get("currency") or ""))
    _delivery(page)
    parts.write_options(page, sums)
    _words(page, "Not included", paper.not_included(page.book.report), together=True)
    _words(page, "Still open", paper.open_points(book.report))
    _words(page, "Cautions", texts("first_sheet")["cautions"], together=True)
    page.finish(squeeze=SQUEEZE)
    _write_orphans(page)
    return {key: replace(one, at=f"'{NAME}'!{one.at}") for key, one in figures.items()}, sums.by_key


def letterhead(book: Book) -> str:
    """The shop's name and address as it typed them, "" for none."""
    return str(book.report.job.get("shop_letterhead") or "")


def _delivery(page: Page) -> None:
    """The day on which the work can begin, and where the customer signs."""
    job, now, wanted = page.book.report.job, page.book.now, page.book.report.job.get("needed_by")
    if now:
        day = delivery(page.book.report, date.fromisoformat(now))
        when = f", as ordered on {job.get('ordered_on')}" if day.ordered else ", if it is ordered today"
        page.line({parts.ITEM: text("Parts can be here", "bold"), parts.DETAIL: text(day.said(when) or "at once")})
    if wanted:
        page.line({parts.ITEM: text("Needed by", "bold"), parts.DETAIL: text(str(wanted)[:10])})
    held = page.book.report.verdict in (Verdict.NOT_KNOWN, Verdict.DOES_NOT_FIT)
    signed = "Not to be agreed yet: see Still open" if held else "Agreed: name, signature, date"
    page.line({parts.ITEM: text(signed, "bold"), parts.DETAIL: text("")}, least=28)


def _parts(page: Page, sums: parts.Sums) -> None:
    report, refs = page.book.report, page.book.refs
    page.group("Parts")
    contents = paper.kit_contents(report.job)
    nameless = not all(one.get("kit_number") for one in report.job.each_axle)
    lack = "Kit number blank: type it before the kit is ordered" if nameless else ""
    detail = "\n".join(filter(None, (paper.kit_name(report.job), lack, contents and f"With {contents}")))
    sums.priced_line(paper.KIT, "the kit", "The kit", detail, KIT_NOTE, paper.kit_price(report.job))
    for line in paper.bought(report):
        note = f"No source is known yet. {PRICE_NOTE}" if line.status == NO_SOURCE else ""
        _line(page, sums, line, "" if line.description and line.part_number else line.spec, note)
    for line, cost in paper.from_shelf(report):
        sums.shelf_line(
            sentence(line.description or line.role), paper.own_stock(line), f"{paper.SHELF_KEY}{line.key}", cost
        )
    freight = [ref for key, ref in refs.items() if key.startswith(FREIGHT_KEYS)]
    if freight:
        sums.freight_line(freight)
    sums.subtotal("Parts, subtotal")
    work = paper.extra_work(report)
    if work:
        page.group("Machining and extra work")
        for line in work:
            _line(page, sums, line, line.reason, PRICE_NOTE)
        sums.subtotal("Machining and extra work, subtotal")


def _line(page: Page, sums: parts.Sums, line: Line, detail: str, note: str) -> None:
    """A line of the Parts list; the mark-up goes on parts, not on work."""
    name, ref = line.description or line.role, page.book.refs[line.key]
    packed = line.packs and (line.pack_size != 1 or line.unit not in ("each", "set"))
    shown = f'0" x {quantity(line.pack_size, line.unit)}"' if packed else ref.shown
    if line.unit in paper.MEASURED:
        shown = "0" if line.packs else '"as needed"'
    elif line.unit == paper.POURED and not line.packs:
        shown = '"as needed"'
    if line.status == WORK:
        sums.work_line(line.key, sentence(name), sentence(detail), ref, shown, note)
    else:
        sums.part_line(
            line.key, sentence(name), sentence(detail), ref, shown, note, line.pack_size if line.packs else 1.0
        )


def _labour(page: Page, sums: parts.Sums, rate: parts.Figure) -> None:
    page.group("Labour")
    for one in paper.operations(page.book.report):
        times = f", x {one.times}" if one.times > 1 else ""
        sums.labour_line(
            paper.labour_key(one), one.name, one.covers, one.hours, one.times, rate, f"{HOURS_NOTE}{times}"
        )
    sums.subtotal("Labour, subtotal", rate, "the labour")


def _words(page: Page, title: str, sentences: Iterable[str], together: bool = False) -> None:
    lines = list(sentences)
    if not lines:
        return
    page.group(title)
    if together:
        lines = [" ".join(f"{sentence(words).rstrip('.')}." for words in lines)]
    for words in lines:
        page.across(sentence(words), "cell", "near", last=parts.LAST_PRINTED)


def _write_orphans(page: Page) -> None:
    """What was typed in rows that the quote no longer has: nothing of it is lost."""
    report = page.book.report
    shelf = [f"{paper.SHELF_KEY}{line.key}" for line, _ in paper.from_shelf(report)]
    rows = (
        [one.key for one in parts.settings(None, None, paper.VALID_DAYS)]
        + [paper.KIT, *shelf, *(f"{parts.LISTED}{line.key}" for line in paper.bought(report))]
        + [paper.labour_key(one) for one in paper.operations(report)]
    )
    known = {f"{paper.QUOTE_PREFIX}{key}" for key in rows}
    typed_here = (
        one for one in page.book.kept if one.startswith(paper.QUOTE_PREFIX) and not one.startswith(BILL_PREFIX)
    )
    for key in (one for one in typed_here if one not in known):
        words = f"No longer in the quote; what you typed there: {key.removeprefix(paper.QUOTE_PREFIX)}"
        typed = page.book.kept[key].get("figure")
        look = "input figure" if isinstance(typed, float | int) else "input"
        page.line(
            {parts.SHOP: text(words, "small"), parts.FIGURE: Cell(typed, (look,)), parts.KEY: Cell(key, ("key",))}
        )
