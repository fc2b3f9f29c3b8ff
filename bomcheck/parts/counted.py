"""What is still lacking of each line, and how many packs that makes, once the shop's own stock is counted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Any

from bomcheck.parts.line import ASK, NO_SOURCE, ON_SHELF, TO_ORDER, Line
from bomcheck.parts.typed import amount

Typed = Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Counted:
    """lacking [unit of the line]. packs [-]: None where it is not bought in known packs."""

    lacking: float
    packs: float | None


def counted(lines: Sequence[Line], own: Typed) -> dict[str, Counted]:
    """By line. own: what the shop typed in the list, by line: what it has on hand counts."""
    found: dict[str, Counted] = {}
    gross = {line.key: _lacking(line, own.get(line.key, {})) for line in lines}
    for line in lines:
        lacking = _rest(line, lines, found) if line.rest_of else gross[line.key]
        together = lacking + sum(gross.get(key, 0.0) for key in line.also_for)
        found[line.key] = Counted(lacking, _packs(line, together))
    return found


def as_it_stands(lines: Sequence[Line], own: Typed) -> tuple[Line, ...]:
    """The lines with what the shop typed as on hand counted in: less to order, or nothing, which then lies on the shelf."""
    counts = counted(lines, own)
    return tuple(_net(line, counts[line.key], own.get(line.key, {})) for line in lines)


def _net(line: Line, count: Counted, own: Mapping[str, Any]) -> Line:
    held = amount(own, "on_hand") or 0.0
    if line.status not in (TO_ORDER, NO_SOURCE, ASK) or not (held or line.rest_of or line.also_for):
        return line
    shelf, packs = round(line.on_shelf + min(held, line.to_order), 6), count.packs or 0.0
    if held and not count.lacking and not packs:
        return replace(line, to_order=0.0, packs=0.0, on_shelf=shelf, status=ON_SHELF, part_number="", line_total=None)
    return replace(line, to_order=count.lacking, packs=packs or line.packs, on_shelf=shelf)


def _lacking(line: Line, own: Mapping[str, Any]) -> float:
    held = line.in_kit + line.on_car + line.on_shelf + (amount(own, "on_hand") or 0.0)
    return max(0.0, round(line.needed - held, 6))


def _rest(line: Line, lines: Sequence[Line], found: Mapping[str, Counted]) -> float:
    """What the packs of the line before it leave open."""
    before = next(one for one in lines if one.key == line.rest_of)
    count = found[before.key]
    return max(0.0, round(count.lacking - (count.packs or 0.0) * before.pack_size, 6))


def _packs(line: Line, together: float) -> float | None:
    if line.status != TO_ORDER:
        return None
    if line.out_of:
        return 0.0
    packs = float(ceil(round(together / (line.pack_size or 1.0), 6)))
    return packs if line.at_most is None else min(line.at_most, packs)
