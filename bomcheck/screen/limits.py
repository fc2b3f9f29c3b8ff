"""Limits of many lanes: one for all, or as a kit's printed figure has it."""

from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np

from bomcheck.model.job import Job, Value
from bomcheck.model.limits import Limit, house_limits, limit_for
from bomcheck.model.rule import Check
from bomcheck.screen.known import ALWAYS, Coded
from bomcheck.screen.lanes import Array
from bomcheck.screen.sizes import Sizes


@dataclass
class Limits:
    """known: where the limit is. codes: which one of `each` a lane has."""

    known: Array
    codes: Array
    each: list[Limit]

    @property
    def low(self) -> Array:
        """Lower limit of each lane, minus infinity for none."""
        return np.array([-inf if one.low is None else one.low for one in self.each])[self.codes]

    @property
    def high(self) -> Array:
        """Upper limit of each lane, infinity for none."""
        return np.array([inf if one.high is None else one.high for one in self.each])[self.codes]


FIRST = np.zeros(1, dtype=np.int64)


def limits_of(check: Check, sizes: Sizes) -> Limits:
    """The limit that a check's value is held against, lane by lane."""
    if isinstance(check.limit, str):
        return _named(check.limit, sizes)
    by = sizes.get(check.limit_by)
    if not isinstance(by, Coded):
        return Limits(by.known & False, FIRST, [limit_for(next(iter(check.limit.values())), sizes.job)])
    each: list[Limit] = []
    codes: Any = FIRST
    for code, word in enumerate(by.objects):
        if word in check.limit:
            named = _named(check.limit[word], sizes)
            codes = np.where(by.codes == code, named.codes + len(each), codes)
            each.extend(named.each)
    return Limits(by.known, codes, each)


def _named(name: str, sizes: Sizes) -> Limits:
    """One limit; where the kit prints a figure of its own, one for each different figure."""
    column = sizes.typed(house_limits()[name].kit_field) if house_limits()[name].kit_field else None
    if column is None or column.values is None:
        return Limits(ALWAYS, FIRST, [limit_for(name, sizes.job)])
    figures = np.where(column.known, column.values, np.nan)
    different, codes = np.unique(figures, return_inverse=True)
    return Limits(
        ALWAYS,
        codes.reshape(figures.shape),
        [limit_for(name, _printed(name, f, sizes.job)) for f in different.tolist()],
    )


def _printed(name: str, figure: float, job: Job) -> Job:
    key = house_limits()[name].kit_field
    values = {} if np.isnan(figure) else {key: Value(key, figure)}
    return Job(values, limits=job.limits)
