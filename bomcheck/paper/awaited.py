"""What must come, what of it has come, and whether all is here. Pure data."""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from math import ceil, inf

from bomcheck.model.demand import Demand
from bomcheck.model.job import Job, Part
from bomcheck.model.line import ASK, NO_SOURCE, SURPLUS, TINY, Line
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.notation.units import spelled
from bomcheck.paper.fit_up import written_against
from bomcheck.paper.order_rows import lacking, left_out
from bomcheck.supply.counting import PADS_IN_SET, per_unit

BOX, ORDER = "the kit's box", "the order"
MOST_NAMED = 3  # things without a day
NO_MEASURE = ("", "pc", "pcs", "piece", "pieces", "each", "ea", "off", "no", "nos", "x", "stk", "stück", "pz", "szt")
_OF = r"(\d+(?:[.,]\d+)?)\s*([a-zü]*)"
_CAN = "pack|pk|pck|pkt|pkg|packet|package|box|boxe|bag|bottle|tube|can|tin|spool|roll|cartridge|carton|blister|sachet|packung|beutel|dose|karton|rolle|flasche|vpe"
PACK = re.compile(rf"(?:{_OF}(?:[\s/-]|per)*)?(?:{_CAN})s?\.?(?:(?:of|[\s/x@(-])*{_OF}\)?)?", re.IGNORECASE)
"""How suppliers write one pack and what it holds: "pack of 10", "75 g tube", "10-pack", "pkt/10", "box"."""
PIECES = ("each", "pair", "set", "")


@dataclass
class Expected:
    """One thing that must come.

    quantity, came: in the unit of the line; `came` counts what the Parts list says was received before. part: as the box
    or the price list describes it, None where it is not there. pack_size, packs: of what was ordered. job: which of
    several jobs it is for. demand: what it must serve.
    """

    line: Line
    source: str
    part_number: str
    quantity: float
    part: Part | None = None
    pack_size: float = 1.0
    packs: float = 0.0
    came: float = 0.0
    job: int = 0
    demand: Demand | None = None

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

    def unit_of(self, unit: str, quantity: float, among: Sequence["Expected"] = ()) -> float | None:
        """How many of the line's unit one of the slip's is; None where it may be one or a pack: that is asked. among: all that has
        this number. What is measured (g, L, m) is sold in packs; a bare number of it that can only be the amount is the amount.

        >>> one = Expected(Line("k", "shim", "shim", unit="each"), ORDER, "S", 20.0, pack_size=10.0, packs=2.0)
        >>> one.unit_of("packs", 2), one.unit_of("", 20), one.unit_of("pcs", 5), one.unit_of("", 2), one.unit_of("pack of 5", 1)
        (10.0, 1.0, 1.0, None, 5.0)
        """
        word, size, measured = unit.lower().strip(" ."), self.size_of(unit), self.line.unit not in PIECES
        ordered = [one for one in among or [self] if one.source == self.source]
        packs, amount = sum(one.packs for one in ordered), sum(one.quantity for one in ordered)
        is_amount = quantity <= amount and round(quantity / size, 6).is_integer()
        if (
            word
            and word in NO_MEASURE
            and quantity == {"set": PADS_IN_SET, "pair": 2}.get(self.line.unit, 0) * amount > 0
        ):
            return None
        if PACK.fullmatch(word):
            stated = any(sign.isdigit() for sign in word)
            return None if stated and is_amount and quantity * size > amount else size
        if self.source == ORDER and self.pack_size != 1 and word in NO_MEASURE:
            if measured and is_amount != (quantity <= packs):
                return 1.0 if is_amount else size
            if measured:
                return size if word else None
            return None if not word and quantity <= packs else 1.0
        known = self._each(word) if word and word not in NO_MEASURE else None
        if known is None and self.source == BOX and self.part:
            known = per_unit(self.line.role, self.part.unit, self.line.unit)
        odd = known is None and word not in NO_MEASURE and self.source == ORDER and self.pack_size != 1
        return None if odd else 1.0 if known in (None, inf) else known

    def size_of(self, unit: str) -> float:
        """How many of the line's unit a pack holds: as the slip states it, else as it was ordered."""
        found = PACK.fullmatch(unit.lower().strip(" ."))
        number, measure = (found[1] or found[3], found[2] or found[4] or "") if found else (None, "")
        each = 1.0 if measure in NO_MEASURE else self._each(measure)
        return (float(number.replace(",", ".")) * each if number and each else 0.0) or self.pack_size

    def _each(self, word: str) -> float | None:
        """How many of the line's unit one of a measure is."""
        if word.rstrip("s") in PIECES:
            found = per_unit(self.line.role, word.rstrip("s"), self.line.unit)
            return None if found in (None, inf) else found
        named = {unit.quantity: unit.factor for unit in spelled(word)}
        own = (
            round(named[unit.quantity] / unit.factor, 9) for unit in spelled(self.line.unit) if unit.quantity in named
        )
        return next(own, None)


def expected(report: Report, job: int = 0) -> list[Expected]:
    """All that must come, what is needed before what is left over; `came` as the Parts list says."""
    found: list[Expected] = []
    for line in report.parts:
        mine = [*_of_box(line, report.job), *_of_order(line, report.job)]
        received = line.own.received
        for one in mine:
            one.job, one.came = job, min(one.quantity, received)
            one.demand = report.buying.wanted.get(line.rest_of or line.key) if report.buying else None
            received = round(received - one.came, 6)
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


def _of_order(line: Line, job: Job) -> Iterator[Expected]:
    if line.is_bought:
        number = line.part_number
        part = next((one for one in job.prices if number and one.part_number == number), None)
        yield Expected(line, ORDER, number, line.ordered, part, line.pack_size or 1.0, line.whole_packs)


def number_of(text: str) -> str:
    """A part number for comparing: capitals, spaces and the kind of dash do not count.

    >>> number_of("rk–r280 l") == number_of("RK-R280L"), number_of("10-1") == number_of("101")
    (True, False)
    """
    return re.sub(r"\s+", "", re.sub(r"[‐‑‒–—−]", "-", text)).casefold()


READY, MISSING, MEASURE = 0, 1, 3


@dataclass(frozen=True)
class Ready:
    """Whether work can begin. status: 0 all here and no question open, 1 missing, 3 something to measure. said: the first
    line. lines: what is missing, and what is open, a sentence each. begun: whether anything came already."""

    status: int
    said: str
    lines: tuple[str, ...]
    begun: bool


def ready(report: Report, today: date | None) -> Ready:
    """What is missing, and by when it can be here. today: None for no days."""
    things = expected(report)
    short = [one for one in things if one.missing and one.line.status != SURPLUS]  # what is left over holds nothing up
    asked = left_out(report)
    count = len({one.line.key for one in short}) + sum(
        line.status == NO_SOURCE for line in report.parts if not line.is_bought and line.to_order > line.own.received
    )
    days = delivery(report, today)
    due = {id(one): days.after(days.of(one)) for one in short}
    lines = [f"{missing_words(one)}{f', due {due[id(one)]}' if due[id(one)] else ''}" for one in short]
    lines += [f"Not ordered: {text}" for text in asked]
    questions = [one.ask for one in report.questions]
    begun, bench = any(one.came for one in things), tuple(written_against(report))
    if count:
        return Ready(MISSING, f"{parts(count)} missing{_due(days, short, count, today)}", (*lines, *questions), begun)
    if bench:
        return Ready(MISSING, "All here, but look at what the bench wrote", (*lines, *bench, *questions), begun)
    if report.verdict is Verdict.DOES_NOT_FIT:
        return Ready(MISSING, "All here, but it does not fit", (*lines, *questions), begun)
    if questions or asked or report.verdict is Verdict.NOT_KNOWN:
        number = len(questions) + len(asked)
        verb = "1 thing is" if number == 1 else f"{number} things are"
        return Ready(MEASURE, f"All here, but {verb} still to be measured or asked", (*lines, *questions), begun)
    work = ", ".join(line.description for line in report.parts if line.role == "machining" and line.needed > 0)
    return Ready(READY, f"All here; before fitting: {work}" if work else "All here", (), begun)


def parts(count: int) -> str:
    """ "1 part", "3 parts"."""
    return "1 part" if count == 1 else f"{count} parts"


def missing_words(one: Expected) -> str:
    """ "1 of 2 x hose [H-1], from the order"."""
    unit = "" if one.line.unit in ("each", "") else f" {one.line.unit}"
    of = f" of {one.quantity:g}{unit}" if one.came else ""
    return f"{one.missing:g}{unit}{of}{' x' if not unit else ''} {one.name}, from {one.source}"


@dataclass(frozen=True)
class Delivery:
    """When what must still come can be here. start: the day on which it is ordered, None where no day is known. days: by what it is
    called, from the order until it is here, None where nobody says. kits: of the kits, by axle. ordered: whether it was."""

    start: date | None
    days: Mapping[str, float | None]
    kits: Mapping[str, float | None]
    ordered: bool

    @property
    def last(self) -> float | None:
        """Days until all of which the delivery is known is here; None where it is of nothing."""
        return max((days for days in self.days.values() if days is not None), default=None)

    @property
    def open(self) -> tuple[str, ...]:
        """What has no known day."""
        return tuple(name for name, days in self.days.items() if days is None)

    @property
    def day(self) -> date | None:
        """The day of that."""
        return self.after(self.last)

    def after(self, days: float | None) -> date | None:
        """The day on which it is here."""
        return None if days is None or self.start is None else self.start + timedelta(days=ceil(days))

    def of(self, one: Expected) -> float | None:
        """Days until one of the things is here; of the kit's box those of its kit."""
        mine = [days for axle, days in self.kits.items() if axle == one.line.axle] or list(self.kits.values())
        of_kit = None if None in mine else max(filter(None, mine), default=0.0)
        return one.line.lead_days if one.source == ORDER else of_kit

    def said(self, more: str = "") -> str:
        """ "2026-12-03; no day is known of the kit", "" where nothing must come. more: behind the day."""
        day = f"{self.day or f'in {self.last:g} days'}{more}" if self.last is not None else ""
        more = f" and {len(self.open) - MOST_NAMED} more" if len(self.open) > MOST_NAMED else ""
        return "; ".join(
            filter(None, (day, f"no day is known of {', '.join(self.open[:MOST_NAMED])}{more}" if self.open else ""))
        )


def delivery(report: Report, today: date | None) -> Delivery:
    """The one place that says when the parts are here: the kit by the Job sheet, else by the price list's row of its number."""
    job, days = report.job, dict[str, float | None]()
    kits = {str(one.get("axle") or ""): _kit_days(one) for one in job.each_axle}
    found = Delivery(job.get("ordered_on") or today, days, kits, "ordered_on" in job.values)
    to_come = [
        ("the kit", _kit_days(one)) for one in job.each_axle if not one.box and (one is job or one.get("kit_number"))
    ]
    to_come += [
        ("the kit" if one.source == BOX else _name(one.line), found.of(one)) for one in expected(report) if one.missing
    ]
    to_come += [
        (_name(line), None)
        for line in report.parts
        if line.status in (NO_SOURCE, ASK) and not line.is_bought and lacking(line) > TINY
    ]
    for name, one in to_come:
        before = days.get(name, 0.0)
        days[name] = None if one is None or before is None else max(before, one)
    return found


def _name(line: Line) -> str:
    return line.description or line.role


def _kit_days(job: Job) -> float | None:
    number = number_of(str(job.get("kit_number") or ""))
    listed = [part.lead_days for part in job.prices if number and number_of(part.part_number) == number]
    typed: float | None = job.get("kit_lead_days", next(iter(listed), None))
    return typed


def _due(days: Delivery, short: Sequence[Expected], count: int, today: date | None) -> str:
    """The last of the days; how many have none."""
    if today is None or days.day is None:
        return ""
    unknown = count - len({one.line.key for one in short if days.of(one) is not None})
    last = day_name(days.day, today)
    return f", due {last}" if not unknown else f", {count - unknown} of them due {last}, {unknown} on no known day"


def day_name(day: date, today: date) -> str:
    """The weekday where it is within the week, else the date.

    >>> day_name(date(2026, 12, 3), date(2026, 11, 30)), day_name(date(2026, 12, 30), date(2026, 11, 30))
    ('Thursday', '2026-12-30')
    """
    return f"{day:%A}" if 0 < (day - today).days < 7 else "today" if day == today else day.isoformat()
