"""The Parts list: what is needed, what is there, what to order, with live formulas and columns for the user."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bomcheck.io import layout as palette
from bomcheck.io.cells import Cell as ReadCell
from bomcheck.io.layout import counts_as, is_usable
from bomcheck.io.read.own import KEY_HEADING, NUMBERS, OTHER_SHEETS
from bomcheck.io.sheets.page import HEADING_ROW, Book, Cell, Page, Ref, address, text
from bomcheck.io.sheets.parts_freight import (
    FIGURES,
    HEADINGS,
    LAST_PRINTED,
    WIDTHS,
    Col,
    Figures,
    all_figures,
    write_freight,
)
from bomcheck.io.sheets.words import sentence
from bomcheck.model.line import ASK, IN_KIT, NO_SOURCE, ON_CAR, ON_SHELF, SURPLUS, TO_ORDER, WORK, Line, amount
from bomcheck.paper.awaited import HERE, PARTLY
from bomcheck.supply.balance import together
from bomcheck.supply.buying_words import buying_words
from bomcheck.tables.fields import plain

NAME, KIND = "Parts list", "parts"
GROUPS = (
    (TO_ORDER, "To order"),
    (NO_SOURCE, "Needed, but no source is known: find one"),
    (ASK, "To ask first, before anything is ordered"),
    (WORK, "Work"),
    (IN_KIT, "In the kit"),
    (ON_CAR, "On the car, stays or goes back on"),
    (ON_SHELF, "On the shelf"),
    (SURPLUS, "Left over in the kit"),
)
SUBTOTALS = ((TO_ORDER, "Parts to order"), (NO_SOURCE, "Parts without a source, at prices of your own"), (WORK, "Work"))
OPEN = (TO_ORDER, NO_SOURCE, ASK)
COVERED = "on hand"
TOTAL_TITLE, AT_LEAST = "Total without tax", " (at least: not everything has a price)"
FIRST_ROW = HEADING_ROW + 2  # of the lines to order, which come first, below the heading of their group


def write_parts_list(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.SKY, WIDTHS)
    page.head(NAME, _subtitle(book), [words for words, _ in HEADINGS.values()], FIGURES)
    totals: dict[str, _Group] = {}
    counted = all_figures(book.report.parts, book.kept)
    for status, title in GROUPS:
        lines = together([line for line in book.report.parts if line.status == status])
        if lines:
            page.group(f"{title} ({_count(status, lines, counted)})")
            totals[status] = _write_group(page, lines, counted)
    _write_orphans(page)
    last = page.row - 1
    _write_extra(page)
    if not book.report.parts:
        page.line([text("No parts: nothing is known yet of what this corner needs")])
    page.sheet.autofilter(HEADING_ROW, 0, max(last, HEADING_ROW), Col.WHERE)
    _write_total(page, totals, counted)
    _write_purchase(page)
    page.finish(columns=LAST_PRINTED + 1)


def extra_columns(cells: Mapping[str, ReadCell]) -> dict[str, dict[str, str | float]]:
    """What stands in columns that the shop added, by heading and line; formulas as what they came to."""
    heads = {c.column: c.text for c in cells.values() if c.row == HEADING_ROW + 1 and c.text.strip()}
    ours = {plain(words) for words, _ in HEADINGS.values()}
    keys = next((column for column, words in heads.items() if plain(words) == plain(KEY_HEADING)), 0)
    lines = {c.row: c.text for c in cells.values() if c.column == keys and c.row > HEADING_ROW + 1}
    added: dict[str, dict[str, str | float]] = {words: {} for words in heads.values() if plain(words) not in ours}
    for cell in cells.values():
        words = heads.get(cell.column, "")
        if words in added and cell.row in lines and cell.value is not None:
            number = cell.kind == "number" and isinstance(cell.value, int | float)
            added[words][lines[cell.row]] = float(cell.value) if number else cell.text
    return added


def _write_extra(page: Page) -> None:
    """The shop's own columns, behind ours; rows of lines that are gone stand below, with what was typed there."""
    keys = {key: row for row, key in page.book.rows.items()}
    for column, (heading, values) in enumerate(page.book.extra.items(), start=len(WIDTHS)):
        page.sheet.set_column(column, column, 16)
        page.put(column, Cell(heading, ("heading",)), row=HEADING_ROW)
        for key in [key for key in values if key not in keys]:
            keys[key] = page.line(
                {int(Col.PART): text(sentence(key.replace(" | ", ", ")), "quiet"), int(Col.KEY): Cell(key, ("key",))}
            )
        for key, row in keys.items():
            value = values.get(key)
            page.put(column, Cell(value, ("input figure",) if isinstance(value, float) else ("input",)), row=row)


def _subtitle(book: Book) -> str:
    currency = book.report.job.get("currency")
    prices = f"Prices in {currency}. " if currency else ""
    return f"{book.who}. {prices}Yellow columns are yours and are kept when the workbook is checked again; the rest is written anew."


def _count(status: str, lines: list[Line], counted: Mapping[str, Figures]) -> int:
    """How many lines; of those to be ordered the ones that the user does not have on hand."""
    if status not in (TO_ORDER, NO_SOURCE):
        return len(lines)
    return sum(counted[line.key].to_order > 0 for line in lines)


@dataclass(frozen=True, slots=True)
class _Group:
    """The rows of one status. total: their sum. unpriced: whether something to be ordered has no price."""

    first: int
    last: int
    total: float
    unpriced: bool

    def area(self, column: Col) -> str:
        return f"{address(self.first, column)}:{address(self.last, column)}"


def _write_group(page: Page, lines: list[Line], counted: Mapping[str, Figures]) -> _Group:
    """The lines of one status."""
    first, sums, unpriced = page.row, 0.0, False
    rows = {line.key: page.row + number for number, line in enumerate(lines)}
    for line in lines:
        count = counted[line.key]
        row = page.line(_line_cells(page, line, count, rows))
        page.book.rows[row] = line.key
        page.book.refs[line.key] = _ref(row, line, count)
        sums += count.total or 0.0
        unpriced = unpriced or (count.to_order > 0 and count.total is None)
    return _Group(first, page.row - 1, round(sums, 2), unpriced)


def _ref(row: int, line: Line, counted: Figures) -> Ref:
    """Where other sheets find the line's total, its packs or, where it has none, its quantity, and what was received."""
    total, order, packs, received = (
        f"'{NAME}'!{address(row, column)}" for column in (Col.TOTAL, Col.ORDER, Col.PACKS, Col.RECEIVED)
    )
    if counted.packs is None:
        return Ref(total, counted.total, order, counted.to_order, amount_format(line.unit), received)
    return Ref(total, counted.total, packs, counted.packs, "0", received)


def _write_orphans(page: Page) -> None:
    """Lines that are needed no longer, but in which the user typed something: nothing of it is lost."""
    known = {line.key for line in page.book.report.parts}
    orphans = [key for key in page.book.kept if key not in known and not key.startswith(OTHER_SHEETS)]
    if not orphans:
        return
    page.group(f"No longer on the list; what you typed there ({len(orphans)})")
    for key in orphans:
        kept = page.book.kept[key]
        cells = {
            Col.PART: text(sentence(key.replace(" | ", ", ")), "quiet"),
            Col.STATUS: text("not needed", "quiet"),
            Col.ON_HAND: _typed(kept, "on_hand"),
            Col.OWN_PRICE: _typed(kept, "own_price", "#,##0.00"),
            Col.OWN_SUPPLIER: _typed(kept, "own_supplier"),
            Col.RECEIVED: _typed(kept, "received"),
            Col.OWN_NOTE: _typed(kept, "own_note"),
            Col.KEY: Cell(key, ("key",)),
        }
        page.book.rows[page.line({int(column): cell for column, cell in cells.items()})] = key


def _line_cells(page: Page, line: Line, counted: Figures, rows: Mapping[str, int]) -> dict[int, Cell]:
    kept, row = page.book.kept.get(line.key, {}), page.row
    cells = {
        Col.PART: _part_cell(line),
        Col.STATUS: _status_cell(line, counted, row, kept),
        Col.SIDE: text("" if line.side == "either" else line.side),
        **_amounts(line, counted, kept, rows),
        **_money(line, counted, kept, rows),
        Col.NUMBER: text(line.part_number),
        Col.SUPPLIER: text(line.supplier),
        Col.OWN_SUPPLIER: _typed(kept, "own_supplier"),
        Col.DAYS: Cell(line.lead_days, ("cell", "right"), shown="0"),
        Col.RECEIVED: _typed(kept, "received"),
        Col.WHERE: _where_cell(line),
        Col.NOTE: text(sentence(line.note), "small"),
        Col.OWN_NOTE: _typed(kept, "own_note"),
        Col.KEY: Cell(line.key, ("key",)),
    }
    return {int(column): cell for column, cell in cells.items()}


def _part_cell(line: Line) -> Cell:
    name = sentence(line.description or line.role)
    below = ((line.spec, ("quiet", "plain")), (sentence(line.reason), ("small", "plain")))
    return Cell(name, ("cell", "bold"), more=tuple(one for one in below if one[0]))


def _status_cell(line: Line, counted: Figures, row: int, kept: Mapping[str, Any]) -> Cell:
    """The status; a line that was short is covered as soon as the user has enough on hand, and here once it was received."""
    look, received = f"status {line.status}", address(row, Col.RECEIVED)
    came, ordered = amount(kept, "received") or 0.0, (counted.packs or 0.0) * (line.pack_size or 1.0)
    if line.status == IN_KIT and line.in_kit:
        words = HERE if came >= line.in_kit else PARTLY if came else line.status
        formula = _here(received, address(row, Col.KIT), f'"{line.status}"')
        return Cell(words, (look, "top"), formula=formula)
    if line.status not in OPEN or not (line.needed or line.rest_of):
        return Cell(line.status, (look, "top"))
    short = counted.to_order > 0
    rest = f'IF({address(row, Col.ORDER)}>0,"{line.status}","{COVERED}")'
    words, look = (line.status, look) if short else (COVERED, "status in kit")
    if counted.packs is None or line.out_of:
        return Cell(words, (look, "top"), formula=f"={rest}")
    total = f"{address(row, Col.KIT)}+{address(row, Col.PACKS)}*{address(row, Col.PACK)}"
    if came:
        words = HERE if came >= line.in_kit + ordered - 1e-6 else PARTLY
        look = "status in kit" if words == HERE else look
    return Cell(words, (look, "top"), formula=_here(received, total, rest))


def _here(received: str, total: str, otherwise: str) -> str:
    """Formula: here, or partly so, once something was received."""
    there = counts_as(received)
    return f'=IF({there}=0,{otherwise},IF({there}>={total}-0.000001,"{HERE}","{PARTLY}"))'


def _amounts(line: Line, counted: Figures, kept: Mapping[str, Any], rows: Mapping[str, int]) -> dict[Col, Cell]:
    row, shown = rows[line.key], amount_format(line.unit)
    held = "".join(f"-{address(row, column)}" for column in (Col.KIT, Col.CAR, Col.SHELF))
    order = f"=MAX(0,ROUND({address(row, Col.NEEDED)}{held}-{counts_as(address(row, Col.ON_HAND))},6))"
    if line.rest_of:
        before = [address(rows[line.rest_of], column) for column in (Col.ORDER, Col.PACKS, Col.PACK)]
        order = "=MAX(0,ROUND({}-{}*{},6))".format(*before)
    needed = {Col.NEEDED: line.needed, Col.KIT: line.in_kit, Col.CAR: line.on_car, Col.SHELF: line.on_shelf}
    cells = {column: Cell(value, ("cell", "right"), shown=shown) for column, value in needed.items()}
    cells[Col.ON_HAND] = _typed(kept, "on_hand")
    cells[Col.ORDER] = Cell(counted.to_order, ("cell", "bold", "right"), formula=order, shown=shown)
    return cells


def _money(line: Line, counted: Figures, kept: Mapping[str, Any], rows: Mapping[str, int]) -> dict[Col, Cell]:
    """Packs, prices and the total; a price of the user's own rules."""
    columns = (Col.ORDER, Col.PACK, Col.PACKS, Col.PRICE, Col.OWN_PRICE)
    order, pack, packs, price, own = (address(rows[line.key], column) for column in columns)
    cells = {
        Col.PACK: Cell(None, ("cell", "right")),
        Col.PACKS: Cell(None, ("cell", "right")),
        Col.PRICE: Cell(line.unit_price, ("cell", "money")),
        Col.OWN_PRICE: _typed(kept, "own_price", "#,##0.00"),
        Col.TOTAL: Cell(None, ("cell", "money")),
    }
    if counted.packs is not None:
        formula = _packs_formula(line, order, pack, rows)
        cells[Col.PACK] = Cell(line.pack_size, ("cell", "right"), shown=amount_format(line.unit))
        cells[Col.PACKS] = Cell(counted.packs, ("cell", "right", "bold"), formula=formula, shown="0")
    if counted.paid:
        times = order if counted.packs is None else packs
        total = f"ROUND({times}*IF({is_usable(own)},{own},{price}),2)"
        formula = f'=IF(AND(NOT(ISNUMBER({price})),NOT({is_usable(own)})),"",{total})'
        cells[Col.TOTAL] = Cell("" if counted.total is None else counted.total, ("cell", "money"), formula=formula)
    return cells


def _packs_formula(line: Line, order: str, pack: str, rows: Mapping[str, int]) -> str:
    """Whole packs for this line and those that take from them; 0 where another line holds them."""
    if line.out_of:
        return "=0"
    together = "+".join([order, *(address(rows[key], Col.ORDER) for key in line.also_for)])
    packs = f"ROUNDUP(ROUND({f'({together})' if line.also_for else order}/{pack},6),0)"
    return f"={packs}" if line.at_most is None else f"=MIN({line.at_most:g},{packs})"


def amount_format(unit: str) -> str:
    """Pieces as whole numbers, other units with their name; nothing is shown for none."""
    return "0.###;-0.###;" if unit in ("each", "") else f'0.###" {unit}";-0.###" {unit}";'


def _typed(kept: Mapping[str, Any], key: str, shown: str = "") -> Cell:
    """An input cell with what was typed in it before."""
    value = kept.get(key)
    number = value if isinstance(value, int | float) else amount(kept, key) if key in NUMBERS else None
    if number is not None:
        return Cell(number, ("input figure",), shown=shown)
    return Cell(None if value is None else str(value), ("input",), shown="" if value is not None else shown)


def _where_cell(line: Line) -> Cell:
    pieces = [sentence(line.used_at), line.per, "used once only" if line.one_time else ""]
    return text("\n".join(piece for piece in pieces if piece), "small")


def _write_purchase(page: Page) -> None:
    """What the purchase costs, and what another one would."""
    report = page.book.report
    words = list(buying_words(report.buying, str(report.job.get("currency") or "")))
    if not words:
        return
    page.row += 1
    page.group("Purchase, as the lists stood when this was checked")
    for sentence_ in words:
        page.across(f"{sentence_}.", "cell", last=LAST_PRINTED)


def _write_total(page: Page, totals: Mapping[str, _Group], counted: Mapping[str, Figures]) -> None:
    """Subtotals of what is ordered, its freight and the work, and the total of all."""
    paid = [(title, totals[status]) for status, title in SUBTOTALS if status in totals]
    if not paid:
        return
    page.row += 1
    rows = [
        _total_line(page, f"{title}, subtotal", f"=SUM({group.area(Col.TOTAL)})", group.total) for title, group in paid
    ]
    freight = _freight(page, counted)
    cells = "+".join(address(row, Col.TOTAL) for row in [*rows, *(row for row, _ in freight)])
    unpriced = any(group.unpriced for _, group in paid)
    open_lines = "+".join(f'SUMPRODUCT(({group.area(Col.ORDER)}>0)*({group.area(Col.TOTAL)}=""))' for _, group in paid)
    title = f'="{TOTAL_TITLE}"&IF({open_lines}>0,"{AT_LEAST}","")'
    total = round(sum(group.total for _, group in paid) + sum(amount for _, amount in freight), 2)
    _total_line(page, f"{TOTAL_TITLE}{AT_LEAST if unpriced else ''}", f"={cells}", total, title)


def _freight(page: Page, counted: Mapping[str, Figures]) -> list[tuple[int, float]]:
    lines = [line for line in page.book.report.parts if line.status == TO_ORDER]
    return write_freight(page, together(lines), counted, FIRST_ROW) if lines else []


def _total_line(page: Page, title: str, formula: str, value: float, title_formula: str = "") -> int:
    cells = {column: Cell(None, ("total",)) for column in range(Col.WHERE + 1)}
    cells[Col.PART] = Cell(title, ("total",), formula=title_formula)
    cells[Col.TOTAL] = Cell(value, ("total", "money"), formula=formula)
    return page.line({int(column): cell for column, cell in cells.items()}, least=20)
