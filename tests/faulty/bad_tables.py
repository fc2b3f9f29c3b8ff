"""Lines of tables and limits that cannot be used."""

from bomcheck.model.limits import house_limits
from tests.faulty.faulty_job import Made, faulty, in_table, own_limit, put
from tests.faulty.making import (
    address,
    column,
    day,
    job_bytes,
    number,
    text,
    with_cells,
)


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
