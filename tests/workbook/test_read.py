"""A filled-in workbook becomes the Job that it states: values in internal units, each with its ±, text and cell."""

import hashlib
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from bomcheck.assess import assess
from bomcheck.io import layout
from bomcheck.io.read.job import read_job
from bomcheck.model.errors import Place
from bomcheck.model.shipped import folder
from bomcheck.tables.fields import fields
from tests.faulty.jobs import cell_of, sheet_of
from tests.faulty.making import good_bytes, job_bytes, number, text
from tests.helpers.jobs import GOOD, good_job
from tests.promises.test_nothing_ignored import filled
from tests.workbook.reading import only_fault, read, read_bytes, read_cells, read_row


def test_a_whole_job_reads_to_the_values_that_were_typed() -> None:
    """Every field of a complete corner, read from a workbook, equals the same values made in code."""
    job, wanted = read_bytes(job_bytes(**{**filled(), "box": [], "shelf": [], "prices": [], "limits": {}})), good_job()
    assert not job.faults
    assert {k: (v.value, v.plus_minus, v.plus_minus_from) for k, v in job.values.items() if k in GOOD} == {
        k: (v.value, v.plus_minus, v.plus_minus_from if v.plus_minus_from == "typed" or v.plus_minus else "")
        for k, v in wanted.values.items()
    }


def test_each_value_knows_its_cell_and_its_text() -> None:
    """A value points at the cell that openpyxl finds it in, and keeps the text as typed."""
    value = read_row("hub_pilot_diameter", '2-5/8"').values["hub_pilot_diameter"]
    assert value.place == Place("job.xlsx", "Corner", cell_of("hub_pilot_diameter"))
    assert (value.value, value.typed) == (66.675, '2-5/8"')


def test_reading_changes_nothing(tmp_path: Path) -> None:
    """The file keeps its bytes; the job says which file it came from."""
    path = tmp_path / "a job.xlsx"
    path.write_bytes(good_bytes())
    before = hashlib.sha256(path.read_bytes()).hexdigest()
    job, package = read_job(path)
    assert hashlib.sha256(path.read_bytes()).hexdigest() == before
    assert job.source == package.file == "a job.xlsx"
    assert job.axles == ()


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_blank_cells_of_a_template_are_blank(units: str) -> None:
    """What the templates themselves say is never read as a value."""
    job = read(units, job={"job_number": "7"}, corner=dict.fromkeys(("hub_pilot_diameter", "ear_spacing")),
               kit=dict.fromkeys(("rotor_diameter", "hat_bore")), box=[])  # fmt: skip
    assert not job.faults
    assert job.limits == {}
    assert set(job.values) == {"units", "job_number", "axle", "corners", "corner_side", "currency", "needed_by",
                               "hub_bolt_circle", "caliper_inlet"}  # fmt: skip


@pytest.mark.parametrize("typed", ["?", "TBC", "n/a", "-", " ", "not measured"])
def test_words_for_blank_leave_a_field_blank(typed: str) -> None:
    """A cell that says that nothing is known is a blank, not a fault."""
    job = read_row("hub_pilot_diameter", typed)
    assert not job.faults
    assert "hub_pilot_diameter" not in job.values


def test_an_inch_sheet_reads_bare_figures_as_inches() -> None:
    """2.75 in the inch workbook is 69.85 mm, a fraction too, and a figure with "mm" behind it stays metric."""
    job = read("inch", corner={"hub_pilot_diameter": 2.75, "ear_spacing": "5-1/2", "ear_height": "95 mm"},
               kit={"rotor_diameter": 13, "hat_bore": 2.76}, box=[])  # fmt: skip
    assert not job.faults
    assert [job.get(k) for k in ("hub_pilot_diameter", "ear_spacing", "ear_height", "rotor_diameter")] == [
        69.85, 139.7, 95.0, 330.2,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("unit", "value"), [("in", 66.675), ("inches", 66.675), ("cm", None), ("mm", None), ("thou", None)]
)
def test_a_unit_cell_that_was_changed_is_honoured(unit: str, value: float | None) -> None:
    """2.625 with "in" beside it is 66.675 mm; with another unit it is implausible and held, never taken for inches."""
    job = read_row("hub_pilot_diameter", 2.625, unit)
    assert job.get("hub_pilot_diameter") == value
    assert bool(job.rejected) == (value is None)


def test_a_unit_in_the_cell_stands_above_the_one_beside_it() -> None:
    """A figure with its own unit is read in that."""
    assert read_row("hub_pilot_diameter", "66.5 mm", "in").get("hub_pilot_diameter") == 66.5


def test_a_figure_without_any_unit_is_asked_for() -> None:
    """Where neither the cell, nor the one beside it, nor the Job sheet tells the unit, it is not guessed."""
    cells = {f"Job!{cell_of('units')}": text("?"), f"Corner!{cell_of('hub_pilot_diameter', 'Unit')}": text("?")}
    job = read_cells(cells)
    assert (only_fault(job).kind, list(job.rejected)) == ("unit missing", ["hub_pilot_diameter"])


def test_a_blank_unit_cell_takes_the_units_of_the_workbook() -> None:
    """The Job sheet says in which units bare figures are."""
    cleared = {f"Corner!{cell_of('hub_pilot_diameter', 'Unit')}": text(" ")}
    assert read_cells(cleared).get("hub_pilot_diameter") == 66.5
    inch = {f"Job!{cell_of('units')}": text("inch"), f"Corner!{cell_of('hub_pilot_diameter')}": text("2.625")}
    assert read_cells({**cleared, **inch}).get("hub_pilot_diameter") == 66.675


@pytest.mark.parametrize(
    ("typed", "offset"), [("ET45", 45.0), (45, 45.0), ("45P", 45.0), ("5.5 BS", 25.4), ("-10", -10.0)]
)
def test_wheel_offsets_as_they_are_stamped(typed: str | float, offset: float) -> None:
    """ET, P and backspace are read; a backspace of 5.5 in on an 8 in wheel is 25.4 mm (5.5 - 9/2 = 1 in: geometry)."""
    job = read(corner={"wheel_rim_width": 8, "wheel_offset": typed})
    assert not job.faults
    assert job.get("wheel_offset") == pytest.approx(offset)


def test_an_offset_takes_the_unit_beside_it() -> None:
    """1.5 with "in" beside it is 38.1 mm."""
    assert read_row("wheel_offset", 1.5, "in").get("wheel_offset") == pytest.approx(38.1)


def test_a_thread_without_pitch_is_asked_for_not_refused() -> None:
    """ "M12" is readable; the check that needs the pitch is not known and asks for the thread."""
    job = read(corner={"hub_stud_thread": "M12"})
    assert not job.faults
    assert job.get("hub_stud_thread").pitch is None
    asking = [
        finding for finding in assess(good_job(hub_stud_thread="M12")).findings if "hub_stud_thread" in finding.asks
    ]
    assert asking
    assert all(str(finding.verdict) == "not known" for finding in asking)


def test_days_numbers_and_words_each_in_their_kind() -> None:
    """A date cell, a number as text, a number in a text field, yes as TRUE: each is read to what the field is."""
    job = read(
        job={"needed_by": date(2026, 3, 1), "job_number": 1042, "corners": "2"}, kit={"bracket_screw_class": 10.9}
    )
    assert not job.faults
    assert (job.get("needed_by"), job.get("job_number"), job.get("corners")) == (date(2026, 3, 1), "1042", 2)
    assert job.get("bracket_screw_class") == "10.9"


def test_columns_are_found_by_their_headings() -> None:
    """Value and ± change places: the reading follows the headings, not the letters."""
    value, half = cell_of("hub_pilot_diameter"), cell_of("hub_pilot_diameter", "±")
    swapped = {"B2": text("±"), "D2": text("Value"), value: number(0.01), half: number(66.4)}
    others = {cell_of(key): text("?") for key in ("hub_bolt_circle", "ear_spacing")}
    job = read_cells({f"Corner!{cell}": put for cell, put in {**swapped, **others}.items()})
    found = job.values["hub_pilot_diameter"]
    assert (found.value, found.plus_minus, found.place.cell) == (66.4, 0.01, half)


def test_a_field_may_be_called_by_its_key_and_stand_anywhere() -> None:
    """Capitals, spaces and punctuation do not count, the key serves as a label, and rows may be added below."""
    cells = {"A200": text("EAR_THICKNESS"), "B200": number(20), "A201": text("Ear  height:"), "B201": number(95)}
    job = read_cells({f"Corner!{cell}": put for cell, put in cells.items()})
    assert not job.faults
    assert (job.get("ear_thickness"), job.get("ear_height")) == (20.0, 95.0)


def test_a_label_twice_with_one_of_them_blank_is_clear() -> None:
    """Only one of the two is filled in, so it is used."""
    label = fields()["hub_pilot_diameter"].label
    job = read_cells(
        {f"Corner!{cell_of('hub_pilot_diameter')}": text("?"), "Corner!A200": text(label), "Corner!B200": number(66.4)}
    )
    assert not job.faults
    assert job.get("hub_pilot_diameter") == 66.4


def test_heading_and_field_of_one_name_are_told_apart() -> None:
    """ "Parking brake" is a heading and a field of its group; the field is read, the heading is no second label."""
    assert fields()["park_brake"].label in layout.groups("corner")
    job = read(corner={"park_brake": "none"})
    assert not job.faults
    assert job.get("park_brake") == "none"


def test_a_copy_of_a_filled_row_that_is_like_a_field_is_a_remark() -> None:
    """A label near one that is filled in already is the user's own row: named, but nothing has to be corrected."""
    fault = only_fault(read_cells({"Corner!A200": text("Hub pilot diameter 2"), "Corner!B200": number(60)}))
    assert (fault.kind, fault.place.cell, fault.stops) == ("unknown label", "A200", False)


def test_a_figure_in_the_column_for_the_unit_is_named() -> None:
    """A size typed one column too far to the right is not lost."""
    fault = only_fault(read_row("ear_thickness", "?", "20"))
    assert (fault.kind, fault.place.cell, fault.stops) == ("not allowed here", cell_of("ear_thickness", "Unit"), True)


@pytest.mark.parametrize("key", ["hub_bolt_circle", "axle", "corners"])
def test_what_has_no_meaning_beside_a_field_is_named(key: str) -> None:
    """A unit beside a bolt circle, a choice or a count is a remark; the value is used."""
    job = read_cells({f"{sheet_of(key)}!{cell_of(key, 'Unit')}": text("mm")})
    fault = only_fault(job)
    assert (fault.kind, fault.key, fault.stops) == ("not allowed here", key, False)
    assert key in job.values


def test_faults_stand_in_the_order_of_the_sheets() -> None:
    """Job, Corner, Kit, tables, limits; contradictions last."""
    cells = {
        f"{sheet_of(k)}!{cell_of(k)}": text("x y") for k in ("hat_bore", "hub_pilot_diameter", "corners", "pedal_ratio")
    }
    job = read_cells({**cells, "Limits!E6": text("snug"), "Box contents!D3": text("few")})
    assert [fault.place.sheet for fault in job.faults] == ["Job", "Corner", "Kit", "System", "Box contents", "Limits"]


@pytest.mark.parametrize(
    ("typed", "value", "said"),
    [
        ("1.890,00", 1890.0, ""), ("1,890.00", 1890.0, ""), ("1 890,50", 1890.5, ""), ("0.125", 0.125, ""), ("EUR 1890", 1890.0, ""),
        ("1.890", None, "this may be 1890 or 1.89. Type 1890 or 1.89"), ("lots", None, "Type the number alone, in the currency"),
        ("1890 GBP", None, "not in EUR"),
    ],
)  # fmt: skip
def test_the_price_of_the_kit_as_people_write_it(typed: str, value: float | None, said: str) -> None:
    """A mark between thousands or before decimals is told apart or asked for; the job's currency may stand beside it."""
    job = read(job={"currency": "EUR"}, kit={"kit_price": typed}, box=[])
    found = job.values.get("kit_price")
    assert (found.value if found else None) == value
    assert said in " ".join(str(fault) for fault in job.faults if fault.key == "kit_price")


def test_a_rate_names_the_currency_of_its_own_sheet() -> None:
    """The labour rate stands on the Job sheet, above or below the currency."""
    job = read(job={"currency": "EUR", "labour_rate": "85 EUR"}, box=[])
    assert job.values["labour_rate"].value == 85.0


@pytest.mark.parametrize(
    ("typed", "count"), [("2 pcs", 2.0), ("8 off", 8.0), ("4 Stk", 4.0), ("8²", None), ("a pair", None)]
)
def test_quantities_of_a_table_as_people_write_them(typed: str, count: float | None) -> None:
    """Pieces are counted with their word; what is no figure is asked for as one, never as a share."""
    job = read(box=[{"role": "hose", "quantity": typed}])
    assert [part.quantity for part in job.box] == [count]
    assert not any("%" in str(fault) for fault in job.faults)


def test_a_label_that_was_cleared_is_named() -> None:
    """The figure beside it is held, not taken for a note."""
    at = cell_of("hub_pilot_diameter", "What")
    job = read_cells({f"Corner!{at}": text("")})
    assert "hub_pilot_diameter" not in job.values
    assert 'the label "Hub pilot diameter" is missing beside this' in str(job.rejected["hub_pilot_diameter"])


@pytest.mark.parametrize(
    ("sheet", "heading", "said"),
    [("Price list", "Price of one", "missing here"), ("Box contents", "Quantity", "missing here")],
)
def test_a_heading_that_was_cleared_is_named(tmp_path: Path, sheet: str, heading: str, said: str) -> None:
    """Its column is not taken for a note of one's own; the same where the whole column is gone."""
    path = tmp_path / "job.xlsx"
    book = openpyxl.load_workbook(folder("demo_workbooks") / "hill_climb_two_seater.xlsx")
    cell = next(one for one in book[sheet][2] if str(one.value).startswith(heading))
    cell.value = None
    book.save(path)
    job = read_job(path)[0]
    assert any(
        f'"{heading}" is {said}' in str(fault) and cell.coordinate in str(fault) for fault in job.faults if fault.stops
    )
    book[sheet].delete_cols(cell.column)
    book.save(path)
    assert any(f'the column "{heading}" is missing' in str(fault) for fault in read_job(path)[0].faults)
