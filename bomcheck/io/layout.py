"""Where everything stands in a job workbook: names of sheets, headings, order of columns.

The builder of the templates and the reader share this one description. Rows and columns count from 0. On every sheet
the first row is a title, the second the headings, and what is typed begins in the third.
"""

import re

from bomcheck.tables.fields import Field, part_fields, section_fields

START, JOB, CORNER, KIT, SYSTEM = "Start here", "Job", "Corner", "Kit", "System"
BOX, SHELF, PRICES, TERMS, LIMITS = "Box contents", "On hand", "Price list", "Supplier terms", "Limits"
LISTS = "Lists"
SHEETS = (START, JOB, CORNER, KIT, SYSTEM, BOX, SHELF, PRICES, TERMS, LIMITS)
FIELD_SHEETS = {JOB: "job", CORNER: "corner", KIT: "kit", SYSTEM: "system"}
SIDE_SHEETS = {"left": "Corner left", "right": "Corner right"}
AXLES = ("front", "rear")
OF_AXLE = (CORNER, KIT, BOX)
"""Sheets that a car with two kits has for each axle: "Kit front", "Kit rear"."""


def axle_sheet(name: str, axle: str) -> str:
    """The name of a sheet for one axle; as it is where the car has one kit.

    >>> axle_sheet("Kit", "rear"), axle_sheet("Corner left", "rear"), axle_sheet("Kit", "")
    ('Kit rear', 'Corner rear left', 'Kit')
    """
    first, _, rest = name.partition(" ")
    if not axle:
        return name
    return f"{name} {axle}" if name in OF_AXLE else " ".join(part for part in (first, axle, rest) if part)


KITS = ("A", "B", "C", "D", "E", "F")
"""Kits that may be compared in one job; the first stands on the sheets Kit and Box contents themselves."""
OF_KIT = (KIT, BOX)


def kit_sheet(name: str, letter: str) -> str:
    """The name of a sheet of one of the compared kits.

    >>> kit_sheet("Kit", "A"), kit_sheet("Box contents front", "B")
    ('Kit', 'Box contents front B')
    """
    return name if letter in ("", KITS[0]) else f"{name} {letter}"


AXLE_SHEETS = {axle: tuple(axle_sheet(one, axle) for one in (*OF_AXLE, *SIDE_SHEETS.values())) for axle in AXLES}
KIT_SHEETS = {
    kit_sheet(axle_sheet(name, axle), letter): (name, axle, letter)
    for letter in KITS[1:]
    for axle in ("", *AXLES)
    for name in OF_KIT
}
"""The sheets of the further kits: which of OF_KIT each is, of which axle and which kit."""
TITLE_ROW, HEADING_ROW, FIRST_ROW = 0, 1, 2
TABLE_ROWS, TERM_ROWS = 60, 12
FIELD_HEADINGS = ("What", "Value", "Unit", "±", "From", "Usual ± and instrument", "What exactly, and where")
WHAT, VALUE, UNIT, PLUS_MINUS, FROM, USUAL, HELP = range(7)
LIMIT_HEADINGS = ("What", "Low", "High", "Unit", "Your low", "Your high", "Source", "What it is for")
LIMIT_WHAT, LIMIT_LOW, LIMIT_HIGH, LIMIT_UNIT, YOUR_LOW, YOUR_HIGH, LIMIT_SOURCE, LIMIT_USE = range(8)
_OFFER = ("supplier", "unit_price", "unit", "pack_size", "lead_days")
_SIZES = ("thread", "end_a", "end_b", "length", "thickness", "inner_diameter", "outer_diameter", "class", "road_marked")
TABLES: dict[str, tuple[str, ...]] = {
    BOX: ("role", "part_number", "description", "quantity", "unit", "side", *_SIZES, "note"),
    SHELF: ("role", "part_number", "description", "on_hand", "unit", "side", *_SIZES, "note"),
    PRICES: ("role", "part_number", "description", *_OFFER, "side", *_SIZES, "note"),
}
TERM_COLUMNS = ("supplier", "freight", "minimum_order", "note")
_BARE_UNITS = ("", "-")
_SHOWS_UNIT = ("number", "bores", "shims", "pairs")


def groups(section: str) -> dict[str, list[Field]]:
    """The fields of a section under their headings, in the order of the sheet."""
    found: dict[str, list[Field]] = {}
    for field in section_fields(section):
        found.setdefault(field.group, []).append(field)
    return found


def unit_text(field: Field, system: str) -> str:
    """What stands in the unit's cell; empty for names, texts and plain numbers. system: "metric" or "inch"."""
    unit = field.shown_unit(system)
    return unit if field.notation in _SHOWS_UNIT and unit not in _BARE_UNITS else ""


def part_table_columns(sheet: str, system: str) -> list[tuple[Field, str]]:
    """The columns of Box contents, On hand or Price list: (field, heading), lengths with their unit."""
    return [(part_fields()[key], part_heading(part_fields()[key], system)) for key in TABLES[sheet]]


def part_heading(field: Field, system: str) -> str:
    """A table's heading, "Length [mm]" where the column has a unit."""
    unit = unit_text(field, system)
    return f"{field.label} [{unit}]" if unit else field.label


def split_heading(text: str) -> tuple[str, str]:
    """Label and unit of a table's heading; the unit is "" where none stands.

    >>> split_heading("Length [mm]")
    ('Length', 'mm')
    """
    found = re.fullmatch(r"\s*(.*?)\s*(?:[\[(]\s*([^\])]*?)\s*[\])])?\s*", text, re.DOTALL)
    return (found.group(1), found.group(2) or "") if found else (text.strip(), "")


BLACK, WHITE = "#000000", "#FFFFFF"
ORANGE, SKY, GREEN, YELLOW = "#E69F00", "#56B4E9", "#009E73", "#F0E442"
BLUE, VERMILLION, PURPLE = "#0072B2", "#D55E00", "#CC79A7"
INK, QUIET, RULE = "#1F2933", "#5F6B76", "#B8C2CC"
BROWN, RUST, TAN, OCHRE, NAVY = "#7A4A1E", "#A0522D", "#C08A4A", "#B87300", "#1F3F66"
PALE_YELLOW, PALE_SKY, PALE_BLUE, PALE_GREY = "#FCF8D2", "#DDF0FB", "#E8F1F8", "#F2F4F6"
PALE_ORANGE, PALE_GREEN, PALE_VERMILLION, PALE_PURPLE = "#FBECCC", "#D5F0E7", "#FBE0CF", "#F6E4EE"


def colour(name: str) -> str:
    """The colour that a table names; one that it writes out stays."""
    return str(globals().get(name.upper(), name))


# verdict -> (fill, ink of the word on it)
VERDICT_COLOURS = {
    "fits": (GREEN, WHITE), "fits with parts": (SKY, BLACK), "needs machining": (ORANGE, BLACK),
    "does not fit": (VERMILLION, WHITE), "not known": (YELLOW, BLACK), "does not apply": (PALE_GREY, QUIET),
}  # fmt: skip


def is_usable(at: str) -> str:
    """Condition that a figure stands there that can be used. at: address of the cell."""
    return f"AND(ISNUMBER({at}),{at}>=0)"


def counts_as(at: str) -> str:
    """The figure there; 0 for none that can be used: MAX passes over a text in a cell. at: address of the cell."""
    return f"MAX(0,{at})"
