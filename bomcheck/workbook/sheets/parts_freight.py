"""Below the parts to order: what their deliveries cost, live, by supplier."""

from collections.abc import Iterator, Mapping, Sequence

from bomcheck.job import Job, Terms
from bomcheck.parts.line import TO_ORDER, Line
from bomcheck.parts.names import same_name
from bomcheck.workbook.sheets.page import Cell, Page, Ref, address, text
from bomcheck.workbook.sheets.parts_columns import Col
from bomcheck.workbook.sheets.parts_figures import Figures

FREIGHT, TOP_UP = "freight of ", "top-up to the minimum order of "


def terms_in_use(job: Job, lines: Sequence[Line]) -> list[tuple[str, Terms]]:
    """(name as the lines have it, terms) of each supplier who asks for freight or a least order."""
    names = dict.fromkeys(line.supplier for line in lines if line.status == TO_ORDER and line.supplier)
    found = ((name, next((one for one in job.terms if same_name(one.supplier, name)), None)) for name in names)
    return [(name, terms) for name, terms in found if terms is not None and (terms.freight or terms.minimum)]


def write_freight(
    page: Page, lines: Sequence[Line], counted: Mapping[str, Figures], first: int
) -> list[tuple[int, float]]:
    """Adds the rows; (row, amount) of each. lines: those to order, in their rows from `first` on."""
    return [
        row
        for name, terms in terms_in_use(page.book.report.job, lines)
        for row in _rows(page, name, terms, [(line, counted[line.key]) for line in lines], first)
    ]


def _rows(
    page: Page, name: str, terms: Terms, lines: Sequence[tuple[Line, Figures]], first: int
) -> Iterator[tuple[int, float]]:
    mine = [count for line, count in lines if line.supplier == name]
    last = first + len(lines) - 1
    his = f'({_area(Col.SUPPLIER, first, last)}="{name.replace(chr(34), chr(34) * 2)}")*1'
    ordered = f"SUMPRODUCT({his},{_area(Col.ORDER, first, last)})>0"
    some = any(count.to_order > 0 for count in mine)
    if terms.freight:
        amount = terms.freight if some else 0.0
        yield _row(page, f"{FREIGHT}{name}", f"=IF({ordered},{terms.freight:g},0)", amount, ""), amount
    if terms.minimum:
        goods = round(sum(count.total or 0.0 for count in mine), 2)
        amount = round(max(0.0, terms.minimum - goods), 2) if some else 0.0
        least = f"MAX(0,ROUND({terms.minimum:g}-SUMPRODUCT({his},{_area(Col.TOTAL, first, last)}),2))"
        note = f"An order below {terms.minimum:,.2f} is charged at {terms.minimum:,.2f}"
        yield _row(page, f"{TOP_UP}{name}", f"=IF({ordered},{least},0)", amount, note), amount


def _area(column: Col, first: int, last: int) -> str:
    return f"{address(first, column)}:{address(last, column)}"


def _row(page: Page, title: str, formula: str, amount: float, note: str) -> int:
    key = title
    row = page.line(
        {
            int(Col.PART): text(title[:1].upper() + title[1:], "bold"),
            int(Col.TOTAL): Cell(amount, ("cell", "money"), formula=formula),
            int(Col.NOTE): text(note, "small"),
        }
    )
    at = f"'{page.name}'!{address(row, Col.TOTAL)}"
    page.book.refs[key] = Ref(at, amount, at, amount, "#,##0.00", "")
    return row
