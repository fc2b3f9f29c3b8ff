"""Freight and minimum orders in each demo's result, after quantities were changed: LibreOffice against a sum by hand."""

from decimal import Decimal
from pathlib import Path

import pytest

from tests.workbook.every_workbook import DEMOS, file_name
from tests.workbook.named_rows import Row, named_rows
from tests.workbook.plain_cells import Sheet, plain_cells

NAMES = [demo.stem for demo in DEMOS]
NOTHING = Decimal(0)


def terms(sheet: Sheet) -> dict[str, tuple[Decimal, Decimal]]:
    """Freight and minimum order by supplier, as typed below the headings of the sheet Supplier terms."""
    columns = {str(cell.value): column for (row, column), cell in sheet.items() if row == 2}
    figures = {place: Decimal(str(cell.value)) for place, cell in sheet.items() if cell.kind == "number"}
    return {
        str(cell.value): (
            figures.get((row, columns["Freight"]), NOTHING),
            figures.get((row, columns["Minimum order"]), NOTHING),
        )
        for (row, column), cell in sheet.items()
        if row > 2 and column == columns["Supplier"]
    }


def charges(rows: list[Row], known: dict[str, tuple[Decimal, Decimal]]) -> dict[str, Decimal]:
    """What each supplier of whom something is still bought charges beside the parts, by the words of the row."""
    found = {}
    for supplier, (freight, least) in known.items():
        bought = [row for row in rows if row.group.startswith("To order") and row.text("Supplier") == supplier]
        used = any(row.amount("To order") for row in bought)
        parts = sum((row.amount("Total") for row in bought), NOTHING)
        found[f"Freight of {supplier}"] = freight if used else NOTHING
        found[f"Top-up to the minimum order of {supplier}"] = max(NOTHING, least - parts) if used else NOTHING
    return found


@pytest.mark.parametrize("demo", NAMES)
def test_freight_and_minimum(demo: str, as_written: Path, worked_out: Path) -> None:
    """Each row of the Parts list that charges them is right, and none that charges something is missing."""
    known = terms(plain_cells(as_written / file_name(f"result of {demo}"))["Supplier terms"])
    rows = named_rows(plain_cells(worked_out / file_name(f"changed {demo}"))["Parts list"])
    wanted = charges(rows, known)
    shown = {row.name: row.amount("Total") for row in rows if row.name.startswith(("Freight of", "Top-up to"))}
    assert {name: amount for name, amount in wanted.items() if amount or name in shown} == shown


def test_some_demo_pays_freight(worked_out: Path) -> None:
    """So that the test above has something to look at."""
    sheets = [plain_cells(worked_out / file_name(f"changed {demo}"))["Parts list"] for demo in NAMES]
    assert any(row.name.startswith("Freight of") and row.amount("Total") for one in sheets for row in named_rows(one))
