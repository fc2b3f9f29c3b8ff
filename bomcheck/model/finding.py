"""What one check found: the verdict, how it is known, and what to do. Pure data; sentences are made here, once."""

from dataclasses import dataclass
from enum import StrEnum

from bomcheck.model.box import Range
from bomcheck.model.limits import Limit
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
    WAITS = "waits for another check"
    DOUBTED = "doubted"
    TO_SEE_TO = "to see to"


@dataclass(frozen=True, slots=True)
class Finding:
    """Answer of one check.

    check, title, interface: which. verdict; reason: why, for programs. said: what was found, one sentence. do: what to do, "" where nothing.
    formula: the arithmetic in words and numbers. value, limit, margin: in `unit`; margin is the worst case's room to the
    limit, negative by as much as it fails. with_stack [mm]: the shim stack for which value and margin are stated.
    asks: fields to measure or look up, best first. settle [mm]: the ± of asks[0] that would settle the verdict, None for
    a blank field or where two sizes decide together. settle_each [mm]: then the ± of each that settles together. reads: fields that were read. source: of the rule. chain: consequences of the remedy, in order.
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
    reason: Reason = Reason.NONE


def number(value: float, unit: str = "mm") -> str:
    """A figure for a sentence: hundredths, one digit more where they would show nothing, no minus on zero.

    >>> number(-0.0), number(12.3), number(0.004), number(5.0, "-")
    ('0.00', '12.30', '0.004', '5')
    """
    digits = 0 if unit == "-" and float(value).is_integer() else 3 if 0.0004 < abs(value) < 0.005 else 2
    text = f"{value:.{digits}f}"
    return text.lstrip("-") if float(text) == 0 else text


def with_unit(value: float, unit: str) -> str:
    """The figure with its unit; bare where the unit is "-"."""
    return number(value, unit) if unit in ("", "-") else f"{number(value, unit)} {unit}"


def limit_text(limit: Limit) -> str:
    """A limit in words: "0.02 to 0.20 mm", "at least 3.00 mm", "at most 60.00 mm", "exactly 0"."""
    unit = "" if limit.unit == "-" else f" {limit.unit}"
    if limit.low is not None and limit.high is not None:
        if limit.low == limit.high:
            return f"exactly {number(limit.low, limit.unit)}{unit}"
        return f"{number(limit.low, limit.unit)} to {number(limit.high, limit.unit)}{unit}"
    if limit.low is not None:
        return f"at least {number(limit.low, limit.unit)}{unit}"
    return f"at most {number(limit.high or 0.0, limit.unit)}{unit}" if limit.high is not None else "any"


def value_text(value: Range, unit: str) -> str:
    """A value with its range over the ± where that shows: "0.10 mm (0.06 to 0.14 mm inside the ±)"."""
    low, high = number(value.low, unit), number(value.high, unit)
    tail = "" if unit in ("", "-") else f" {unit}"
    spread = "" if low == high else f" ({low} to {high}{tail} inside the ±)"
    return with_unit(value.middle, unit) + spread
