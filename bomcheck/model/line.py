"""One line of the parts list. Pure data."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

IN_KIT, ON_CAR, ON_SHELF, TO_ORDER = "in kit", "on car", "on shelf", "to order"
NO_SOURCE, SURPLUS, ASK, WORK = "no source known", "surplus", "ask", "work"
STATUSES = (IN_KIT, ON_CAR, ON_SHELF, TO_ORDER, NO_SOURCE, SURPLUS, ASK, WORK)


@dataclass(frozen=True, slots=True)
class Line:
    """What one kind of part needs, where it comes from and what is to be ordered.

    key: stays the same from run to run. spec: what it must be, in plain words. needed, in_kit, on_car, on_shelf,
    to_order: in `unit`; for a surplus line `in_kit` is what is left over. per: how the quantity comes about. pack_size
    [unit], packs [-]: what is bought. unit_price [currency]: of one pack. line_total [currency]: packs times that; both
    None where no price is known. lead_days [days]. one_time: never used again. status: one of STATUSES. sources: cells
    of the box, shelf and price lines that the line is made of. also_for: names of lines that take from this one's packs,
    shared [unit]: how much; out_of: the name of the line whose packs this one takes from. at_most: packs of this kind at most, where rest_of,
    the name of the line before, says that another kind of pack holds the rest. axle: of a car with two kits, for which it is, "" for both. None and "" where nothing of this applies.
    """

    key: str
    role: str
    description: str
    spec: str = ""
    side: str = "either"
    needed: float = 0.0
    per: str = ""
    in_kit: float = 0.0
    on_car: float = 0.0
    on_shelf: float = 0.0
    to_order: float = 0.0
    unit: str = "each"
    pack_size: float = 1.0
    packs: float = 0.0
    part_number: str = ""
    supplier: str = ""
    unit_price: float | None = None
    line_total: float | None = None
    lead_days: float | None = None
    one_time: bool = False
    reason: str = ""
    used_at: str = ""
    status: str = IN_KIT
    note: str = ""
    sources: tuple[str, ...] = ()
    also_for: tuple[str, ...] = ()
    shared: float = 0.0
    out_of: str = ""
    at_most: float | None = None
    rest_of: str = ""
    axle: str = ""

    @property
    def ordered(self) -> float:
        """What comes in whole packs [unit]."""
        return self.packs * self.pack_size

    @property
    def left_over(self) -> float:
        """What stays of the packs [unit]."""
        return round(max(0.0, self.ordered - self.to_order - self.shared), 6) if self.packs else 0.0

    @property
    def is_ordered(self) -> bool:
        """Whether it goes into the order."""
        return self.status == TO_ORDER


def same_name(one: str, other: str) -> bool:
    """Whether two names mean the same supplier; capitals and spaces do not count.

    >>> same_name("Supplier  b ", "supplier B"), same_name("A", "B")
    (True, False)
    """
    return one.casefold().split() == other.casefold().split()


def cents(value: float) -> float:
    """Rounded as a spreadsheet's ROUND(x, 2) does: half up, of the 15 digits that a spreadsheet holds.

    >>> cents(1.005), cents(3 * 1.115)
    (1.01, 3.35)
    """
    return float(Decimal(f"{value:.15g}").quantize(Decimal("0.01"), ROUND_HALF_UP))


def amount(kept: Mapping[str, Any], key: str) -> float | None:
    """A kept figure as a number; None where none, no number, or one below zero was typed.

    >>> amount({"on_hand": "2 "}, "on_hand"), amount({"on_hand": "two"}, "on_hand"), amount({"on_hand": -2}, "on_hand")
    (2.0, None, None)
    """
    value = kept.get(key)
    if isinstance(value, int | float):
        return float(value) if value >= 0 else None
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*", value) if isinstance(value, str) else None
    return float(found[1].replace(",", ".")) if found else None
