"""The Brake line sheet: joint by joint, or in one line why nothing is planned."""

from pathlib import Path

import pytest

from bomcheck.assess import assess
from bomcheck.io.package import Package
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.line_sheet import HEADINGS, NAME
from bomcheck.tables.fields import fields
from tests.workbook.sheets.conftest import build
from tests.workbook.sheets.sample_reports import van


def first_column(without: tuple[str, ...]) -> list[str]:
    """What stands there for the sample without some of its fields."""
    data, _ = build_sheets(assess(van(without=without)))
    cells = Package(Path("ours.xlsx"), data).cells(NAME)
    return [cell.text for cell in cells.values() if cell.column == 1]


@pytest.mark.parametrize("blank", [("line_end",), ("caliper_inlet",), ("line_end", "caliper_inlet")])
def test_an_empty_sheet_says_why(blank: tuple[str, ...]) -> None:
    """One line names every end that is blank and no other; each is asked for below."""
    title, headings, why, *asked = first_column(blank)
    labels = {key: fields()[key].label for key in ("line_end", "caliper_inlet")}
    assert (title, headings) == (NAME, HEADINGS[0])
    assert why.startswith("No brake line is planned here yet: ")
    assert why.endswith("are blank" if len(blank) > 1 else "is blank")
    assert asked == [labels[key] for key in blank]
    assert [key for key, label in labels.items() if f'"{label}"' in why] == list(blank)


def test_what_a_joint_needs_stands_under_needs() -> None:
    """Each joint of the sample that fits says in the column so named what goes into it; nothing "takes" anything."""
    sheet = build("fitting").values[NAME]
    at = [cell.value for cell in sheet[2]].index("Needs") + 1
    joints = [row for row in range(3, sheet.max_row + 1) if str(sheet.cell(row, 1).value)[:1].isdigit()]
    assert joints
    assert all("ealant" in str(sheet.cell(row, at).value) for row in joints)
    words = [str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value]
    assert not [one for one in words if one.startswith("Takes")]
