"""The five verdicts, and how the range of a value against its limit gives one."""

from enum import StrEnum

from bomcheck.model.affine import NOISE
from bomcheck.model.box import Range
from bomcheck.model.limits import Limit


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
    Verdict.DOES_NOT_APPLY: -1,
    Verdict.FITS: 0,
    Verdict.FITS_WITH_PARTS: 1,
    Verdict.NOT_KNOWN: 2,
    Verdict.NEEDS_MACHINING: 3,
    Verdict.DOES_NOT_FIT: 4,
}


def worst(verdicts: "list[Verdict]") -> Verdict:
    """The verdict that rules a corner; "fits" for none at all."""
    return max(verdicts, key=lambda verdict: verdict.severity, default=Verdict.FITS)


def inside(value: Range, limit: Limit) -> bool | None:
    """True: every true size keeps the limit. False: none does. None: it depends on the true size."""
    if margin(value.low, value.high, limit) >= -NOISE:
        return True
    if (limit.low is not None and value.high < limit.low - NOISE) or (
        limit.high is not None and value.low > limit.high + NOISE
    ):
        return False
    return None


def margin(low: float, high: float, limit: Limit) -> float:
    """Room left to the nearer end of the limit in the worst case, in the limit's unit; negative: by how much it fails."""
    rooms = []
    if limit.low is not None:
        rooms.append(low - limit.low)
    if limit.high is not None:
        rooms.append(limit.high - high)
    return min(rooms, default=float("inf"))
