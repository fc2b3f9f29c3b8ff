"""One line of the parts list. Pure data."""

import re
from collections.abc import Mapping
from dataclasses import field
from decimal import ROUND_HALF_UP, Decimal
from math import ceil

from bomcheck.model.records import dataclass

IN_KIT, ON_CAR, ON_SHELF, TO_ORDER = "in kit", "on car", "on shelf", "to order"
NO_SOURCE, SURPLUS, ASK, WORK = "no source known", "surplus", "ask", "work"
HERE, PARTLY = "here", "partly here"
PACK = ", pack "  # behind the name of a line: its second and further kinds of pack
TINY = 1e-9
STATUSES = (IN_KIT, ON_CAR, ON_SHELF, TO_ORDER, NO_SOURCE, SURPLUS, ASK, WORK)


@dataclass(frozen=True, slots=True)
class Entries:
    """What the shop typed beside a line. on_hand, received [unit of the line]. price [currency] for one `price_per`. instead: (part
    number, description, how many) of what it took in the place of what was ordered."""

    on_hand: float = 0.0
    price: float | None = None
    price_per: str = ""
    supplier: str = ""
    received: float = 0.0
    note: str = ""
    instead: tuple[tuple[str, str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """What one kind of part needs, where it comes from and what is to be ordered; final, with the shop's entries counted in.

    key: role, place, side and ordinal; what the part must be is no part of it, so that measuring again moves nothing.
    spec: what it must be, in plain words. needed, in_kit, on_car, on_shelf, to_order: in `unit`; for a surplus line
    `in_kit` is what is left over. own: what the shop typed. listed_as: the status that it would have without what the shop
    has on hand, "" where that changes nothing. per: how the quantity comes about. pack_size [unit], packs [-]: what is
    bought. list_price [currency]: of one pack in the price list. container: what one pack is where its contents are not counted ("bottle"). unit_price [currency]: of one pack, the shop's own where it
    has one. line_total [currency]: packs times that; None where no price is known. lead_days [days]. one_time: never used again. status: one of STATUSES. sources: cells
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
    own: Entries = field(default_factory=Entries)
    listed_as: str = ""
    list_price: float | None = None
    container: str = ""

    @property
    def price_per(self) -> str:
        """What a price of this line is for: "each", "mL", "pack of 10 mL"."""
        return self.container or price_per(self.unit, self.pack_size if self.in_packs else None)

    @property
    def at_hand(self) -> float:
        """How much of what the shop has on hand this line takes [unit]."""
        open_ = self.needed - self.in_kit - self.on_car - self.on_shelf
        return round(max(0.0, min(self.own.on_hand, open_)), 6)

    @property
    def in_packs(self) -> bool:
        """Whether it is bought in packs that are known."""
        return TO_ORDER in (self.status, self.listed_as)

    @property
    def named(self) -> tuple[str, str]:
        """(description, part number) of what is there: what was taken in its place, beside it where both came."""
        took = self.own.instead if self.own.received else ()
        alone = (
            bool(took)
            and sum(count for _, _, count in took) >= self.needed - self.in_kit - self.on_car - self.on_shelf - 1e-6
        )
        words, numbers = [] if alone else [self.description or self.role], [] if alone else [self.part_number]
        words += [said or self.description or self.role for _, said, _ in took]
        numbers += [number for number, _, _ in took]
        return " and ".join(dict.fromkeys(words)), " and ".join(filter(None, dict.fromkeys(numbers)))

    @property
    def is_bought(self) -> bool:
        """Whether it goes into the order: what has no known source does once the shop has named a supplier for it."""
        if self.status == NO_SOURCE:
            return bool(self.own.supplier) and self.to_order > TINY
        return self.status == TO_ORDER and self.packs > 0

    @property
    def lack(self) -> float:
        """What its packs are for, what other lines take from them included [unit]."""
        lack = round(self.to_order + self.shared, 6)
        return lack if self.at_most is None else round(min(lack, self.ordered), 6)

    @property
    def whole_packs(self) -> float:
        """Packs of the whole order, however much of it came."""
        return self.packs if self.in_packs else self._packs_of(self.lack)

    @property
    def ordered(self) -> float:
        """What comes in whole packs [unit]."""
        return round(self.whole_packs * (self.pack_size or 1.0), 6)

    @property
    def came(self) -> float:
        """What came of the order [unit]; the kit's own are the first that come."""
        return round(min(self.ordered, max(0.0, self.own.received - self.in_kit)), 6) if self.is_bought else 0.0

    @property
    def still_lacks(self) -> float:
        """What must still be ordered, without what came [unit]."""
        return round(max(0.0, self.lack - self.came), 6)

    @property
    def still_packs(self) -> float:
        """The packs of that."""
        return self._packs_of(self.still_lacks) if self.came else self.whole_packs

    def _packs_of(self, amount: float) -> float:
        return float(ceil(round(amount / (self.pack_size or 1.0), 6)))

    @property
    def here(self) -> str:
        """Whether all that must come is here: "here", "partly here", "" for nothing so far, or nothing that must come."""
        must = self.in_kit + (self.ordered if self.is_bought else 0.0)
        if not must or not self.own.received:
            return ""
        return HERE if self.own.received >= must - 1e-6 else PARTLY


def price_per(unit: str, pack_size: float | None) -> str:
    """What one price is for; pack_size [unit]: None where it is not bought in known packs.

    >>> price_per("mL", 10.0), price_per("mL", None), price_per("each", 1.0), price_per("", 10.0)
    ('pack of 10 mL', 'mL', 'each', 'pack of 10')
    """
    bare = "" if unit in ("each", "") else unit
    if pack_size in (None, 1):
        return bare or "each"
    return f"pack of {pack_size:g} {bare}".strip()


def same_measure(one: str, other: str) -> bool:
    """Whether two prices are for the same: "per" in front, capitals and spaces do not count.

    >>> same_measure("per pack of 10 mL", "Pack of 10mL"), same_measure("mL", "pack of 10 mL")
    (True, False)
    """
    plain = [re.sub(r"^per ", "", text.strip().casefold()).replace(" ", "") for text in (one, other)]
    return plain[0] == plain[1]


def own_price(own: Entries, per: str) -> float | None:
    """The shop's own price for one `per`; None where it typed none, or one for something else.

    >>> own_price(Entries(price=1.2, price_per="mL"), "pack of 10 mL"), own_price(Entries(price=4.0), "each")
    (None, 4.0)
    """
    return own.price if same_measure(own.price_per or "each", per) else None


def entries_of(kept: Mapping[str, object]) -> Entries:
    """The entries by name of their column; what is no usable figure counts as not typed."""
    took = kept.get("instead")
    text = {key: str(kept.get(key) or "").strip() for key in ("own_price_per", "own_supplier", "own_note")}
    return Entries(
        amount(kept, "on_hand") or 0.0, amount(kept, "own_price"), text["own_price_per"], text["own_supplier"],
        amount(kept, "received") or 0.0, text["own_note"], took if isinstance(took, tuple) else (),
    )  # fmt: skip


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
    return float(half_up(value, 2))


def half_up(value: float, digits: int) -> Decimal:
    """Rounded to so many digits behind the point, halves up, of the 15 digits that a spreadsheet holds."""
    return Decimal(f"{value:.15g}").quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)


def amount(kept: Mapping[str, object], key: str) -> float | None:
    """A kept figure as a number; None where none, no number, or one below zero was typed.

    >>> amount({"on_hand": "2 "}, "on_hand"), amount({"on_hand": "two"}, "on_hand"), amount({"on_hand": -2}, "on_hand")
    (2.0, None, None)
    """
    value = kept.get(key)
    if isinstance(value, int | float):
        return float(value) if value >= 0 else None
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*", value) if isinstance(value, str) else None
    return float(found[1].replace(",", ".")) if found else None
