"""Every workbook that the project writes: valid, opened by LibreOffice, and worked out there to what is stored in it.

Outside judges: openxml-audit, a validator of ISO/IEC 29500, and LibreOffice Calc.
"""

from collections import Counter
from pathlib import Path

import pytest
from openxml_audit import OpenXmlValidator

from tests.workbook.every_workbook import DEMOS, TEMPLATES, WORKBOOKS, file_name
from tests.workbook.plain_cells import Plain, plain_cells
from tests.workbook.wrong_value import RIGHT

NAMES = list(WORKBOOKS)
UNKNOWN = {("orders in prepared rows", "Orders", column) for column in "FG"} | {
    (f"orders in a shop's {kind}", "Sums", "A") for kind in ("sheet", "table")
}
"""Formulas of the shop's own that lines were put under: nobody tells the program what they come to now, so they stand there
without a value, and the reader works them out."""

LIVE = [name for name in NAMES if "result" in name or name == "received"]
"""Those with sheets of ours that reckon."""


FOUND: dict[bytes, list[str]] = {}
"""Errors of a workbook, by its bytes: a second result is the first once more."""

MONEY = ("Quote", "Parts list")


def same(stored: Plain, found: Plain | None, rel: float) -> bool:
    """Whether two cells say the same: texts letter for letter, numbers within rounding, an empty text like nothing."""
    if found is None:
        return stored.value == ""
    if stored.kind == found.kind == "number":
        return found.value == pytest.approx(stored.value, rel=rel, abs=1e-9)
    return (stored.kind, stored.value) == (found.kind, found.value)


def test_nothing_is_left_out() -> None:
    """Four templates and at least seven demos were found; for each demo there are a result, a second one and an order."""
    assert len(TEMPLATES) == 4
    assert len(DEMOS) >= 7
    for demo in DEMOS:
        assert {f"demo {demo.stem}", f"result of {demo.stem}", f"order of {demo.stem}"} <= WORKBOOKS.keys()


@pytest.mark.parametrize("name", NAMES)
def test_valid(name: str, as_written: Path) -> None:
    """openxml-audit, an ISO/IEC 29500 validator, finds no error."""
    path = as_written / file_name(name)
    content = path.read_bytes()
    if content not in FOUND:
        FOUND[content] = [f"{one.part_uri}: {one.description}" for one in OpenXmlValidator().validate(str(path)).errors]
    assert FOUND[content] == []


def test_libreoffice_works_out_anew(worked_out: Path) -> None:
    """It is made to: wrong values stored beside formulas are not believed. Else the next tests could not fail."""
    cells = plain_cells(worked_out / file_name("wrong value"))["Wrong"]
    assert {f"{column}{row}": cell.value for (row, column), cell in cells.items() if cell.formula} == {
        at: value for at, (_, value) in RIGHT.items()
    }


@pytest.mark.parametrize("name", NAMES)
def test_libreoffice_shows_what_is_stored(name: str, as_written: Path, worked_out: Path) -> None:
    """Same sheets in the same order, and cell by cell the same text or number, formulas worked out anew."""
    ours, theirs = (plain_cells(folder / file_name(name)) for folder in (as_written, worked_out))
    assert list(theirs) == list(ours)
    other, formulas = [], Counter[str]()
    for sheet, cells in ours.items():
        for (row, column), stored in cells.items():
            formulas[sheet] += stored.formula is not None
            found = theirs[sheet].get((row, column))
            if (name, sheet, column) in UNKNOWN and stored.value == "" and found is not None and found.kind == "number":
                continue
            if not same(stored, found, 0.0 if sheet in MONEY else 1e-6):
                other.append(f"{sheet}!{column}{row}: {stored}, in LibreOffice {found}")
        other += [f"{sheet}!{column}{row}: only in LibreOffice" for row, column in theirs[sheet].keys() - cells.keys()]
    assert other == []
    assert name not in LIVE or (formulas.total() > 40 and sum(formulas[sheet] for sheet in MONEY) > 15)
