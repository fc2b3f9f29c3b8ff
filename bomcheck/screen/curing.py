"""What becomes of lanes in which a check fails: its own remedy, asked of all that take the same way."""

from collections.abc import Callable
from typing import Any

import numpy as np

from bomcheck.model.box import Range
from bomcheck.model.rule import Cure, Reading
from bomcheck.model.sizes import Missing
from bomcheck.screen.found import Cured, Found
from bomcheck.screen.lanes import Index, Lanes, bare, by_lanes, only
from bomcheck.screen.ranges import Ranges
from bomcheck.screen.ready import Ready
from bomcheck.screen.severities import UNKNOWN
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.view import View, as_inputs


def cures_of(found: Found, ready: Ready, sizes: Sizes, failing: Index, ranges: Ranges | None) -> None:
    """Ask the check's remedy what becomes of the failing lanes, and write it into what was found."""
    remedy = ready.check.remedy
    if remedy is None:
        return
    flat = found.severity.reshape(-1)
    odd: list[Index] = []
    for lanes, answer in by_lanes(failing, _asking(remedy, ready, sizes, ranges)):
        if isinstance(answer, Cure):
            flat[lanes] = answer.verdict.severity
            changes = {key: (bare(value), bare(half)) for key, (value, half) in answer.changes.items()}
            found.cures.append(Cured(lanes, answer.verdict.severity, changes))
        elif answer is Missing:
            flat[lanes] = UNKNOWN
        else:
            odd.append(lanes)
    if odd:
        found.odd = np.concatenate(odd)


def _asking(
    remedy: Callable[[Reading], Cure], ready: Ready, sizes: Sizes, ranges: Ranges | None
) -> Callable[[Index], Any]:
    def ask(lanes: Index) -> Any:
        value = limit = None
        if ranges is not None:
            ends: list[Any] = [Lanes(sizes.flat(one, lanes)) for one in (ranges.low, ranges.middle, ranges.high)]
            value = Range(*ends)
        if ready.limits is not None:
            limit = ready.limits.each[int(only(sizes.flat(ready.limits.codes, lanes)))]
        try:
            return remedy(Reading(as_inputs(View(sizes, lanes)), value, limit))
        except Missing:
            return Missing
        except (TypeError, AttributeError, KeyError, ValueError, AssertionError):
            return None

    return ask
