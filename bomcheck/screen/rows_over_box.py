"""Straight-line demands over the boxes of many lanes: `bomcheck.model.box` on arrays.

A row is constant + sum(reach[key] * y[key]), every y between -1 and 1; arrays hold one entry per lane.
"""

from dataclasses import dataclass

import numpy as np

from bomcheck.model.box import TINY
from bomcheck.model.box import Row as SingleRow
from bomcheck.screen.lanes import Array, Index


@dataclass
class Row:
    """constant: one entry per lane. reach: by key, one entry per lane. total: sum of the reaches."""

    constant: Array
    reach: dict[str, Array]
    total: Array

    @property
    def greatest(self) -> Array:
        """Greatest value over the box."""
        return self.constant + self.total

    @property
    def least(self) -> Array:
        """Least value over the box."""
        return self.constant - self.total

    def take(self, lanes: Index) -> "Row":
        """The row in some lanes."""
        return Row(self.constant[lanes], {key: values[lanes] for key, values in self.reach.items()}, self.total[lanes])

    def single(self, lane: int) -> SingleRow:
        """One lane's row, as `can_all_hold` takes it."""
        reach = {key: float(values[lane]) for key, values in self.reach.items()}
        return float(self.constant[lane]), {key: value for key, value in reach.items() if value}


@dataclass
class Trades:
    """How far one row can be raised while another is lowered, for each lane: best exchange first.

    start: the first row where the second is greatest. gained, paid: by rank, arrays of (rank, lane).
    """

    start: Array
    gained: Array
    paid: Array

    def raised(self, lanes: Index, spare: Array) -> Array:
        """The first row's greatest value, in some lanes, while the second gives up no more than `spare`."""
        value, left = self.start[lanes].copy(), spare.copy()
        for gained, paid in zip(self.gained, self.paid, strict=True):
            cost = paid[lanes]
            share = np.clip(np.divide(left, cost, out=np.zeros_like(left), where=cost > 0), 0.0, 1.0)
            value += gained[lanes] * share
            left -= cost * share
        return value


def trades(first: Row, second: Row) -> Trades:
    """The exchanges between two rows over the same boxes."""
    start, gains, pays = first.constant.copy(), [], []
    zero = np.zeros_like(start)
    for key in dict.fromkeys((*first.reach, *second.reach)):
        gain, price = first.reach.get(key, zero), second.reach.get(key, zero)
        start += np.where(price == 0, np.abs(gain), gain * np.sign(price))
        against = gain * price < 0
        if against.any():
            gains.append(np.where(against, 2 * np.abs(gain), 0.0))
            pays.append(np.where(against, 2 * np.abs(price), 0.0))
    if not gains:
        return Trades(start, np.zeros((0, len(start))), np.zeros((0, len(start))))
    gained, paid = np.array(gains), np.array(pays)
    if len(gains) > 1:
        ratio = np.divide(gained, paid, out=np.zeros_like(gained), where=paid > 0)
        order = np.argsort(-ratio, axis=0, kind="stable")
        gained, paid = np.take_along_axis(gained, order, 0), np.take_along_axis(paid, order, 0)
    return Trades(start, gained, paid)


def turned(row: Row) -> Row:
    """minus row."""
    return Row(-row.constant, {key: -reach for key, reach in row.reach.items()}, row.total)


def can_both(found: Trades, first: Row, second: Row, lanes: Index, first_by: Array, second_by: Array) -> Array:
    """In which of `lanes` (first + first_by) and (second + second_by) can both be at least zero for one true size."""
    highest = second.greatest[lanes] + second_by
    single = (first.greatest[lanes] + first_by >= -TINY) & (highest >= -TINY)
    always = (first.least[lanes] + first_by >= -TINY) | (second.least[lanes] + second_by >= -TINY)
    return single & (always | (found.raised(lanes, highest) + first_by >= -TINY))
