"""Shim stacks of many lanes: `bomcheck.engine.stacks` and `verdict.adjust` on arrays.

Lanes of one arrangement, that is with the same checks moved the same way, are taken together. The stacks to choose from
depend on the kit alone; they stand in a table, padded with infinity.
"""

from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np

from bomcheck.engine.adjust import Choice, choices
from bomcheck.model.job import Job
from bomcheck.model.stack import Stack
from bomcheck.screen.lanes import Array, Index, in_some
from bomcheck.screen.reach import stack_keys
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.view import as_inputs


@dataclass
class Stacks:
    """Stacks to choose from, per lane. steps: thicknesses (choice, place), thinnest first, padded with infinity.
    counts: pieces of each. code: which choice a lane has; -1 where the pieces are not known.
    """

    steps: Array
    counts: Array
    code: Array

    @property
    def known(self) -> Array:
        """Lanes whose pieces are known."""
        return self.code >= 0

    def of(self, lanes: Index) -> Array:
        """Thicknesses of some lanes (lane, place)."""
        found: Array = self.steps[self.code[lanes]]
        return found


def stacks_of(name: str, sizes: Sizes, memo: dict[Any, Choice]) -> tuple[Stacks, Stacks]:
    """(out of the kit's box, with more pieces bought) of every lane."""
    box: list[list[Stack]] = []
    trade: list[list[Stack]] = []
    box_code, trade_code = (np.full(sizes.shape, -1, dtype=np.int64) for _ in range(2))
    patterns, lanes_by = _patterns(stack_keys(name), sizes)
    for values, lanes in zip(patterns, lanes_by, strict=True):
        mark = (name, *((v.value if v else None) for v in values))
        if mark not in memo:
            memo[mark] = choices(name, as_inputs(_Chooser(values, sizes.job)))
        choice = memo[mark]
        trade_code[lanes] = len(trade)
        trade.append(choice.trade)
        if choice.box is not None:
            box_code[lanes] = len(box)
            box.append(choice.box)
    return Stacks(*_padded(box), box_code), Stacks(*_padded(trade), trade_code)


class _Chooser:
    """The sizes that a choice of stacks looks at."""

    def __init__(self, values: tuple[Any, ...], job: Job) -> None:
        given = {value.key: value for value in values if value is not None}
        self.job = Job(given, prices=job.prices, shelf=job.shelf, limits=job.limits)


def _patterns(keys: tuple[str, ...], sizes: Sizes) -> tuple[list[tuple[Any, ...]], list[Index]]:
    """Different values of typed keys, and the lanes that have each."""
    marks: Any = np.zeros(sizes.shape, dtype=np.int64)
    for key in keys:
        column = sizes.typed(key)
        if column is None:
            continue
        own = column.codes
        if own is None:
            own = np.unique(np.asarray(column.values), return_inverse=True)[1]
        own = np.where(column.known, own + 1, 0)
        marks = marks * (int(own.max()) + 1) + own
    _, first, inverse = np.unique(marks, return_index=True, return_inverse=True)
    order = np.argsort(inverse, kind="stable")
    lanes = np.split(order, np.cumsum(np.bincount(inverse))[:-1])
    return [tuple(_typed(key, sizes, at) for key in keys) for at in first.tolist()], lanes


def _typed(key: str, sizes: Sizes, lane: int) -> Any:
    from bomcheck.model.job import Value

    column = sizes.typed(key)
    return None if column is None or not column.known[lane] else Value(key, column.at(lane))


def _padded(lists: list[list[Stack]]) -> tuple[Array, Array]:
    width = max((len(one) for one in lists), default=0)
    steps, counts = np.full((max(len(lists), 1), width), inf), np.zeros((max(len(lists), 1), width))
    for place, one in enumerate(lists):
        steps[place, : len(one)] = [stack.thickness for stack in one]
        counts[place, : len(one)] = [stack.count for stack in one]
    return steps, counts


def nearest(steps: Array, counts: Array, serving: Array, thickness: Array) -> Array:
    """Thickness closest to the one wanted, of two equally close the one with fewer pieces; of all where none serves."""
    usable = np.where(in_some(serving, 1)[:, None], serving, np.isfinite(steps))
    with np.errstate(invalid="ignore"):
        away = np.where(usable, np.round(np.abs(steps - thickness[:, None]), 6) + counts * 1e-9, inf)
    return np.take_along_axis(steps, np.argmin(away, axis=1)[:, None], 1)[:, 0]
