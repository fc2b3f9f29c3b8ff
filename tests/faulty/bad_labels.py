"""Headings and labels that were changed, and cells beside them."""

from bomcheck.tables.fields import fields
from tests.faulty.faulty_job import Made, cell_of, faulty, put, typed
from tests.faulty.making import (
    number,
    text,
    with_cells,
)


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
    return Made(with_cells({f"Corner!{field}": text("none"), f"Corner!{heading}": text("none")}), "Corner", heading)
