"""The figures of the parts lines as their formulas will give them, with what the user typed taken into account."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bomcheck.parts.cents import cents
from bomcheck.parts.counted import Counted, counted
from bomcheck.parts.line import NO_SOURCE, TO_ORDER, WORK, Line
from bomcheck.parts.typed import amount

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


def all_figures(lines: Sequence[Line], kept: Mapping[str, Mapping[str, Any]]) -> dict[str, Figures]:
    """By line. kept: what the user typed in each."""
    counts = counted(lines, kept)
    return {line.key: _figures(line, counts[line.key], kept.get(line.key, {})) for line in lines}


def _figures(line: Line, count: Counted, own: Mapping[str, Any]) -> Figures:
    typed, paid = amount(own, "own_price"), line.status in PAID
    price = line.unit_price if typed is None else typed
    times = count.lacking if count.packs is None else count.packs
    total = cents(times * price) if paid and price is not None else None
    return Figures(count.lacking, count.packs, total, paid)
