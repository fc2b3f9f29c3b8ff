"""The job workbooks that people fill in, seen by readers that are not ours: openpyxl, an ISO/IEC 29500 validator, LibreOffice."""

import zipfile
from collections import Counter
from datetime import date, datetime
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet
from openxml_audit import OpenXmlValidator

from bomcheck.io import layout
from bomcheck.io.blank.forms import house_limit_rows
from bomcheck.io.blank.template import SYSTEMS, build_job_workbook, template_name, write_templates
from bomcheck.io.sheets.looks import PIXELS_PER_CHARACTER, POINTS_PER_PIXEL, text_width
from bomcheck.model.shipped import folder
from bomcheck.tables.fields import Field, fields, part_fields, section_fields
from bomcheck.tables.sources import SOURCES
from tests.workbook.office import saved_by_libreoffice

FILLED = {
    "job": {"vehicle_label": "Blue van", "needed_by": date(2026, 3, 1), "units": "metric"},
    "corner": {"hub_bolt_circle": "5x4-1/2", "hub_pilot_diameter": 66.1, "hub_fixing": "stud"},
    "plus_minus": {"hub_pilot_diameter": 0.01},
    "box": [{"role": "hose", "part_number": "1-10", "quantity": 2}],
    "shelf": [{"role": "fluid", "part_number": "007", "on_hand": 1}],
    "prices": [{"role": "shim", "part_number": "10/1", "unit_price": 0.35}] * 70,
    "limits": {"barrel": (2.5, None)},
    "start_note": "A demo of our own.",
}


@pytest.fixture(scope="module", params=SYSTEMS)
def system(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def template(system: str) -> Workbook:
    return load_workbook(folder("templates_xlsx") / template_name(system))


@pytest.fixture(scope="module")
def filled() -> Workbook:
    out = BytesIO()
    build_job_workbook("metric", FILLED, out)
    return load_workbook(out)


def rows_of(sheet: Worksheet) -> dict[str, int]:
    """Row number (from 1) of each label in the first column."""
    return {str(cell.value): cell.row for cell in sheet["A"] if cell.value}


def cell(sheet: Worksheet, field: Field, column: int = layout.VALUE):
    return sheet.cell(rows_of(sheet)[field.label], column + 1)


def drop_downs(sheet: Worksheet) -> dict[str, str]:
    """Source of the drop-down at each cell; a range gives its first cell's."""
    return {str(v.sqref).split(":")[0]: v.formula1 for v in sheet.data_validations.dataValidation}


def test_templates_are_up_to_date(tmp_path: Path) -> None:
    """The committed templates are, part by part, what the schemas give today, and the same on each run."""
    for made in write_templates(tmp_path):
        with zipfile.ZipFile(made) as new, zipfile.ZipFile(folder("templates_xlsx") / made.name) as old:
            today, committed = ({name: book.read(name) for name in book.namelist()} for book in (new, old))
            assert list(today.items()) == list(committed.items()), (
                f"{made.name} is not what the schemas give today: run python -m bomcheck.io.blank.template"
            )


def test_sheets_stand_in_order(template: Workbook) -> None:
    """The visible sheets are those of the layout; only the list of roles is hidden, and nothing is protected."""
    assert tuple(s.title for s in template if s.sheet_state == "visible") == layout.SHEETS
    assert [s.title for s in template if s.sheet_state != "visible"] == [layout.LISTS]
    assert not any(sheet.protection.sheet for sheet in template)


@pytest.mark.parametrize("name", layout.FIELD_SHEETS)
def test_every_field_stands_once(template: Workbook, system: str, name: str) -> None:
    """Each field of the schema has one row with its label, its unit, a note, and a ± cell where it can carry one."""
    sheet, members = template[name], section_fields(layout.FIELD_SHEETS[name])
    count = Counter(str(one.value) for one in sheet["A"])
    assert [field.label for field in members if count[field.label] != 1 + (field.label == field.group)] == []
    for field in members:
        value = cell(sheet, field)
        assert (cell(sheet, field, layout.UNIT).value or "") == layout.unit_text(field, system)
        assert value.comment is not None
        assert field.question in value.comment.text
        assert value.fill.fgColor.rgb != "00000000"
        assert not value.protection.locked
        assert cell(sheet, field, layout.PLUS_MINUS).protection.locked != field.takes_plus_minus


@pytest.mark.parametrize("name", layout.FIELD_SHEETS)
def test_drop_downs_are_the_choices(template: Workbook, name: str) -> None:
    """Each field with choices has exactly these in its drop-down, each size where it may come from, and no other cell has one."""
    sheet = template[name]
    choices = [field for field in section_fields(layout.FIELD_SHEETS[name]) if field.notation == "choice"]
    origins = {
        f"E{cell(sheet, field).row}" for field in section_fields(layout.FIELD_SHEETS[name]) if field.takes_plus_minus
    }
    from_where = f'"{",".join(SOURCES)}"'
    assert drop_downs(sheet) == {
        **{cell(sheet, field).coordinate: f'"{",".join(field.choices)}"' for field in choices},
        **dict.fromkeys(origins, from_where),
    }


@pytest.mark.parametrize("name", layout.TABLES)
def test_table_columns(template: Workbook, system: str, name: str) -> None:
    """Tables have the layout's headings, room for 60 lines, a filter, and drop-downs equal to the choices."""
    sheet, columns = template[name], layout.part_table_columns(name, system)
    headings = [one.value for one in sheet[layout.HEADING_ROW + 1]]
    assert headings == [heading for _, heading in columns]
    assert [layout.split_heading(heading)[0] for heading in headings] == [field.label for field, _ in columns]
    assert sheet.auto_filter.ref
    assert sheet.max_row >= layout.FIRST_ROW + layout.TABLE_ROWS
    for (field, _), one in zip(columns, sheet[layout.FIRST_ROW + 1], strict=True):
        inline = f'"{",".join(field.choices)}"' if field.choices else None
        listed = f"{layout.LISTS}!$A$2:$A${len(field.choices) + 1}" if field.key == "role" else inline
        assert drop_downs(sheet).get(one.coordinate) == listed


def test_list_of_roles(template: Workbook) -> None:
    """The hidden list behind the roles' drop-down is the schema's."""
    assert tuple(one.value for one in template[layout.LISTS]["A"][1:]) == part_fields()["role"].choices


def test_notations_are_text_cells(template: Workbook, system: str) -> None:
    """Cells for threads, circles, line ends, lists and part numbers are text cells, and so are inch sizes ("3/4")."""
    named = ("thread", "bolt circle", "bolt circles", "line end", "shims", "bores", "pairs", "choices")
    sheets = {section: template[name] for name, section in layout.FIELD_SHEETS.items()}
    for field in fields().values():
        if field.notation in named or (field.notation == "number" and field.shown_unit(system) == "in"):
            assert cell(sheets[field.section], field).number_format == "@", field.key
    for name in layout.TABLES:
        column = layout.TABLES[name].index("part_number") + 1
        assert template[name].cell(layout.FIRST_ROW + 5, column).number_format == "@"


def test_limits_are_the_house_limits(template: Workbook, system: str) -> None:
    """The Limits sheet shows every house limit with its figures, its unit and its source, in the order of their file; those in mm stand in
    an inch workbook in inches, 1 in = 25.4 mm (international yard and pound agreement, 1959)."""
    sheet = template[layout.LIMITS]
    shown = [[one.value for one in row] for row in sheet.iter_rows(min_row=layout.FIRST_ROW + 1)]
    for row, limit in zip(shown, house_limit_rows(), strict=True):
        inches = limit["unit"] == "mm" and system == "inch"
        assert row[layout.LIMIT_WHAT] == limit["title"]
        assert (row[layout.LIMIT_UNIT] or "-") == ("in" if inches else limit["unit"])
        for bound, at in (("low", layout.LIMIT_LOW), ("high", layout.LIMIT_HIGH)):
            told = limit[bound] / 25.4 if inches and limit[bound] is not None else limit[bound]
            assert row[at] == pytest.approx(told, abs=0.00005)
    assert all(row[layout.LIMIT_SOURCE] for row in shown)
    long = next(row for row in sheet.iter_rows(min_row=layout.FIRST_ROW + 1) if len(str(row[0].value)) > 60)
    assert sheet.row_dimensions[long[0].row].height >= 2 * 12.5


def test_pages_are_set_up(template: Workbook) -> None:
    """Every sheet prints one page wide with a footer that cautions and counts; headings stay in view and are repeated."""
    for sheet in template:
        if sheet.title == layout.LISTS:
            continue
        assert sheet.page_setup.fitToWidth in (None, 1)
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert "kill" in sheet.oddFooter.left.text
        assert "&P of &N" in sheet.oddFooter.right.text
        if sheet.title != layout.START:
            assert sheet.freeze_panes == f"B{layout.FIRST_ROW + 1}"
            assert sheet.print_title_rows == "$1:$2"


def test_first_sheet_says_what_matters(template: Workbook) -> None:
    """The first sheet carries the cautions, the datum, the signs and the command."""
    text = " ".join(str(one.value) for row in template[layout.START] for one in row if one.value)
    for needed in (
        "Brakes can kill",
        "certifies nothing",
        "kit maker's sheet",
        "hub face",
        "inboard",
        "bomcheck check",
    ):
        assert needed in text


def test_what_is_filled_in_stands_in_its_cell(filled: Workbook) -> None:
    """Numbers stay numbers, days days, and notations and part numbers the text that was typed."""
    corner, by_key = filled[layout.CORNER], fields()
    assert cell(corner, by_key["hub_bolt_circle"]).value == "5x4-1/2"
    assert cell(corner, by_key["hub_pilot_diameter"]).value == 66.1
    assert cell(corner, by_key["hub_pilot_diameter"], layout.PLUS_MINUS).value == 0.01
    assert cell(filled[layout.JOB], by_key["needed_by"]).value == datetime(2026, 3, 1)
    assert [filled[name].cell(3, 2).value for name in layout.TABLES] == ["1-10", "007", "10/1"]
    assert filled[layout.PRICES].cell(72, 2).value == "10/1"
    assert filled[layout.PRICES].cell(72, 2).data_type == "s"
    limits = filled[layout.LIMITS]
    row = rows_of(limits)[next(one["title"] for one in house_limit_rows() if one["name"] == "barrel")]
    assert (limits.cell(row, layout.YOUR_LOW + 1).value, limits.cell(row, layout.YOUR_HIGH + 1).value) == (2.5, None)
    assert "A demo of our own." in [one.value for one in filled[layout.START]["A"]]


@pytest.mark.parametrize(
    "wrong",
    [
        {"corner": {"rotor_diameter": 330}},
        {"cornr": {}},
        {"plus_minus": {"hub_fixing": 1}},
        {"box": [{"on_hand": 1}]},
        {"limits": {"nonsense": (0, 1)}},
    ],
)
def test_unknown_names_are_refused(wrong: dict[str, object]) -> None:
    """A value that no cell would show is refused by its name, never dropped."""
    with pytest.raises(ValueError, match="there is no"):
        build_job_workbook("metric", wrong, BytesIO())


def test_validator_finds_no_error(system: str, tmp_path: Path) -> None:
    """Blank and filled workbooks have no error. Source: ISO/IEC 29500 through the openxml-audit package."""
    build_job_workbook(system, FILLED, tmp_path / "filled.xlsx")
    for path in (tmp_path / "filled.xlsx", folder("templates_xlsx") / template_name(system)):
        assert [str(error) for error in OpenXmlValidator().validate(path).errors] == []


def test_libreoffice_opens_it(system: str, tmp_path: Path) -> None:
    """LibreOffice opens the template and hands back the same cells."""
    source = folder("templates_xlsx") / template_name(system)
    ours, theirs = load_workbook(source), load_workbook(saved_by_libreoffice(source, tmp_path / "saved"))
    for sheet in ours:
        cells = {one.coordinate: one.value for row in sheet for one in row if one.value is not None}
        assert {at: theirs[sheet.title][at].value for at in cells} == cells


def test_what_a_sheet_is_for_is_read_whole_on_paper(template: Workbook) -> None:
    """The line beside each title, which runs on into empty cells, ends before the last column that is printed does."""
    seen = 0
    for sheet in template:
        wide = {at: one.width for one in sheet.column_dimensions.values() for at in range(one.min, one.max + 1)}
        for cell in (one for one in sheet[1] if isinstance(one.value, str) and not one.alignment.wrap_text):
            room = sum(wide.get(at, 8.43) for at in range(cell.column, sheet.max_column + 1))
            seen += 1
            assert (
                text_width(cell.value, cell.font.sz, bool(cell.font.b)) < room * PIXELS_PER_CHARACTER * POINTS_PER_PIXEL
            ), sheet.title
    assert seen > 10
