"""The figures of a parts line as its formulas will give them, with what the user typed taken into account."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any

from bomcheck.parts.line import NO_SOURCE, TO_ORDER, WORK, Line
from bomcheck.workbook.sheets.kept import amount


@dataclass(frozen=True, slots=True)
class Figures:
    """to_order [unit of the line]. packs [-]. total [currency], None without a price. buys: whether packs are counted."""

    to_order: float
    packs: float
    total: float | None
    buys: bool


def figures(line: Line, kept: Mapping[str, Any]) -> Figures:
    """kept: what the user typed in this line."""
    held = line.in_kit + line.on_car + line.on_shelf + (amount(kept, "on_hand") or 0.0)
    to_order = max(0.0, round(line.needed - held, 6))
    buys = line.status in (TO_ORDER, NO_SOURCE) and line.pack_size > 0
    packs = float(ceil(round(to_order / line.pack_size, 6))) if buys else 0.0
    own = amount(kept, "own_price")
    price = line.unit_price if own is None else own
    times = packs if buys else to_order if line.status == WORK else None
    return Figures(to_order, packs, None if price is None or times is None else round(times * price, 2), buys)
