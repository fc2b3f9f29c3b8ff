"""The Parts list: what is needed, what is there, what to order, with live formulas and columns for the user."""

from collections.abc import Mapping
from typing import Any

from bomcheck.io import layout as palette
from bomcheck.io.cells import Cell as ReadCell
from bomcheck.io.layout import counts_as, is_usable
from bomcheck.io.read.own import KEY_HEADING, NUMBERS, OTHER_SHEETS
from bomcheck.io.sheets.page import HEADING_ROW, Book, Cell, Page, Ref, text
from bomcheck.io.sheets.parts_freight import PARTS, Figures, all_figures, write_freight
from bomcheck.io.sheets.words import sentence
from bomcheck.model.line import (
    ASK,
    HERE,
    IN_KIT,
    NO_SOURCE,
    ON_CAR,
    ON_SHELF,
    PARTLY,
    SURPLUS,
    TO_ORDER,
    WORK,
    Line,
    amount,
)
from bomcheck.model.records import dataclass
from bomcheck.paper.parts_columns import TYPED
from bomcheck.supply.balance import together
from bomcheck.supply.buying_words import buying_words
from bomcheck.tables.fields import plain

NAME, KIND = "Parts list", "parts"
GROUPS = (
    (TO_ORDER, "To order"), (NO_SOURCE, "Needed, but no source is known: find one"),
    (ASK, "To ask first, before anything is ordered"), (WORK, "Work"), (IN_KIT, "In the kit"),
    (ON_CAR, "Nothing to buy: on the car, or comes fitted"), (ON_SHELF, "On the shelf"), (SURPLUS, "Left over in the kit"),
)  # fmt: skip
SUBTOTALS = ((TO_ORDER, "Parts to order"), (NO_SOURCE, "Parts without a source, at prices of your own"), (WORK, "Work"))
OPEN = (TO_ORDER, NO_SOURCE, ASK)
COVERED = "on hand"
TOTAL_TITLE, AT_LEAST = "Total without tax", " (at least: not everything has a price)"
FIRST_ROW = HEADING_ROW + 2  # of the lines to order, which come first, below the heading of their group


def write_parts_list(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.SKY, PARTS.widths, printed=PARTS.printed)
    page.head(NAME, _subtitle(book), PARTS.headings, PARTS.figures)
    totals: dict[str, _Group] = {}
    counted = all_figures(book.report.parts)
    for status, title in GROUPS:
        lines = together([line for line in book.report.parts if (line.listed_as or line.status) == status])
        if lines:
            page.group(f"{title} ({_count(status, lines, counted)})")
            totals[status] = _write_group(page, lines, counted)
    _write_orphans(page)
    last = page.row - 1
    _write_extra(page)
    if not book.report.parts:
        page.line([text("No parts: nothing is known yet of what this corner needs")])
    page.sheet.autofilter(HEADING_ROW, 0, max(last, HEADING_ROW), PARTS["used_at"])
    _write_total(page, totals, counted)
    _write_purchase(page)
    page.finish()


def extra_columns(cells: Mapping[str, ReadCell]) -> dict[str, dict[str, str | float]]:
    """What stands in columns that the shop added, by heading and line; formulas as what they came to."""
    heads = {c.column: c.text for c in cells.values() if c.row == HEADING_ROW + 1 and c.text.strip()}
    ours = {plain(words) for words in PARTS.headings}
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
    for column, (heading, values) in enumerate(page.book.extra.items(), start=len(PARTS.columns)):
        page.sheet.set_column(column, column, 16)
        page.put(column, Cell(heading, ("heading",)), row=HEADING_ROW)
        for key in [key for key in values if key not in keys]:
            keys[key] = page.line(PARTS.row(description=text(sentence(key.replace(" | ", ", ")), "quiet"), key=key))
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

    def area(self, column: str) -> str:
        return f"{PARTS.at(column, self.first)}:{PARTS.at(column, self.last)}"


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
        f"'{NAME}'!{PARTS.at(column, row)}" for column in ("line_total", "to_order", "packs", "received")
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
        typed = {name: _typed(kept, name, "#,##0.00" if name == "own_price" else "") for name in TYPED}
        row = page.line(
            PARTS.row(
                description=text(sentence(key.replace(" | ", ", ").replace(" @ ", ", ")), "quiet"),
                status=text("not needed", "quiet"),
                **typed,
                key=key,
            )
        )
        page.book.rows[row] = key


def _line_cells(page: Page, line: Line, counted: Figures, rows: Mapping[str, int]) -> dict[int, Cell]:
    kept, row = page.book.kept.get(line.key, {}), page.row
    cells: dict[str, Cell | str | float | None] = {name: _typed(kept, name) for name in TYPED}
    cells |= {
        "description": _part_cell(line),
        "status": _status_cell(line, counted, row),
        "side": "" if line.side == "either" else line.side,
        **_amounts(line, counted, rows),
        **_money(line, counted, kept, rows),
        "part_number": line.part_number,
        "supplier": "" if line.own.supplier else line.supplier,
        "lead_days": Cell(line.lead_days, ("cell", "right"), shown="0"),
        "used_at": _where_cell(line),
        "note": sentence(line.note),
        "key": line.key,
    }
    return PARTS.row(**cells)


def _part_cell(line: Line) -> Cell:
    name = sentence(line.description or line.role)
    below = ((line.spec, ("quiet", "plain")), (sentence(line.note), ("small", "plain")))
    return Cell(name, ("cell", "bold"), more=tuple(one for one in below if one[0]))


def _status_cell(line: Line, counted: Figures, row: int) -> Cell:
    """The status; a line that was short is covered as soon as the user has enough on hand, and here once it was received."""
    look, received = f"status {line.status}", PARTS.at("received", row)
    if line.status == IN_KIT and line.in_kit:
        formula = _here(received, PARTS.at("in_kit", row), f'"{line.status}"')
        return Cell(line.here or line.status, (look, "top"), formula=formula)
    listed = line.listed_as or line.status
    if listed not in OPEN or not (line.needed or line.rest_of):
        return Cell(line.status, (look, "top"))
    short = counted.to_order > 0
    order = PARTS.at("to_order", row)
    rest = f'IF({order}>0,"{listed}","{COVERED}")'
    words, look = (listed, f"status {listed}") if short else (COVERED, "status in kit")
    if counted.packs is None or line.out_of:
        return Cell(words, (look, "top"), formula=f"={rest}")
    total = f"{PARTS.at('in_kit', row)}+{PARTS.at('packs', row)}*{PARTS.at('pack_size', row)}"
    if line.here:
        words, look = line.here, "status in kit" if line.here == HERE else look
    return Cell(words, (look, "top"), formula=_here(received, total, rest))


def _here(received: str, total: str, otherwise: str) -> str:
    """Formula: here, or partly so, once something was received."""
    there = counts_as(received)
    return f'=IF({there}=0,{otherwise},IF({there}>={total}-0.000001,"{HERE}","{PARTLY}"))'


def _amounts(line: Line, counted: Figures, rows: Mapping[str, int]) -> dict[str, Cell]:
    row, shown = rows[line.key], amount_format(line.unit)
    held = "".join(f"-{PARTS.at(column, row)}" for column in ("in_kit", "on_car", "on_shelf"))
    order = f"=MAX(0,ROUND({PARTS.at('needed', row)}{held}-{counts_as(PARTS.at('on_hand', row))},6))"
    if line.rest_of:
        before = [PARTS.at(column, rows[line.rest_of]) for column in ("to_order", "packs", "pack_size")]
        order = "=MAX(0,ROUND({}-{}*{},6))".format(*before)
    needed = {"needed": line.needed, "in_kit": line.in_kit, "on_car": line.on_car, "on_shelf": line.on_shelf}
    cells = {column: Cell(value, ("cell", "right"), shown=shown) for column, value in needed.items()}
    cells["to_order"] = Cell(counted.to_order, ("cell", "bold", "right"), formula=order, shown=shown)
    return cells


def _money(line: Line, counted: Figures, kept: Mapping[str, Any], rows: Mapping[str, int]) -> dict[str, Cell]:
    """Packs, prices and the total; a price of the user's own rules where it is for what the line is priced per."""
    order, pack, packs, price, own, per = (
        PARTS.at(column, rows[line.key])
        for column in ("to_order", "pack_size", "packs", "list_price", "own_price", "own_price_per")
    )
    stated = kept.get("own_price_per") or (
        "" if line.own.price is not None and line.price_per != "each" else line.price_per
    )
    cells = {
        "list_price": Cell(line.list_price, ("cell", "money")),
        "own_price": _typed(kept, "own_price", "#,##0.00"),
        "own_price_per": Cell(str(stated) if counted.paid or kept.get("own_price_per") else None, ("input",)),
        "line_total": Cell(None, ("cell", "money")),
    }
    if counted.packs is not None:
        formula = _packs_formula(line, order, pack, rows)
        cells["pack_size"] = Cell(line.pack_size, ("cell", "right"), shown=amount_format(line.unit))
        cells["packs"] = Cell(counted.packs, ("cell", "right", "bold"), formula=formula, shown="0")
    if counted.paid:
        times = order if counted.packs is None else packs
        rules = (
            f'AND({is_usable(own)},SUBSTITUTE(SUBSTITUTE({per},"per ","")," ","")="{line.price_per.replace(" ", "")}")'
        )
        total = f"ROUND({times}*IF({rules},{own},{price}),2)"
        formula = f'=IF(AND(NOT(ISNUMBER({price})),NOT({rules})),"",{total})'
        cells["line_total"] = Cell("" if counted.total is None else counted.total, ("cell", "money"), formula=formula)
    return cells


def _packs_formula(line: Line, order: str, pack: str, rows: Mapping[str, int]) -> str:
    """Whole packs for this line and those that take from them; 0 where another line holds them."""
    if line.out_of:
        return "=0"
    together = "+".join([order, *(PARTS.at("to_order", rows[key]) for key in line.also_for)])
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
    pieces = [sentence(line.reason), sentence(line.used_at), line.per, "used once only" if line.one_time else ""]
    return text("; ".join(piece for piece in pieces if piece), "small")


def _write_purchase(page: Page) -> None:
    """What the purchase costs, and what another one would."""
    report = page.book.report
    words = list(buying_words(report.buying, str(report.job.get("currency") or "")))
    if not words:
        return
    page.row += 1
    page.group("Purchase, as the lists stood when this was checked")
    for sentence_ in words:
        page.across(f"{sentence_}.", "cell", last=PARTS.printed - 1)


def _write_total(page: Page, totals: Mapping[str, _Group], counted: Mapping[str, Figures]) -> None:
    """Subtotals of what is ordered, its freight and the work, and the total of all."""
    paid = [(title, totals[status]) for status, title in SUBTOTALS if status in totals]
    if not paid:
        return
    page.row += 1
    rows = [
        _total_line(page, f"{title}, subtotal", f"=SUM({group.area('line_total')})", group.total)
        for title, group in paid
    ]
    freight = _freight(page, counted)
    cells = "+".join(PARTS.at("line_total", row) for row in [*rows, *(row for row, _ in freight)])
    _note_purchase(page, totals, rows, freight)
    unpriced = any(group.unpriced for _, group in paid)
    areas = [(group.area("to_order"), group.area("line_total")) for _, group in paid]
    open_lines = "+".join(f'SUMPRODUCT(({order}>0)*({price}=""))' for order, price in areas)
    title = f'="{TOTAL_TITLE}"&IF({open_lines}>0,"{AT_LEAST}","")'
    total = round(sum(group.total for _, group in paid) + sum(amount for _, amount in freight), 2)
    _total_line(page, f"{TOTAL_TITLE}{AT_LEAST if unpriced else ''}", f"={cells}", total, title)


def _note_purchase(page: Page, totals: Mapping[str, _Group], rows: list[int], freight: list[tuple[int, float]]) -> None:
    """Parts and freight without work, for the first page. rows: of the subtotals."""
    paid = [totals[status] for status, _ in SUBTOTALS if status in totals]
    bought = [(row, group.total) for row, group in zip(rows, paid, strict=True) if group is not totals.get(WORK)]
    cells = "+".join(f"'{NAME}'!{PARTS.at('line_total', row)}" for row, _ in (*bought, *freight))
    if cells:
        total = round(sum(one for _, one in (*bought, *freight)), 2)
        page.book.refs["purchase"] = Ref(cells, total, cells, total, "#,##0.00", "")


def _freight(page: Page, counted: Mapping[str, Figures]) -> list[tuple[int, float]]:
    lines = [line for line in page.book.report.parts if line.status == TO_ORDER]
    return write_freight(page, together(lines), counted, FIRST_ROW) if lines else []


def _total_line(page: Page, title: str, formula: str, value: float, title_formula: str = "") -> int:
    cells = {column: Cell(None, ("total",)) for column in range(PARTS["key"])}
    cells[PARTS["description"]] = Cell(title, ("total",), formula=title_formula)
    cells[PARTS["line_total"]] = Cell(value, ("total", "money"), formula=formula)
    return page.line(cells, least=20)
