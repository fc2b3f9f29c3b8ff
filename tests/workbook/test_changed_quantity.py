"""Other quantities, prices, hours and rates in each demo's result: LibreOffice comes to what is reckoned here by hand.

Two judges: LibreOffice works the formulas out, and this file works with the cells that hold no formula, in decimals.
"""

from decimal import ROUND_CEILING, Decimal
from pathlib import Path

import pytest

from tests.workbook.changed_quantity import FIGURES, PAID
from tests.workbook.every_workbook import DEMOS, file_name
from tests.workbook.named_rows import Row, cents, named_rows
from tests.workbook.plain_cells import plain_cells

HELD = ("In kit", "On car", "On shelf", "On hand, yours")
NAMES = [demo.stem for demo in DEMOS]


def rows_of(folder: Path, name: str, sheet: str) -> list[Row]:
    return named_rows(plain_cells(folder / file_name(name))[sheet])


def lines(rows: list[Row]) -> list[Row]:
    """Those of the Parts list that stand for a part or a work."""
    return [row for row in rows if row.text("Line") and row.figure("Needed") is not None]


def paid(rows: list[Row], title: str | tuple[str, ...] = PAID) -> list[Row]:
    """Those of them that cost money."""
    return [row for row in lines(rows) if row.group.startswith(title)]


def close(figure: Decimal | None, wanted: Decimal) -> bool:
    """Within half a cent, which is less than any step of a price or a pack."""
    return figure is not None and abs(figure - wanted) < Decimal("0.005")


def price_of(row: Row) -> Decimal | None:
    own = row.figure("Price, yours")
    return row.figure("Price of a pack") if own is None else own


def wrong_figures(row: Row) -> list[str]:
    """What of a line is not what its own figures come to; packs that serve several lines are taken as they are."""
    wrong = []
    lacking = max(Decimal(0), row.amount("Needed") - sum(row.amount(one) for one in HELD))
    order, packs = row.amount("To order"), row.figure("Packs")
    if row.alone("To order") and not close(order, lacking):
        wrong.append(f"to order {order}, not {lacking}")
    if packs is not None and row.alone("Packs"):
        whole = (order / row.amount("Pack of")).to_integral_value(ROUND_CEILING)
        wrong += [] if close(packs, whole) else [f"packs {packs}, not {whole}"]
    return wrong + wrong_total(row, order if packs is None else packs)


def wrong_total(row: Row, times: Decimal) -> list[str]:
    """What of its total is not price by packs; a line that costs nothing has none."""
    price = price_of(row) if paid([row]) else None
    if price is None:
        return [] if row.text("Total") == "" else ["a total without a price"]
    wanted = cents(times * price)
    return [] if close(row.figure("Total"), wanted) else [f"total {row.text('Total')}, not {wanted}"]


@pytest.mark.parametrize("demo", NAMES)
def test_each_line_of_the_parts_list(demo: str, as_written: Path, worked_out: Path) -> None:
    """To order, packs, total and status of every line follow from the line's own figures."""
    before = {row.text("Line"): row for row in lines(rows_of(as_written, f"result of {demo}", "Parts list"))}
    found = lines(rows_of(worked_out, f"changed {demo}", "Parts list"))
    assert {row.text("Line") for row in found} == before.keys()
    assert {f"row {row.number}": wrong for row in found if (wrong := wrong_figures(row))} == {}
    for row in paid(found):
        covered = row.amount("To order") == 0 and not row.group.startswith("Work")
        assert row.text("Status") == ("on hand" if covered else before[row.text("Line")].text("Status"))
    assert 2 * len([row for row in found if row.alone("To order")]) > len(found)
    assert {
        row.number for row in found if row.amount("Needed") and not changed_from(before[row.text("Line")], row)
    } == set()


def changed_from(old: Row, new: Row) -> bool:
    """Whether another quantity was typed in a line."""
    return any(old.amount(heading) != new.amount(heading) for heading in ("Needed", "On hand, yours"))


@pytest.mark.parametrize("demo", NAMES)
def test_sums_of_the_parts_list(demo: str, worked_out: Path) -> None:
    """Each subtotal is the sum of its group's lines, and the total that of all that stands between them and it."""
    rows = rows_of(worked_out, f"changed {demo}", "Parts list")
    loose = [row for row in rows if not row.text("Line") and row.text("Total")]
    subtotals = [row for row in loose if row.name.endswith(", subtotal")]
    titles = [title for title in PAID if paid(rows, title)]
    for title, row in zip(titles, subtotals, strict=True):
        wanted = sum((one.amount("Total") for one in paid(rows, title)), Decimal(0))
        assert close(row.figure("Total"), wanted), row.name
    if not loose:
        assert not titles
        return
    end = next(row for row in loose if row.name.startswith("Total without tax"))
    assert close(end.figure("Total"), sum(row.amount("Total") for row in loose if row.number < end.number))


def quote_blocks(rows: list[Row]) -> list[tuple[Row, list[Row]]]:
    """(subtotal, the rows with a total that it sums); one without a price makes it "Parts, subtotal (at least)"."""
    blocks: list[tuple[Row, list[Row]]] = []
    part: list[Row] = []
    for row in rows:
        if ", subtotal" in row.name:
            blocks.append((row, part))
            part = []
        elif row.group and "Total" in row.cells:
            part.append(row)
    return blocks


@pytest.mark.parametrize("demo", NAMES)
def test_the_quote(demo: str, worked_out: Path) -> None:
    """Parts as in the Parts list with 12.5 % on them, work without, hours by rate, subtotals, consumables, tax and total."""
    rows = rows_of(worked_out, f"changed {demo}", "Quote")
    quoted = [(row.name, cents(row.amount("Total"))) for row in rows]
    for line in paid(rows_of(worked_out, f"changed {demo}", "Parts list")):
        raised = Decimal("1") if line.group.startswith("Work") else Decimal("1.125")
        assert (line.name, cents(line.amount("Total") * raised)) in quoted
    assert close(_keyed(rows, "quote kit").figure("Total"), Decimal("1234.5"))
    for row in (row for row in rows if row.text("Line").startswith("quote labour")):
        assert close(
            row.figure("Quantity"), row.amount("Counts") * (2 if "x 2" in row.text("For the shop, not printed") else 1)
        )
        assert close(row.figure("Total"), cents(row.amount("Quantity") * Decimal("71.3")))
    blocks = quote_blocks(rows)
    for subtotal, block in blocks:
        assert close(subtotal.figure("Total"), sum(row.amount("Total") for row in block)), subtotal.name
    assert [row.name for row, _ in blocks][-1] == "Labour, subtotal"


@pytest.mark.parametrize("demo", NAMES)
def test_the_quote_s_total(demo: str, as_written: Path, worked_out: Path) -> None:
    """Subtotals, 4.5 % consumables on them, tax where the job states it, and the whole; it is no longer what it was."""
    rows = rows_of(worked_out, f"changed {demo}", "Quote")
    subtotals = sum(row.amount("Total") for row, _ in quote_blocks(rows))
    consumables = _item(rows, "Consumables").figure("Total")
    assert close(consumables, cents(subtotals * Decimal("4.5") / 100))
    net = subtotals + (consumables or Decimal(0))
    assert close(_item(rows, "Total without tax").figure("Total"), net)
    percent = _keyed(rows, "quote tax").figure("Counts")
    assert (percent is None) == (_item(rows, "Tax").name == "Tax: not stated")
    if percent is not None:
        assert close(_item(rows, "Tax").figure("Total"), cents(net * percent / 100))
        assert close(_item(rows, "Total with tax").figure("Total"), net + cents(net * percent / 100))
    before = _item(rows_of(as_written, f"result of {demo}", "Quote"), "Total without tax")
    assert before.amount("Total") < net


def test_every_figure_is_typed(as_written: Path) -> None:
    """Each demo has the rows in which figures are typed."""
    for demo in NAMES:
        rows = rows_of(as_written, f"changed {demo}", "Quote")
        assert {key: float(_keyed(rows, key).amount("Yours")) for key in FIGURES} == FIGURES


def _item(rows: list[Row], words: str) -> Row:
    return next(row for row in rows if row.name.startswith(words))


def _keyed(rows: list[Row], key: str) -> Row:
    return next(row for row in rows if row.text("Line") == key)
