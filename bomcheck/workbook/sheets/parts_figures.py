"""The figures of a parts line as its formulas will give them, with what the user typed taken into account."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any

from bomcheck.parts.line import NO_SOURCE, TO_ORDER, WORK, Line
from bomcheck.workbook.sheets.kept import amount

PAID = (TO_ORDER, NO_SOURCE, WORK)


@dataclass(frozen=True, slots=True)
class Figures:
    """to_order [unit of the line]. packs [-], None where it is not bought in known packs. total [currency], None without
    a price. paid: whether it has a total at all.
    """

    to_order: float
    packs: float | None
    total: float | None
    paid: bool


def figures(line: Line, kept: Mapping[str, Any]) -> Figures:
    """kept: what the user typed in this line."""
    held = line.in_kit + line.on_car + line.on_shelf + (amount(kept, "on_hand") or 0.0)
    to_order = max(0.0, round(line.needed - held, 6))
    packs = float(ceil(round(to_order / line.pack_size, 6))) if line.status == TO_ORDER else None
    own, paid = amount(kept, "own_price"), line.status in PAID
    price = line.unit_price if own is None else own
    times = to_order if packs is None else packs
    return Figures(to_order, packs, round(times * price, 2) if paid and price is not None else None, paid)
