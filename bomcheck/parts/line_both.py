"""What the lines of two corners take, as demands of the axle: what both take alike is one demand."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from bomcheck.parts.asked import Asked, ask_of
from bomcheck.parts.demand import Demand
from bomcheck.parts.scope import BOTH

REASONS = "; "  # between two reasons of one part


def for_both(corners: Sequence[list[Demand]]) -> list[Demand]:
    """What both corners take alike, for whatever reason, counts per corner; the rest is for the left or the right one."""
    if len(corners) < 2 or corners[0] == corners[1]:
        return corners[0] if corners else []
    alike = [_one_of(one, same) for one in corners[0] if (same := _alike(one, corners[1]))]
    rest = [
        replace(one, side=side)
        for side, corner, other in zip(BOTH, corners, reversed(corners), strict=True)
        for one in corner
        if not _alike(one, other)
    ]
    return alike + rest


def _alike(demand: Demand, others: Sequence[Demand]) -> list[Demand]:
    return [other for other in others if _part(other) == _part(demand)]


def _part(demand: Demand) -> dict[str, Any]:
    """What part it is and how many, without why and without what is asked about it."""
    return {key: value for key, value in vars(demand).items() if key not in ("reason", "ask")}


def _one_of(demand: Demand, same: Sequence[Demand]) -> Demand:
    """One demand for both corners, with the reasons and the questions of either."""
    reasons = dict.fromkeys(text for one in (demand, *same) for text in one.reason.split(REASONS))
    asks = dict.fromkeys(text for one in (demand, *same) if (text := ask_of(one)))
    whole = Demand(**_part(demand), reason=REASONS.join(reasons))
    return Asked(**vars(whole), ask=" ".join(asks)) if asks else whole
