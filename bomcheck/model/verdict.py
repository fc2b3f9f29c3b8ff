"""The five verdicts, and how the range of a value against its limit gives one."""

from enum import StrEnum

from bomcheck.model.affine import NOISE
from bomcheck.model.box import Range
from bomcheck.model.limits import Bounds
from bomcheck.model.numbers import Number, Truth, isnt, lesser


class Verdict(StrEnum):
    """Best first; the corner's verdict is the worst by `severity`, where work to be done outranks what is not known."""

    FITS = "fits"
    FITS_WITH_PARTS = "fits with parts"
    NOT_KNOWN = "not known"
    NEEDS_MACHINING = "needs machining"
    DOES_NOT_FIT = "does not fit"
    DOES_NOT_APPLY = "does not apply"

    @property
    def severity(self) -> int:
        return _SEVERITY[self]


_SEVERITY = {
    Verdict.DOES_NOT_APPLY: -1, Verdict.FITS: 0, Verdict.FITS_WITH_PARTS: 1, Verdict.NOT_KNOWN: 2,
    Verdict.NEEDS_MACHINING: 3, Verdict.DOES_NOT_FIT: 4,
}  # fmt: skip
FITS, PARTS, UNKNOWN, MACHINING, NO, APART = 0, 1, 2, 3, 4, -1
"""Severities, the worst the greatest, as the numbers that stand for verdicts."""
BY_SEVERITY = {severity: verdict for verdict, severity in _SEVERITY.items()}


def worst(verdicts: "list[Verdict]") -> Verdict:
    """The verdict that rules a corner; "fits" for none at all."""
    return max(verdicts, key=lambda verdict: verdict.severity, default=Verdict.FITS)


def holds(value: Range, limit: Bounds) -> tuple[Truth, Truth]:
    """(where every true size keeps the limit, where none does)."""
    kept = margin(value.low, value.high, limit) >= -NOISE
    fails = (value.high < limit.floor - NOISE) | (value.low > limit.ceiling + NOISE)
    return kept, isnt(kept) & fails


def inside(value: Range, limit: Bounds) -> bool | None:
    """True: every true size keeps the limit. False: none does. None: it depends on the true size."""
    kept, fails = holds(value, limit)
    return True if kept else False if fails else None


def margin(low: Number, high: Number, limit: Bounds) -> Number:
    """Room left to the nearer end of the limit in the worst case, in the limit's unit; negative: by how much it fails."""
    return lesser(low - limit.floor, limit.ceiling - high)
