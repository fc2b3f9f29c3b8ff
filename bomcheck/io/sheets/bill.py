"""The Bill: what was really used and worked, by what the bench wrote on the Tick list, at the prices of the Quote; live."""

from collections.abc import Mapping, Sequence
from math import ceil

from bomcheck.io import layout as palette
from bomcheck.io.read.own import BILL_PREFIX
from bomcheck.io.sheets import quote_parts as parts
from bomcheck.io.sheets.history import SIGNED
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.quote import ABOUT, SQUEEZE, letterhead, write_totals
from bomcheck.io.sheets.words import label, quantity, sentence
from bomcheck.model.line import Line, cents
from bomcheck.paper import quote as paper

NAME, KIND = "Bill", "bill"
POURED = ("L", "mL", "g")
"""Units that are billed by the bottle, can or cartridge that was opened."""
HOURS = "Hours really worked, in all; usual: as quoted"
AS_QUOTED, AS_USED = (
    "As quoted: nothing is written under Used on the Tick list",
    "By what is written under Used on the Tick list",
)


def write_bill(book: Book, figures: Mapping[str, parts.Figure], rows: Mapping[str, parts.Quoted]) -> dict[str, str]:
    """Adds the sheet once the bench wrote down what was used, or signed; returns its kind by its name.

    figures, rows: of the Quote, by key; both sheets, the Parts list and the Tick list must have been written before."""
    if not any(key == SIGNED or key.startswith(BILL_PREFIX) or "used" in typed for key, typed in book.kept.items()):
        return {}
    page = Page(book, NAME, palette.YELLOW, parts.WIDTHS, landscape=False, printed=parts.LAST_PRINTED + 1)
    page.steps_in = False
    page.head(NAME, book.who, parts.HEADINGS, parts.FIGURES, above=letterhead(book))
    for key in ABOUT:
        page.line({parts.ITEM: text(label(key), "bold"), parts.DETAIL: text(str(book.report.job.get(key) or ""))})
    page.line({parts.ITEM: text("Billed on", "bold"), parts.DETAIL: text(book.now)})
    sums = parts.Sums(page, figures[paper.MARK_UP])
    _parts(sums, rows)
    _labour(sums, figures[paper.RATE], rows)
    write_totals(sums, figures[paper.CONSUMABLES], figures[paper.TAX], str(book.report.job.get("currency") or ""))
    page.finish(squeeze=SQUEEZE)
    return {NAME: KIND}


def _parts(sums: parts.Sums, rows: Mapping[str, parts.Quoted]) -> None:
    page, report = sums.page, sums.page.book.report
    page.group("Parts")
    if paper.KIT in rows:
        sums.quoted_line("The kit", paper.kit_name(report.job), rows[paper.KIT], "the kit")
    for line in paper.bought(report):
        _used_line(sums, line, line.key, rows[line.key])
    for line, _ in paper.from_shelf(report):
        _used_line(sums, line, f"{paper.SHELF_KEY}{line.key}", rows[f"{paper.SHELF_KEY}{line.key}"])
    if parts.FREIGHT in rows and parts.number(rows[parts.FREIGHT].total.value):
        sums.quoted_line(parts.FREIGHT, "", rows[parts.FREIGHT], "freight")
    sums.subtotal("Parts, subtotal")
    work = paper.extra_work(report)
    if work:
        page.group("Machining and extra work")
        for line in work:
            sums.quoted_line(sentence(line.description or line.role), sentence(line.reason), rows[line.key], line.role)
        sums.subtotal("Machining and extra work, subtotal")


def _used_line(sums: parts.Sums, line: Line, key: str, quoted: parts.Quoted) -> None:
    """A part: as much as was used, at the quoted price of one, what is poured by the containers that were opened; where nothing is
    written, what the Quote sells, at its total. key: of the row of the Quote."""
    page, packed = sums.page, line.unit in POURED and bool(line.packs)
    size, plan = 1.0 if packed else quoted.size, parts.number(quoted.count.value)
    written = page.book.used.get(key, [])
    known = any(value is not None for _, value, _ in written)
    there = "+".join(f'COUNTIF({cell},">=0")' for cell, _, _ in written) or "0"
    used, value = _counted(written) if written else ("0", 0.0)
    each, price = quoted.each(packed)
    if packed:
        used, value = f"ROUNDUP(ROUND(({used})/{quoted.size:g},6),0)", float(ceil(round(value / quoted.size, 6)))
    total: parts.Value = cents(value * price) if isinstance(price, float) else ""
    if not known:
        value, total = plan * size, quoted.total.value
    many, rate = address(page.row, parts.QUANTITY), address(page.row, parts.PRICE)
    unit = "" if packed or line.unit in ("each", "") else f' "{line.unit}"'
    said = Cell(AS_USED if known else AS_QUOTED, ("cell", "small"), formula=f'=IF({there}>0,"{AS_USED}","{AS_QUOTED}")')
    sold = f'IF({there}>0,IF(ISNUMBER({rate}),ROUND({many}*{rate},2),""),{quoted.total.at})'
    cells = {
        parts.QUANTITY: Cell(
            value, parts.COUNT_LOOKS, f"=IF({there}>0,{used},N({quoted.count.at})*{size:g})", shown=f"0.###{unit}"
        ),
        parts.PRICE: Cell(price, ("cell", "money"), formula=f"={each}"),
        parts.TOTAL: Cell(total, ("cell", "money"), formula=f"={sold}"),
        parts.SHOP: said,
    }
    item, number = sentence(line.named[0]), line.named[1] if line.own.instead else ""
    by_pack = f"By the piece; quoted by the pack of {quantity(size, line.unit)}" if size != 1 else ""
    detail = line.container if packed else ", ".join(filter(None, (number, by_pack)))
    sums.add(key, item, detail, cells, item, address(page.row, parts.ITEM))


def _counted(written: Sequence[tuple[str, float | None, float]]) -> tuple[str, float]:
    """How much was used, as a formula and its value: where nothing is written of a line that shares packs with the first, as planned,
    unless more is written beside the first than that was to take."""
    first, took, plan = written[0]
    formula, value = f'IF(COUNTIF({first},">=0"),N({first}),{plan:g})', plan if took is None else took
    for cell, typed, share in written[1:]:
        formula += f'+IF(COUNTIF({cell},">=0"),N({cell}),IF(N({first})>{plan:g},0,{share:g}))'
        value += typed if typed is not None else 0.0 if took is not None and took > plan else share
    return formula, value


def _labour(sums: parts.Sums, rate: parts.Figure, rows: Mapping[str, parts.Quoted]) -> None:
    sums.page.group("Labour")
    for one in paper.operations(sums.page.book.report):
        key = paper.labour_key(one)
        hours = parts.number(rows[key].count.value)
        sums.labour_line(
            f"{BILL_PREFIX.removeprefix(paper.QUOTE_PREFIX)}{key}", one.name, one.covers, hours, 1, rate, HOURS
        )
    sums.subtotal("Labour, subtotal", rate, "the labour")
