"""What must come: what was ordered, and what the kit's box must hold."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Any

from bomcheck.io.order.rows import order_rows
from bomcheck.io.receive.slip import Slip, SlipLine, denied
from bomcheck.model.job import Job, Part
from bomcheck.model.line import Line, amount
from bomcheck.model.report import Report
from bomcheck.supply.counting import per_unit

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


CAME, WRONG, SURPLUS, UNKNOWN = "came", "wrong", "surplus", "unknown"
OTHER = {"left": "right", "right": "left"}
TINY = 1e-6


@dataclass
class Result:
    """quantity: in the unit of the expected line, of the slip where there is none. why: in words, "" for what simply came."""

    line: SlipLine
    word: str
    quantity: float
    thing: Expected | None = None
    why: str = ""


@dataclass
class Received:
    """results: of every line of the slip. added: what came, by line of the parts list [its unit]."""

    results: list[Result] = field(default_factory=list)
    added: dict[str, float] = field(default_factory=dict)


def receive(slip: Slip, things: Sequence[Expected]) -> Received:
    """Book a slip on what is expected; `came` of the things grows."""
    done = Received()
    for line in slip.lines:
        if line.quantity > 0:
            _book(line, things, done)
    _explain_surplus(things, done)
    return done


def _book(line: SlipLine, things: Sequence[Expected], done: Received) -> None:
    found, by_number = _candidates(line, things)
    if not found:
        done.results.append(Result(line, UNKNOWN, line.quantity, None, "neither ordered nor in the kit's box"))
        return
    against = _against(line, found, by_number)
    if against:
        done.results.append(Result(line, WRONG, line.quantity, found[0], against))
        return
    _fill(line, _on_side(line, found), done)


def _candidates(line: SlipLine, things: Sequence[Expected]) -> tuple[list[Expected], bool]:
    """(what the line may be, whether its number says so); by its words only where the number is not known."""
    number = _number(line.part_number)
    found = [one for one in things if number and number == _number(one.part_number)]
    if found:
        return found, True
    alike = [
        one for one in things if _words(line.description) and _words(line.description) == _words(one.line.description)
    ]
    sided = [one for one in alike if not line.side or one.line.side in (line.side, "either")]
    exact = [one for one in sided or alike if one.part is not None and not list(denied(line.said, one.part))]
    return exact or sided or alike, False


def _number(text: str) -> str:
    """A part number for comparing: capitals, spaces and the kind of dash do not count.

    >>> _number("rk–r280 l") == _number("RK-R280L"), _number("10-1") == _number("101")
    (True, False)
    """
    return re.sub(r"\s+", "", re.sub(r"[‐‑‒–—−]", "-", text)).casefold()


def _words(text: str) -> frozenset[str]:
    """The words of a description without figures and sides."""
    words = re.findall(r"[^\W\d_]{2,}", text.casefold())
    return frozenset(
        word for word in words if word not in ("left", "right", "lh", "rh", "mm", "for", "the", "of", "with")
    )


def _against(line: SlipLine, found: Sequence[Expected], by_number: bool) -> str:
    """What speaks against it, "" if nothing."""
    named = next((one for one in found if one.part is not None), None)
    wrong = list(denied(line.said, named.part)) if named is not None and named.part is not None else []
    if wrong:
        return ", ".join(wrong)
    if line.side and all(one.line.side == OTHER[line.side] for one in found):
        return f"the slip says {line.side}, the {found[0].line.side} one is expected under this number"
    if not by_number and line.part_number and found[0].part_number:
        return f"its number is not the expected {found[0].part_number}; if it is the same part, tick it by hand"
    return ""


def _on_side(line: SlipLine, found: list[Expected]) -> list[Expected]:
    if not line.side:
        return found
    return [one for one in found if one.line.side != OTHER[line.side]]


def _fill(line: SlipLine, found: Sequence[Expected], done: Received) -> None:
    left = found[0].in_line_unit(line.quantity, line.unit)
    for one in found:
        taken = min(left, one.missing)
        if taken > TINY:
            one.came = round(one.came + taken, 6)
            left = round(left - taken, 6)
            done.results.append(Result(line, CAME, taken, one))
            done.added[one.line.key] = round(done.added.get(one.line.key, 0.0) + taken, 6)
    if left > TINY:
        done.results.append(Result(line, SURPLUS, left, found[-1], "more than was expected"))


def _explain_surplus(things: Sequence[Expected], done: Received) -> None:
    """Too many of one side while the other is missing: two left rotors."""
    for result in done.results:
        thing = result.thing
        if result.word != SURPLUS or thing is None or thing.line.side not in OTHER:
            continue
        twin = next((one for one in things if _is_twin(one, thing)), None)
        if twin is not None:
            side = thing.line.side
            result.word = WRONG
            result.why = (
                f"{_count(thing.came + result.quantity)} {side} ones came, and the {OTHER[side]} one is missing"
            )


def _is_twin(one: Expected, thing: Expected) -> bool:
    return one.missing > TINY and one.line.role == thing.line.role and one.line.side == OTHER[thing.line.side]


def _count(number: float) -> str:
    return {2.0: "two", 3.0: "three", 4.0: "four"}.get(number, f"{number:g}")


@dataclass(frozen=True, slots=True)
class Receipt:
    """One result of one line of a slip; day: ISO, "" if not known; quantity with its unit, in words. mark: of the slip."""

    slip: str
    day: str
    part_number: str
    description: str
    quantity: str
    side: str
    result: str
    why: str
    mark: str


def receipts_of(slip: Slip, done: Received, day: str) -> list[Receipt]:
    """The receipts of a slip that was just booked."""
    made = []
    for one in done.results:
        unit = one.thing.line.unit if one.thing is not None and one.word != "unknown" else one.line.unit
        count = f"{one.quantity:g}" + ("" if unit in ("each", "") else f" {unit}")
        words = (one.line.part_number, one.line.description, count, one.line.side, one.word, one.why, slip.mark)
        made.append(Receipt(slip.name, day, *words))
    return made
