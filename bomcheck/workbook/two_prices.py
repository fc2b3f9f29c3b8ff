"""Rows of the price list that give two prices for one part."""

from collections import defaultdict
from dataclasses import replace
from typing import Any

from bomcheck.workbook.found import Found
from bomcheck.workbook.read_tables import PartLine


def drop_prices_that_disagree(found: Found, lines: list[PartLine]) -> list[PartLine]:
    """The price list with the prices taken out that contradict one another; `found` is that sheet's."""
    same: dict[tuple[Any, ...], list[int]] = defaultdict(list)
    for index, line in enumerate(lines):
        part = line.part
        if part.part_number and part.unit_price is not None:
            key = (part.role, part.part_number, part.supplier, part.pack_size, part.unit, part.lead_days)
            same[key].append(index)
    for indexes in same.values():
        first = lines[indexes[0]]
        other = next((lines[i] for i in indexes if lines[i].part.unit_price != first.part.unit_price), None)
        if other is not None:
            _two_prices(found, first, other)
            for index in indexes:
                lines[index] = replace(lines[index], part=replace(lines[index].part, unit_price=None))
    return lines


def _two_prices(found: Found, first: PartLine, other: PartLine) -> None:
    prices = [f"{line.part.unit_price:g} ({line.cells['unit_price']})" for line in (first, other)]
    wrong = (
        f"{first.part.part_number} has two prices from the same supplier, {prices[0]} and {prices[1]}; neither is used"
    )
    typed = f"{first.part.unit_price:g}"
    found.fault(
        "entries disagree", first.cells["unit_price"], typed, wrong, "Delete the line that is out of date", "unit_price"
    )
