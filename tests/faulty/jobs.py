"""Job workbooks with one thing wrong each: a builder of a few lines, and what the reader has to say of it.

    python -m tests.faulty FOLDER

writes them all into a folder to be looked at. The whole lines stand in `lines.py`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from bomcheck.fields import fields
from bomcheck.verdict.limits import house_limits
from tests.faulty.making import (
    GOOD,
    Put,
    address,
    clock,
    column,
    day,
    error,
    formula_without_value,
    good_bytes,
    job_bytes,
    number,
    renamed_sheet,
    text,
    with_cells,
)
from tests.faulty.packages import ole
from tests.workbook.packages import zipped


@dataclass(frozen=True)
class Made:
    """A faulty workbook. data: None where no file is to be written. sheet, cell: where the fault is to be named."""

    data: bytes | None
    sheet: str = ""
    cell: str = ""
    ending: str = ".xlsx"


@dataclass(frozen=True)
class Faulty:
    """name: of the file. kind, key: of the fault. stops: False for a remark. refused: nothing of it can be read."""

    name: str
    build: Callable[[], Made]
    kind: str
    key: str = ""
    stops: bool = True
    refused: bool = False

    def write(self, folder: Path, made: Made) -> Path:
        """Writes the workbook into a folder and returns its path."""
        path = folder / f"{self.name}{made.ending}"
        if made.data is not None:
            path.write_bytes(made.data)
        elif self.name == "a_folder":
            path.mkdir(exist_ok=True)
        return path

    def cells(self, made: Made) -> "Cells":
        """What the braces in this workbook's line stand for."""
        return Cells(cell=made.cell)


class Cells(dict[str, str]):
    """ "cell" is the spoilt cell; any other key is a field, and stands for the field's cell in the good job."""

    def __missing__(self, key: str) -> str:
        return cell_of(key)


FAULTY: dict[str, Faulty] = {}
Builder = Callable[[], Made]


def faulty(kind: str, key: str = "", stops: bool = True, refused: bool = False) -> Callable[[Builder], Builder]:
    """Lists a builder under its own name."""

    def listed(build: Builder) -> Builder:
        FAULTY[build.__name__] = Faulty(build.__name__, cache(build), kind, key, stops, refused)
        return build

    return listed


def put(sheet: str, cell: str, content: Put, named: str = "") -> Made:
    """The good job with one cell replaced; the fault is to name that cell, or the cell `named`."""
    return Made(with_cells({f"{sheet}!{cell}": content}), sheet, named or cell)


def cell_of(key: str, heading: str = "Value") -> str:
    """Address of a field's cell under a heading."""
    return address(sheet_of(key), fields()[key].label, heading)


def sheet_of(key: str) -> str:
    return fields()[key].section.capitalize()


def typed(key: str, content: Put, heading: str = "Value") -> Made:
    """The good job with something typed in a field's row."""
    return put(sheet_of(key), cell_of(key, heading), content)


def own_limit(name: str, content: Put, heading: str) -> Made:
    """The good job with a figure typed in a limit's row."""
    return put("Limits", address("Limits", house_limits()[name].title, heading), content)


def in_table(sheet: str, key: str, heading: str, **changes: Any) -> Made:
    """A table of one line with a change; the fault is to name the cell under that heading."""
    line = {"role": "bracket screw", "part_number": "S-1", **changes}
    if sheet == "Price list":
        line = {"supplier": "A", "unit_price": 2.5, **line}
    return Made(job_bytes(**{key: [line]}), sheet, f"{column(sheet, heading)}3")


# What is no workbook, or cannot be opened


@faulty("file", refused=True)
def missing_file() -> Made:
    return Made(None)


@faulty("file", refused=True)
def a_folder() -> Made:
    return Made(None)


@faulty("not a workbook", refused=True)
def empty_file() -> Made:
    return Made(b"")


@faulty("not a workbook", refused=True)
def old_binary_workbook() -> Made:
    return Made(ole("Workbook")(), ending=".xls")


@faulty("not a workbook", refused=True)
def open_document_spreadsheet() -> Made:
    return Made(zipped({"mimetype": "application/vnd.oasis.opendocument.spreadsheet"}), ending=".ods")


@faulty("not a workbook", refused=True)
def protected_by_password() -> Made:
    return Made(ole("EncryptionInfo", "EncryptedPackage")())


@faulty("not a workbook", refused=True)
def csv_renamed() -> Made:
    return Made(b"What,Value\nHub pilot diameter,66.5\n")


@faulty("damaged", refused=True)
def cut_off_while_copied() -> Made:
    return Made(good_bytes()[:20_000])


# Sheets


@faulty("sheet missing", refused=True)
def kit_sheet_missing() -> Made:
    return Made(renamed_sheet("Kit", "Archive"))


@faulty("sheet missing", refused=True)
def corner_sheet_renamed() -> Made:
    return Made(renamed_sheet("Corner", "Corner sheet"), "Corner sheet")


@faulty("sheet missing")
def price_list_misspelt() -> Made:
    return Made(renamed_sheet("Price list", "Price lsit"), "Price lsit")


@faulty("nothing filled in", refused=True)
def nothing_filled_in() -> Made:
    blank = {section: dict.fromkeys(GOOD[section]) for section in ("job", "corner", "kit")}
    return Made(job_bytes(**blank, box=[], prices=[]))


# Headings and labels


@faulty("heading missing")
def heading_renamed() -> Made:
    return put("Kit", "B2", text("Valeu"))


@faulty("label used twice")
def two_columns_of_values() -> Made:
    cell = cell_of("rotor_diameter").replace("B", "G")
    return Made(with_cells({"Kit!G2": text("Value"), f"Kit!{cell}": number(330)}), "Kit", "B2")


@faulty("unknown label", "hub_pilot_diameter")
def label_misspelt() -> Made:
    return typed("hub_pilot_diameter", text("Hub pilot diamter"), "What")


@faulty("label used twice", "hub_pilot_diameter")
def label_twice() -> Made:
    first = cell_of("hub_pilot_diameter", "What")
    return Made(
        with_cells({"Corner!A200": text(fields()["hub_pilot_diameter"].label), "Corner!B200": number(66.7)}),
        "Corner",
        first,
    )


@faulty("unknown label", stops=False)
def own_note_below() -> Made:
    return Made(with_cells({"Corner!A200": text("Zzz"), "Corner!B200": text("ring twice")}), "Corner", "A200")


@faulty("unknown label", stops=False)
def value_without_label() -> Made:
    return put("Corner", "B200", number(12))


@faulty("unknown label", stops=False)
def figures_beside_the_sheet() -> Made:
    return put("Kit", "H6", text("ask the maker"))


@faulty("not allowed here")
def typed_beside_a_heading() -> Made:
    return put("Corner", "B3", number(5))


@faulty("not allowed here")
def typed_beside_a_heading_named_like_a_field() -> Made:
    field = cell_of("park_brake")
    heading = f"B{int(field[1:]) - 1}"
    return Made(with_cells({f"Corner!{field}": text("separate"), f"Corner!{heading}": text("none")}), "Corner", heading)


# Values


@faulty("unreadable text", "hub_pilot_diameter")
def words_where_a_size_belongs() -> Made:
    return typed("hub_pilot_diameter", text("as standard"))


@faulty("unknown unit", "hub_pilot_diameter")
def unknown_unit() -> Made:
    return typed("hub_pilot_diameter", text("66.5 nm"))


@faulty("unknown unit", "hat_bore")
def unit_cell_changed_to_nonsense() -> Made:
    return typed("hat_bore", text("milli"), "Unit")


@faulty("date in a size", "bracket_screw_length")
def size_turned_into_a_date() -> Made:
    return typed("bracket_screw_length", day(2026, 10, 1))


@faulty("date in a size", "hub_stud_thread")
def thread_turned_into_a_date() -> Made:
    return typed("hub_stud_thread", day(2026, 12, 1))


@faulty("date in a size", "bracket_screw_class")
def class_turned_into_a_date() -> Made:
    return typed("bracket_screw_class", day(2026, 8, 8))


@faulty("date in a size", "pedal_ratio")
def ratio_turned_into_a_time() -> Made:
    return typed("pedal_ratio", clock(4, 1))


@faulty("out of range", "hub_face_runout")
def out_of_range() -> Made:
    return typed("hub_face_runout", number(30))


@faulty("out of range", "ear_thread")
def thread_out_of_range() -> Made:
    return typed("ear_thread", text("M30x2"))


@faulty("looks like another unit", "rotor_diameter")
def inches_as_millimetres() -> Made:
    return typed("rotor_diameter", number(13))


@faulty("looks like another unit", "rotor_diameter")
def centimetres_as_millimetres() -> Made:
    return typed("rotor_diameter", number(33))


@faulty("looks like another unit", "rotor_diameter")
def radius_as_diameter() -> Made:
    return typed("rotor_diameter", number(165))


@faulty("looks like another unit", "rotor_diameter")
def millimetres_as_inches() -> Made:
    data = job_bytes(
        "inch", corner=dict.fromkeys(GOOD["corner"]), kit={"rotor_diameter": 330, "hat_bore": None}, box=[]
    )
    return Made(data, "Kit", cell_of("rotor_diameter"))


@faulty("looks like another unit", "hat_screw_torque")
def foot_pounds_for_inch_pounds() -> Made:
    return typed("hat_screw_torque", text("162 ft-lb"))


@faulty("looks like another unit", "tax_percent")
def percent_stored_as_a_share() -> Made:
    return typed("tax_percent", number(0.2))


@faulty("unit missing", "hat_screw_torque")
def torque_without_unit() -> Made:
    return typed("hat_screw_torque", number(14))


@faulty("unit missing", "hub_pilot_diameter")
def fraction_in_a_metric_cell() -> Made:
    return typed("hub_pilot_diameter", text("2-5/8"))


@faulty("not one of the choices", "ear_side")
def unknown_choice() -> Made:
    return typed("ear_side", text("outbord"))


@faulty("formula without a value", "hat_bore")
def formula_without_its_result() -> Made:
    return typed("hat_bore", formula_without_value("66.5+0.1"))


@faulty("error value", "hat_bore")
def error_value() -> Made:
    return typed("hat_bore", error("#REF!"))


@faulty("unreadable text", "hub_pilot_diameter")
def plus_minus_is_text() -> Made:
    return typed("hub_pilot_diameter", text("tight"), "±")


@faulty("out of range", "hub_pilot_diameter")
def plus_minus_below_zero() -> Made:
    return typed("hub_pilot_diameter", number(-0.02), "±")


@faulty("out of range", "hub_pilot_diameter")
def plus_minus_too_wide() -> Made:
    return typed("hub_pilot_diameter", number(66.5), "±")


@faulty("unit missing", "hub_pilot_diameter")
def plus_minus_in_which_unit() -> Made:
    value, half = (cell_of("hub_pilot_diameter", heading) for heading in ("Value", "±"))
    cells = {f"Corner!{value}": text("2.62 in"), f"Corner!{half}": number(0.001)}
    return Made(with_cells(cells), "Corner", half)


@faulty("part of it missing", "ear_thickness", stops=False)
def plus_minus_without_value() -> Made:
    return typed("ear_thickness", number(0.1), "±")


@faulty("unreadable text", "hub_pilot_diameter")
def value_and_plus_minus_in_one_cell() -> Made:
    return typed("hub_pilot_diameter", text("66.5 ±0.02"))


@faulty("unreadable text", "rotor_diameter")
def two_sizes_in_one_cell() -> Made:
    return typed("rotor_diameter", text("330x28"))


@faulty("unreadable text", "corners")
def half_a_corner() -> Made:
    return typed("corners", number(1.5))


@faulty("part of it missing", "hub_bolt_circle")
def bolt_circle_without_count() -> Made:
    return typed("hub_bolt_circle", number(114.3))


@faulty("unknown unit", "caliper_bores")
def list_with_a_broken_item() -> Made:
    return typed("caliper_bores", text("42+38+big"))


@faulty("part of it missing", "shim_sizes_axial")
def shims_without_pieces() -> Made:
    return typed("shim_sizes_axial", text("0.8x8; 0.4"))


@faulty("entries disagree", "line_end")
def line_end_of_two_minds() -> Made:
    return typed("line_end", text("-3 inverted flare male"))


@faulty("unreadable text", "line_end")
def bolt_in_place_of_a_fitting() -> Made:
    return typed("line_end", text("AN3 bolt"))


@faulty("out of range", "hub_stud_thread", stops=False)
def thread_of_no_standard() -> Made:
    return typed("hub_stud_thread", text("M12x1.6"))


# Tables


@faulty("not one of the choices", "role")
def unknown_role() -> Made:
    return in_table("Box contents", "box", "Role", role="braket screw")


@faulty("part of it missing", stops=False)
def line_without_role() -> Made:
    data = job_bytes(box=[{"part_number": "S-1", "description": "screw"}])
    return Made(data, "Box contents", "B3:C3")


@faulty("out of range", "quantity")
def negative_quantity() -> Made:
    return in_table("Box contents", "box", "Quantity", quantity=-4)


@faulty("out of range", "pack_size")
def negative_pack() -> Made:
    return in_table("Price list", "prices", "Pack size", pack_size=-10)


@faulty("out of range", "pack_size")
def pack_of_none() -> Made:
    return in_table("Price list", "prices", "Pack size", pack_size=0)


@faulty("entries disagree", "unit_price")
def price_in_another_currency() -> Made:
    return in_table("Price list", "prices", "Price of one", unit_price="12.50 GBP")


@faulty("entries disagree", "unit_price")
def two_prices_of_one_part() -> Made:
    line = {"role": "fluid", "part_number": "F-1", "supplier": "A"}
    data = job_bytes(prices=[{**line, "unit_price": 18}, {**line, "unit_price": 21}])
    return Made(data, "Price list", "E3")


@faulty("date in a size", "part_number")
def part_number_turned_into_a_date() -> Made:
    return put("Price list", "B3", day(2026, 10, 1))


@faulty("unknown unit", "length")
def unit_of_a_column_changed() -> Made:
    data = job_bytes(box=[{"role": "hose", "length": 400}])
    heading = f"{column('Box contents', 'Length')}2"
    return Made(with_cells({f"Box contents!{heading}": text("Length [furlong]")}, data), "Box contents", heading)


# Limits


@faulty("entries disagree")
def limits_out_of_order() -> Made:
    data = job_bytes(limits={"pilot_clearance": (0.3, 0.1)})
    title = house_limits()["pilot_clearance"].title
    return Made(data, "Limits", address("Limits", title, "Your low"))


@faulty("unreadable text")
def limit_in_words() -> Made:
    return own_limit("pilot_clearance", text("snug"), "Your high")


@faulty("not allowed here", stops=False)
def house_limit_typed_over() -> Made:
    return own_limit("pilot_clearance", number(0.5), "High")


# Entries that disagree


def disagreeing(key: str, **changes: Any) -> Made:
    """The good job with changes that contradict one another; the fault is to name the cell of `key`."""
    data = job_bytes(**changes)
    return Made(data, sheet_of(key), cell_of(key))


@faulty("entries disagree", "bracket_screw_length")
def screw_length_in_kit_and_box() -> Made:
    box = [{"role": "bracket screw", "part_number": "S-1", "quantity": 4, "length": 45}]
    return disagreeing("bracket_screw_length", kit={"bracket_screw_length": 40}, box=box)


@faulty("entries disagree", "caliper_screw_thread")
def screw_thread_in_kit_and_box() -> Made:
    box = [{"role": "caliper stud", "quantity": 4, "thread": "M10x1.5"}]
    return disagreeing("caliper_screw_thread", kit={"caliper_screw_thread": "M10x1.25"}, box=box)


@faulty("entries disagree", "shim_sizes_axial")
def shim_pieces_in_kit_and_box() -> Made:
    box = [{"role": "shim", "thickness": 0.8, "quantity": 6}]
    return disagreeing("shim_sizes_axial", kit={"shim_sizes_axial": "0.8x8; 0.4x8"}, box=box)


@faulty("entries disagree", "caliper_inlet")
def inlet_in_kit_and_box() -> Made:
    return disagreeing("caliper_inlet", box=[{"role": "caliper", "quantity": 2, "end_a": "1/8 NPT female"}])


@faulty("entries disagree", "ear_height")
def ear_height_and_distances() -> Made:
    corner = {"ear_spacing": 120, "ear_distance_upper": 100, "ear_distance_lower": 100, "ear_height": 85}
    return disagreeing("ear_height", corner=corner)


@faulty("entries disagree", "ear_distance_upper")
def ear_distances_of_no_triangle() -> Made:
    corner = {"ear_spacing": 250, "ear_distance_upper": 60, "ear_distance_lower": 60}
    return disagreeing("ear_distance_upper", corner=corner)


@faulty("entries disagree", "rotor_plane_position")
def rotor_plane_and_height() -> Made:
    kit = {"rotor_build": "one-piece", "rotor_plane_position": 30, "rotor_height": 60, "hat_flange_thickness": 7,
           "rotor_thickness": 28}  # fmt: skip
    return disagreeing("rotor_plane_position", kit=kit)


@faulty("entries disagree", "rotor_min_thickness")
def worn_rotor_thicker_than_new() -> Made:
    kit = {"rotor_thickness": 26, "rotor_min_thickness": 28}
    return disagreeing("rotor_min_thickness", kit=kit, box=[])


@faulty("entries disagree", "corners")
def one_corner_on_both_sides() -> Made:
    return disagreeing("corners", job={"corners": 1})
