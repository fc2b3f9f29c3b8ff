"""What one check found: the verdict, how it is known, and what to do. Pure data; sentences are made here, once."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from enum import StrEnum

from bomcheck.model.box import Range
from bomcheck.model.demand import Demand
from bomcheck.model.limits import Limit
from bomcheck.model.records import dataclass
from bomcheck.model.verdict import Verdict


class Reason(StrEnum):
    """Why a finding is not simply that all is well. A closed list: programs compare it, never the sentences."""

    NONE = ""
    BLANK = "blank"
    REJECTED = "rejected"
    UNCLEAR = "unclear"
    OUTSIDE_TABLE = "outside the table"
    STRADDLES = "straddles"
    OUTSIDE_LIMIT = "outside the limit"
    DIFFERS = "differs"
    SHIMS = "shims"
    NO_COMMON_STACK = "no common stack"
    PARTS_MISSING = "parts missing"
    NO_REST = "remedies do not come to rest"
    OTHER_ARRANGEMENT = "other arrangement"
    NOT_ENTERED = "nothing entered"
    WAITS = "waits for another check"
    DOUBTED = "doubted"
    TO_SEE_TO = "to see to"


class Weight(StrEnum):
    """What a failure means."""

    COUNTS = "counts"
    AGAINST = "against"
    LOOK = "look"


@dataclass(frozen=True, slots=True)
class PairFound:
    """One fixed body and one that turns past it: their distance over the ± [mm], what it must be at least, and the verdict."""

    fixed: str
    turning: str
    value: Range
    limit: Limit
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Finding:
    """Answer of one check.

    check, title, interface: which. verdict; reason: why, for programs. said: what was found, one sentence. do: what to do, "" where nothing.
    formula: the arithmetic in words and numbers. value, limit, margin: in `unit`; margin is the worst case's room to the
    limit, negative by as much as it fails. with_stack [mm]: the shim stack for which value and margin are stated.
    asks: fields to measure or look up, best first. settle [mm]: the ± of asks[0] that would settle the verdict, None for
    a blank field or where two sizes decide together. settle_each [mm]: then the ± of each that settles together. reads: fields that were read. source: of the rule. chain: consequences of the remedy, in order.
    basis: what the verdict rests on, "sizes", "reading" or "maker's list".
    weight: what a failure means. before: the value as the car is now, where that is asked for. demands: parts that put right what
    is said of the car as a whole.
    pairs: of a body in space, all that it was held against.
    """

    check: str
    title: str
    interface: str
    verdict: Verdict
    said: str = ""
    do: str = ""
    formula: str = ""
    unit: str = "mm"
    value: Range | None = None
    limit: Limit | None = None
    margin: float | None = None
    with_stack: float | None = None
    asks: tuple[str, ...] = ()
    settle: float | None = None
    settle_each: tuple[tuple[str, float], ...] = ()
    reads: tuple[str, ...] = ()
    source: str = ""
    chain: tuple[str, ...] = ()
    basis: str = "sizes"
    reason: Reason = Reason.NONE
    weight: Weight = Weight.COUNTS
    before: Range | None = None
    demands: tuple[Demand, ...] = ()
    pairs: tuple[PairFound, ...] = ()


INCH = 25.4  # mm
_SYSTEM: ContextVar[str] = ContextVar("system", default="metric")


@contextmanager
def said_in(system: str) -> Iterator[None]:
    """Sentences that are made inside state lengths in inches where `system` is "inch", else in millimetres.

    >>> with said_in("inch"):
    ...     mm(12.7, 2), mm_range(60.18, 60.25, 2), within(0.05)
    ('0.500 in', '2.369 to 2.372 in', '±0.0015 in')
    """
    before = _SYSTEM.set(system)
    try:
        yield
    finally:
        _SYSTEM.reset(before)


def in_inches() -> bool:
    """Whether sentences are made in inches now."""
    return _SYSTEM.get() == "inch"


def own_first(metric: str, inch: str) -> str:
    """Both, the job's own first."""
    return f"{inch} ({metric})" if in_inches() else f"{metric} ({inch})"


def length(value: float, digits: int | None = None) -> str:
    """A length [mm] as a bare figure: so many digits, None for as many as it has; in an inch job thousandths of an inch."""
    if in_inches():
        return number(value / INCH, "in")
    return f"{value:.6g}" if digits is None else f"{value:.{digits}f}"


def length_unit() -> str:
    """The unit that stands behind `length`."""
    return "in" if in_inches() else "mm"


def mm(value: float, digits: int | None = None) -> str:
    """A length [mm] with its unit.

    >>> mm(12.0), mm(0.8, 2), mm(412)
    ('12 mm', '0.80 mm', '412 mm')
    """
    return f"{length(value, digits)} {length_unit()}"


def mm_range(low: float, high: float, digits: int | None = None) -> str:
    """Two lengths [mm] with their unit.

    >>> mm_range(60.18, 60.25, 2)
    '60.18 to 60.25 mm'
    """
    return f"{length(low, digits)} to {length(high, digits)} {length_unit()}"


MM_STEPS = (1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001)
INCH_STEPS = (0.05, 0.02, 0.01, 0.005, 0.002, 0.0015, 0.001, 0.0005, 0.0002, 0.0001)


def within(settle: float) -> str:
    """The ± that settles [mm], rounded down to a figure that can be asked for: "±0.05 mm"."""
    size, steps = (settle / INCH, INCH_STEPS) if in_inches() else (settle, MM_STEPS)
    step = next((one for one in steps if size >= one), None)
    return f"±{size:.1g} {length_unit()}" if step is None else f"±{step:g} {length_unit()}"


def number(value: float, unit: str = "mm") -> str:
    """A figure for a sentence: hundredths, one digit more where they would show nothing, no minus on zero.

    >>> number(-0.0), number(12.3), number(0.004), number(5.0, "-"), number(0.5, "in")
    ('0.00', '12.30', '0.004', '5', '0.500')
    """
    digits = 0 if unit == "-" and float(value).is_integer() else 3 if unit == "in" or 0.0004 < abs(value) < 0.005 else 2
    text = f"{value:.{digits}f}"
    return text.lstrip("-") if float(text) == 0 else text


def shown(value: float, unit: str) -> tuple[str, str]:
    """A figure and its unit as they are said: of a length in the job's own unit."""
    if unit == "mm" and in_inches():
        return number(value / INCH, "in"), "in"
    return number(value, unit), "" if unit == "-" else unit


def with_unit(value: float, unit: str) -> str:
    """The figure with its unit; bare where the unit is "-"."""
    return " ".join(text for text in shown(value, unit) if text)


def limit_text(limit: Limit) -> str:
    """A limit in words: "0.02 to 0.20 mm", "at least 3.00 mm", "at most 60.00 mm", "exactly 0"."""
    if limit.low is not None and limit.high is not None:
        if limit.low == limit.high:
            return f"exactly {with_unit(limit.low, limit.unit)}"
        return f"{shown(limit.low, limit.unit)[0]} to {with_unit(limit.high, limit.unit)}"
    if limit.low is not None:
        return f"at least {with_unit(limit.low, limit.unit)}"
    return f"at most {with_unit(limit.high, limit.unit)}" if limit.high is not None else "any"


def value_text(value: Range, unit: str) -> str:
    """A value with its range over the ± where that shows: "0.10 mm (0.06 to 0.14 mm inside the ±)"."""
    low, high = shown(value.low, unit)[0], shown(value.high, unit)[0]
    spread = "" if low == high else f" ({low} to {with_unit(value.high, unit)} inside the ±)"
    return with_unit(value.middle, unit) + spread
