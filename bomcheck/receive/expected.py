"""What must come: what was ordered, and what the kit's box must hold."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

from bomcheck.export.order_rows import order_rows
from bomcheck.job import Job, Part
from bomcheck.parts.counting import per_unit
from bomcheck.parts.line import Line
from bomcheck.parts.typed import amount
from bomcheck.report import Report

BOX, ORDER = "the kit's box", "the order"
PACK_WORDS = ("pack", "packs", "pk", "pkt", "packet", "packets", "box", "boxes", "bag", "bags", "bottle", "bottles", "tube",
              "tubes", "can", "cans", "spool", "spools", "roll", "rolls")  # fmt: skip
PIECES = ("each", "pair", "set", "")


@dataclass
class Expected:
    """One thing that must come.

    quantity, came: in the unit of the line; `came` counts what the Parts list says was received before. part: as the box
    or the price list describes it, None where it is not there. pack_size, packs: of what was ordered.
    """

    line: Line
    source: str
    part_number: str
    quantity: float
    part: Part | None = None
    pack_size: float = 1.0
    packs: float = 0.0
    came: float = 0.0

    @property
    def missing(self) -> float:
        """What has not come yet [unit of the line]."""
        return max(0.0, round(self.quantity - self.came, 6))

    @property
    def name(self) -> str:
        """How it is named in a sentence."""
        number = f" [{self.part_number}]" if self.part_number else ""
        side = f" ({self.line.side})" if self.line.side in ("left", "right") else ""
        return f"{self.line.description or self.line.role}{number}{side}"

    def in_line_unit(self, quantity: float, unit: str) -> float:
        """A quantity of a slip in the unit of the line. Slips count packs or pieces; where none is named, what is ordered
        in packs is read as packs as long as no more of them came than were ordered.

        >>> one = Expected(Line("k", "shim", "shim", unit="each"), ORDER, "S", 20.0, pack_size=10.0, packs=2.0)
        >>> one.in_line_unit(2, ""), one.in_line_unit(20, ""), one.in_line_unit(5, "pcs")
        (20.0, 20.0, 5.0)
        """
        word = unit.lower().rstrip(".")
        if self.source == ORDER and self.pack_size != 1 and self._in_packs(quantity, word):
            return round(quantity * self.pack_size, 6)
        return round(quantity * self._factor(unit), 6)

    def _in_packs(self, quantity: float, word: str) -> bool:
        if word:
            return word in PACK_WORDS
        return self.line.unit not in PIECES or quantity <= self.packs

    def _factor(self, unit: str) -> float:
        """How many of the line's unit one of the slip's, or else of the box's, is."""
        known = unit if unit in ("pair", "set", "L", "mL", "m", "g") else (self.part.unit if self.part else "")
        factor = per_unit(self.line.role, known, self.line.unit) if self.source == BOX or unit else 1.0
        return 1.0 if factor is None or factor == inf else factor


def expected(report: Report, kept: Mapping[str, Mapping[str, Any]]) -> list[Expected]:
    """All that must come, what is needed before what is left over; `came` as the Parts list says."""
    rows = {str(row["line_key"]): row for row in order_rows(report, kept)}
    found: list[Expected] = []
    for line in report.parts:
        mine = [*_of_box(line, report.job), *_of_order(line, rows.get(line.key), report.job)]
        _count_received(mine, amount(kept.get(line.key, {}), "received") or 0.0)
        found += mine
    return found


def _of_box(line: Line, job: Job) -> Iterator[Expected]:
    left = line.in_kit
    rows = [part for part in job.box if str(part.place) and str(part.place) in line.sources]
    for part in rows:
        factor = per_unit(line.role, part.unit, line.unit) or 1.0
        has = left if part is rows[-1] or factor == inf else min(left, (part.quantity or 1.0) * factor)
        if has > 0:
            yield Expected(line, BOX, part.part_number, round(has, 6), part)
        left = round(left - has, 6)
    if left > 0:
        yield Expected(line, BOX, line.part_number, left)


def _of_order(line: Line, row: Mapping[str, Any] | None, job: Job) -> Iterator[Expected]:
    if row is not None:
        number = str(row["part_number"])
        part = next((one for one in job.prices if number and one.part_number == number), None)
        yield Expected(
            line, ORDER, number, float(row["quantity_ordered"]), part, float(row["pack_size"]), float(row["packs"])
        )


def _count_received(mine: Sequence[Expected], received: float) -> None:
    for one in mine:
        one.came = min(one.quantity, received)
        received = round(received - one.came, 6)
