"""The checks that a shim stack moves, in many lanes: the stacks to choose from, what is found, remedies."""

from collections.abc import Sequence
from functools import cached_property
from math import inf
from typing import Any, cast

import numpy as np

from bomcheck.engine.adjust import Choice, choices
from bomcheck.engine.laid import Laid
from bomcheck.engine.many.checking import Found, cures_of, surely
from bomcheck.engine.many.known import array
from bomcheck.engine.many.lanes import Array, Index, Memo
from bomcheck.engine.many.reach import stack_keys
from bomcheck.engine.many.ready import Ready, pieces_of
from bomcheck.engine.many.sizes import Sizes
from bomcheck.engine.space import ANYWHERE, Window
from bomcheck.engine.stacks import Moved, Steps
from bomcheck.model.job import Job, Value
from bomcheck.model.rule import STACKS
from bomcheck.model.stack import Stack
from bomcheck.model.verdict import APART, MACHINING, NO

NONE = [Stack()]


class Adjusted:
    """One stack with what is found of each check that it moves, and of all together. Lanes lie flat.

    masks: lanes in which each check is judged. severity: of each check before any remedy.
    """

    def __init__(self, name: str, ready: Sequence[Ready], sizes: Sizes, memo: Memo, window: Window = ANYWHERE) -> None:
        self.name, self.sizes, self.ready = name, sizes, list(ready)
        self.masks = [np.array(np.broadcast_to(one.ready, sizes.shape)) for one in self.ready]
        self.blocked = np.zeros(sizes.shape, dtype=bool)
        moved: list[Moved] = []
        for one, mask in zip(self.ready, self.masks, strict=True):
            if one.check.target is not None:
                self.blocked |= ~mask
            if one.value is not None and one.limits is not None:
                parts = tuple(pieces_of(one.value))
                moved.append(Moved(one.check.name, parts, one.limits, mask, one.check.target))  # type: ignore[arg-type]
        held, self.box_known, trade = _stacks(name, sizes, memo)
        self.laid = Laid(STACKS[name], moved, self.blocked, sizes.box, held, self.box_known, trade, window)  # type: ignore[arg-type]
        self.severity = {
            one.check.name: self._severity(one, mask) for one, mask in zip(self.ready, self.masks, strict=True)
        }

    def _severity(self, one: Ready, mask: Array) -> Array:
        severity = one.settled(self.sizes.shape)
        if one.check.name in self.laid.severity:
            severity[mask] = self._whole(self.laid.severity[one.check.name])[mask]
        return severity

    def _whole(self, values: Any) -> Array:
        return np.broadcast_to(array(values), self.sizes.shape)

    @cached_property
    def found(self) -> dict[str, Found]:
        """Of each check: severity after its remedy, margin, remedies."""
        return {one.check.name: self._judge(one, mask) for one, mask in zip(self.ready, self.masks, strict=True)}

    def _judge(self, one: Ready, mask: Array) -> Found:
        severity = self.severity[one.check.name]
        found = Found(severity, np.full(self.sizes.shape, np.nan))
        found.odd = surely(one, self.sizes, severity, self.laid.trade.thickest)
        moved = self.laid.moved.get(one.check.name)
        if moved is None:
            return found
        value = self.laid.range_at(moved, self.laid.shown_at(moved))
        found.margin = np.where(mask, self.laid.margin_of(moved, value), np.nan)
        failing = np.flatnonzero(mask & (severity == NO))
        if len(failing):
            worst = self.laid.worst(moved, value, mask & (severity == NO))
            cures_of(found, one, self.sizes, failing, worst)
        return found

    @cached_property
    def joint(self) -> Found:
        """Whether one stack serves all that it moves; not asked where one of them has failed."""
        asked = self._whole(self.laid.led) & (np.sum(self.masks, axis=0) > 1)
        for one, mask in zip(self.ready, self.masks, strict=True):
            if mask.any():
                after = self.found[one.check.name].severity
                alone = self._whole(self.laid.verdict(one.check.name))
                asked &= ~(mask & ((after == NO) | (after == MACHINING) | (alone == NO)))
        severity = np.full(self.sizes.shape, APART, dtype=np.int8)
        if asked.any():
            severity[asked] = self._whole(self.laid.verdict(*self.laid.moved))[asked]
        return Found(severity, np.full(self.sizes.shape, np.nan))


def _stacks(name: str, sizes: Sizes, memo: Memo) -> tuple[Steps, Array, Steps]:
    """(out of the kit's box, where that is known, with more pieces bought) of every lane."""
    held: list[list[Stack]] = []
    trade: list[list[Stack]] = []
    code, known = np.zeros(sizes.shape, dtype=np.intp), np.zeros(sizes.shape, dtype=bool)
    for values, lanes in _patterns(stack_keys(name), sizes):
        mark = (name, *((value.value if value else None) for value in values))
        if mark not in memo:
            given = {value.key: value for value in values if value is not None}
            job = Job(given, prices=sizes.job.prices, shelf=sizes.job.shelf, limits=sizes.job.limits)
            memo[mark] = choices(name, job)
        choice = cast(Choice, memo[mark])
        code[lanes], known[lanes] = len(trade), choice.box is not None
        trade.append(choice.trade)
        held.append(NONE if choice.box is None else choice.box)
    return _padded(held, code), known, _padded(trade, code)


def _patterns(keys: tuple[str, ...], sizes: Sizes) -> list[tuple[tuple[Value | None, ...], Index]]:
    """Different values of typed keys, and the lanes that have each."""
    marks: Any = np.zeros(sizes.shape, dtype=np.int64)
    for key in keys:
        column = sizes.typed(key)
        if column is not None:
            own = column.codes if column.codes is not None else np.unique(array(column.values), return_inverse=True)[1]
            own = np.where(column.known, own + 1, 0)
            marks = marks * (int(own.max()) + 1) + own
    _, first, inverse = np.unique(marks, return_index=True, return_inverse=True)
    order = np.argsort(inverse, kind="stable")
    lanes = np.split(order, np.cumsum(np.bincount(inverse))[:-1])
    return [(tuple(_typed(key, sizes, at) for key in keys), own) for at, own in zip(first.tolist(), lanes, strict=True)]


def _typed(key: str, sizes: Sizes, lane: int) -> Value | None:
    column = sizes.typed(key)
    return None if column is None or not column.known[lane] else Value(key, column.at(lane))


def _padded(lists: list[list[Stack]], code: Index) -> Steps:
    """One choice of stacks for each lane; plain numbers where all choose from the same."""
    width = max((len(one) for one in lists), default=1)
    steps, pieces = np.full((max(len(lists), 1), width), inf), np.zeros((max(len(lists), 1), width))
    for place, one in enumerate(lists):
        steps[place, : len(one)] = [stack.thickness for stack in one]
        pieces[place, : len(one)] = [stack.count for stack in one]
    if len(lists) == 1:
        return Steps(tuple(steps[0].tolist()), tuple(pieces[0].tolist()))
    return Steps(*(tuple(np.ascontiguousarray(table[code].T)) for table in (steps, pieces)))
