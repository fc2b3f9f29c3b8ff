"""Formulas: LibreOffice works them out to the values that are stored, and to other values when a cell is changed."""

from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.cell.cell import Cell

from bomcheck.io.sheets.shims import NAME as SHIMS
from bomcheck.rules.axial import caliper_centred
from tests.workbook.sheets.conftest import Built, build
from tests.workbook.sheets.office import recalculated
from tests.workbook.sheets.sample_reports import VAN


def test_recalculated_equals_stored(built: Built, tmp_path: Path) -> None:
    """Every formula of every sheet gives in LibreOffice what is stored in its cell. The values stay stored: the sample's own
    workbook is not typed quite as one that was read; results that were, are worked out without in `test_every_workbook.py`."""
    found, count = recalculated(built.in_source, tmp_path, stored=b""), 0
    for sheet in built.formulas:
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"):
            stored = built.values[sheet.title][cell.coordinate].value
            worked_out = found[sheet.title][cell.coordinate].value
            count += 1
            if isinstance(stored, int | float):
                assert worked_out == pytest.approx(stored, abs=1e-9), f"{sheet.title}!{cell.coordinate}"
            else:
                worked_out = str(worked_out or "").replace(
                    "_x005F", ""
                )  # LibreOffice takes no escape in an inline text
                assert worked_out.rstrip() == str(stored or "").rstrip(), f"{sheet.title}!{cell.coordinate}"
    assert count > 20


def cell_beside(sheet: object, words: str, column: int) -> Cell:
    """The first cell of that column in the row whose first cell starts with the words."""
    found = next(row for row in sheet.iter_rows() if str(row[0].value).startswith(words))  # type: ignore[attr-defined]
    return found[column]


@pytest.mark.parametrize(("name", "unit", "column"), [("fitting", 1.0, 2), ("failing", 25.4, 2)])
def test_another_stack_is_worked_out(name: str, unit: float, column: int, tmp_path: Path) -> None:
    """Two shims of 0.8 mm instead of the likely stack: the sheet gives what the check's own arithmetic gives."""
    book = load_workbook(BytesIO(build(name).in_source))
    sheet = book[SHIMS]
    for row in sheet.iter_rows(max_row=60):
        if str(row[0].value).startswith("Shim ") and isinstance(row[4].value, int | float):
            row[4].value = 2 if row[0].value in ("Shim 0.80 mm", "Shim 0.031 in") else 0
        if str(row[0].value).startswith("Radial shims"):
            break
    out = BytesIO()
    book.save(out)
    found = recalculated(out.getvalue(), tmp_path)[SHIMS]
    plane = VAN["rotor_height"] - VAN["hat_flange_thickness"] - VAN["rotor_thickness"] / 2
    error = caliper_centred(VAN["ear_face_position"], VAN["bracket_offset"], 1.0, 1.6, plane)
    rows = [row for row in found.iter_rows() if str(row[0].value).startswith("Caliper centred on the rotor [")]
    assert rows[0][column].value == pytest.approx(error / unit, abs=1e-9)
    assert rows[0][1].value == "may need another"  # 0.4 mm off, within 0.5, but not for every size inside the ±
