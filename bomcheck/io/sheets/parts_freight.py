"""The columns of the Parts list: heading, width, and where each stands."""

import re
from collections.abc import Iterator, Mapping, Sequence

from bomcheck.io.sheets.columns import Column, Table
from bomcheck.io.sheets.page import Cell, Page, Ref, text
from bomcheck.model.job import Job, Terms
from bomcheck.model.line import NO_SOURCE, TO_ORDER, WORK, Line, same_name
from bomcheck.model.records import dataclass
from bomcheck.paper.parts_columns import SHEET

PARTS = Table(
    tuple(
        Column(one.name, one.heading, one.width, one.kind, one.typed, printed=one.printed, order=one.order)
        for one in SHEET
    )
)
PAID = (TO_ORDER, NO_SOURCE, WORK)


@dataclass(frozen=True, slots=True)
class Figures:
    """to_order [unit of the line]. packs [-], None where it is not bought in known packs. total [currency], None without
    a price. paid: whether it has a total at all.
    """

    to_order: float
    packs: float | None
    total: float | None
    paid: bool


def all_figures(lines: Sequence[Line]) -> dict[str, Figures]:
    """By line."""
    return {line.key: _figures(line) for line in lines}


def _figures(line: Line) -> Figures:
    paid = (line.listed_as or line.status) in PAID
    return Figures(line.to_order, line.packs if line.in_packs else None, line.line_total if paid else None, paid)


FREIGHT, TOP_UP = "freight of ", "top-up to the minimum order of "
OTHERS = "other suppliers, freight and minimum orders"
FREIGHT_KEYS = (FREIGHT, TOP_UP, OTHERS)
OTHERS_NOTE = "Counts as soon as one of them is typed as the supplier of yours"
LONGEST = 7500  # characters; a formula holds 8192 at most


@dataclass(frozen=True, slots=True)
class Bought:
    """A line to order: its supplier, the shop's own choice first, and what it comes to."""

    supplier: str
    figures: Figures


def write_freight(
    page: Page, lines: Sequence[Line], counted: Mapping[str, Figures], first: int
) -> list[tuple[int, float]]:
    """Adds the rows; (row, amount) of each. lines: those to order, in their rows from `first` on."""
    book = page.book
    open_lines = [*lines, *(line for line in book.report.parts if line.status == NO_SOURCE)]
    bought = [Bought(line.own.supplier or line.supplier, counted[line.key]) for line in open_lines]
    used, others = sorted_terms(book.report.job, [one.supplier for one in bought])
    area = _Area(first, max(int(re.findall(r"\d+$", book.refs[line.key].total)[0]) - 1 for line in open_lines))
    rows = [row for terms in used for row in _rows(page, _listed(terms, lines), terms, bought, area)]
    return [*rows, *_others(page, others, area)]


def sorted_terms(job: Job, names: Sequence[str]) -> tuple[list[Terms], list[Terms]]:
    """Those who ask for freight or a least order: the named suppliers, and the others."""
    asking = [one for one in job.terms if one.freight or one.minimum]
    used = [one for one in asking if any(same_name(one.supplier, name) for name in names)]
    return used, [one for one in asking if one not in used]


def _listed(terms: Terms, lines: Sequence[Line]) -> str:
    """The supplier's name as the lines have it, or else as his terms do."""
    listed = (one.supplier for one in lines if not one.own.supplier)
    return next((name for name in listed if same_name(name, terms.supplier)), terms.supplier)


@dataclass(frozen=True, slots=True)
class _Area:
    """The rows of the lines, 0-based."""

    first: int
    last: int

    def __getitem__(self, column: str) -> str:
        return f"{PARTS.at(column, self.first)}:{PARTS.at(column, self.last)}"

    def his(self, name: str) -> str:
        """1 for each row of this supplier: no other is typed beside it, or he is; capitals and spaces do not count."""
        words = " ".join(one for one in name.split() if one.isprintable()).replace('"', '""')
        own, listed = f"TRIM({self['own_supplier']})", f"TRIM({self['supplier']})"
        return f'(({own}="")*({listed}="{words}")+({own}="{words}"))'

    def freight(self, name: str, terms: Terms) -> str:
        return f"IF(SUMPRODUCT({self.his(name)},{self['to_order']})>0,{terms.freight:g},0)"

    def top_up(self, name: str, terms: Terms) -> str:
        goods = f"SUMPRODUCT({self.his(name)},{self['line_total']})"
        ordered = f"SUMPRODUCT({self.his(name)},{self['to_order']})>0"
        return f"IF({ordered},MAX(0,ROUND({terms.minimum:g}-{goods},2)),0)"


def _rows(page: Page, name: str, terms: Terms, bought: Sequence[Bought], area: _Area) -> Iterator[tuple[int, float]]:
    """Freight and least order of one supplier."""
    mine = [one.figures for one in bought if same_name(one.supplier, name)]
    some = any(one.to_order > 0 for one in mine)
    if terms.freight:
        amount = terms.freight if some else 0.0
        yield _row(page, f"{FREIGHT}{name}", area.freight(name, terms), amount, ""), amount
    if terms.minimum:
        goods = round(sum(one.total or 0.0 for one in mine), 2)
        amount = round(max(0.0, terms.minimum - goods), 2) if some else 0.0
        note = f"An order below {terms.minimum:,.2f} is charged at {terms.minimum:,.2f}"
        yield _row(page, f"{TOP_UP}{name}", area.top_up(name, terms), amount, note), amount


def _others(page: Page, others: Sequence[Terms], area: _Area) -> Iterator[tuple[int, float]]:
    """One row for all from whom nothing is bought so far; those that no formula can hold follow at the next check."""
    pieces: list[str] = []
    late: list[str] = []
    for one in others:
        freight = [area.freight(one.supplier, one)] if one.freight else []
        least = [area.top_up(one.supplier, one)] if one.minimum else []
        more = [*pieces, *freight, *least]
        if len("+".join(more)) > LONGEST:
            late.append(one.supplier)
        else:
            pieces = more
    if pieces:
        note = f"{OTHERS_NOTE}{f', at the next check: {chr(44).join(late)}' if late else ''}"
        yield _row(page, OTHERS, "+".join(pieces), 0.0, note), 0.0


def _row(page: Page, title: str, formula: str, amount: float, note: str) -> int:
    row = page.line(
        {
            PARTS["description"]: text(title[:1].upper() + title[1:], "bold"),
            PARTS["line_total"]: Cell(amount, ("cell", "money"), formula=f"={formula}"),
            PARTS["note"]: text(note, "small"),
        }
    )
    at = f"'{page.name}'!{PARTS.at('line_total', row)}"
    page.book.refs[title] = Ref(at, amount, at, amount, "#,##0.00", "")
    return row
