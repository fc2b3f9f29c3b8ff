"""Values, units and ± that cannot be used."""

from tests.faulty.faulty_job import Made, cell_of, faulty, typed
from tests.faulty.making import (
    GOOD,
    clock,
    day,
    error,
    formula_without_value,
    job_bytes,
    number,
    text,
    with_cells,
)


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


@faulty("entries disagree", "hub_pilot_diameter")
def plus_minus_inside_and_beside_disagree() -> Made:
    value, half = (cell_of("hub_pilot_diameter", heading) for heading in ("Value", "±"))
    cells = {f"Corner!{value}": text("66.5 ±0.02"), f"Corner!{half}": number(0.05)}
    return Made(with_cells(cells), "Corner", half)


@faulty("unreadable text", "hat_bore")
def class_that_does_not_exist() -> Made:
    return typed("hat_bore", text("66.6 H42"))


@faulty("unreadable text", "hat_bore")
def range_the_wrong_way_round() -> Made:
    return typed("hat_bore", text("66.65 to 66.60"))


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
