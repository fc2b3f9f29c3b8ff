"""The columns of an order: name in files, title for people, type, and what each holds."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """type: of Table Schema: "string", "number", "integer" or "date"."""

    name: str
    title: str
    type: str
    description: str


COLUMNS = (
    Column(
        "line_key", "Line", "string", "Name of the line, the same on every run; by it a line of an axle is known again"
    ),
    Column("job_number", "Job number", "string", "The shop's own number of the job"),
    Column("vehicle_label", "Vehicle", "string", "What the shop calls the car"),
    Column("axle", "Axle", "string", "front or rear, and the side where only one is ordered for"),
    Column("side", "Side", "string", "left, right or either"),
    Column("role", "Role", "string", "What the part is"),
    Column("part_number", "Part number", "string", "The supplier's number, always text"),
    Column("supplier", "Supplier", "string", "Who it is bought from"),
    Column("description", "Description", "string", "The part in words"),
    Column("spec", "What it must be", "string", "Thread, length, ends, sizes, strength"),
    Column("unit", "Unit", "string", "Unit of the quantities"),
    Column("quantity_needed", "Quantity needed", "number", "What is short, in the unit"),
    Column("pack_size", "Pack size", "number", "Units in one pack"),
    Column("packs", "Packs", "integer", "Packs to order, rounded up once for the car"),
    Column("quantity_ordered", "Quantity ordered", "number", "Packs times pack size, in the unit"),
    Column("price_each", "Price of one", "number", "Price of one unit: the price of a pack divided by its size"),
    Column("price_per_pack", "Price per pack", "number", "Price of one pack, without tax"),
    Column("line_total", "Line total", "number", "Packs times the price of a pack"),
    Column("currency", "Currency", "string", "Currency of the prices"),
    Column("lead_days", "Lead days", "number", "Days from order to arrival"),
    Column("needed_by", "Needed by", "date", "Day by which it is needed"),
    Column("used_at", "Used at", "string", "Where in the assembly it is used"),
    Column("reason", "Reason", "string", "Why it is needed"),
    Column("note", "Note", "string", "Note of the shop"),
)
BY_NAME = {column.name: column for column in COLUMNS}
