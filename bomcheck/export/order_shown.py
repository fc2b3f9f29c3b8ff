"""How a line reads in the shop's columns. Without a column for unit or pack, "400" of a grease would be 400 cartridges."""

from collections.abc import Mapping
from typing import Any

from bomcheck.export.order_mapping import ColumnMap

Line = Mapping[str, Any]
QUANTITIES, SIZES = ("quantity_ordered", "quantity_needed"), ("unit", "pack_size")
SAID = "The sheet has no column for unit or pack, so quantities are packs and prices are those of a pack"
IN_WORDS = 'the description says what is in one ("..., pack of 400 g")'


def said_of_packs(mapping: ColumnMap) -> list[str]:
    """What to tell of it on the first run."""
    if not in_packs(mapping):
        return []
    return [f"{SAID}; {IN_WORDS}" if mapping.has(("description",)) else SAID]


def in_packs(mapping: ColumnMap) -> bool:
    """Whether quantity and price must be those of packs to be understood."""
    return not mapping.has(SIZES) and not (mapping.has(("packs",)) and mapping.has(QUANTITIES))


def shown(line: Line, mapping: ColumnMap) -> Line:
    """The line as this sheet takes it."""
    return packed(line) if in_packs(mapping) else line


def packed(line: Line) -> Line:
    """Quantity and price by the pack, and what is in a pack behind the description."""
    content = pack_words(line)
    if not content:
        return line
    packs, description = line["packs"], f"{line['description']}, {content}"
    by_pack = {"quantity_ordered": packs, "quantity_needed": packs, "price_each": line["price_per_pack"]}
    return {**line, **by_pack, "description": description}


def pack_words(line: Line) -> str:
    """What one pack holds; "" for single pieces.

    >>> pack_words({"pack_size": 400.0, "unit": "g"}), pack_words({"pack_size": 4.0, "unit": "each"})
    ('pack of 400 g', 'pack of 4')
    """
    size, unit = float(line["pack_size"] or 1), "" if line["unit"] == "each" else str(line["unit"])
    return "" if size == 1 and not unit else f"pack of {size:g} {unit}".rstrip()
