"""What a check asks of a shim stack: a floor under it, a ceiling over it, or nothing that a stack could change."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from bomcheck.engine.many.lanes import Array, Index
from bomcheck.engine.many.sizes import Sizes
from bomcheck.model.affine import Affine
from bomcheck.model.box import TINY
from bomcheck.model.box import Row as SingleRow


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


@dataclass
class Demand:
    """One side of one check over all lanes: where it is a floor under the stack, where a ceiling over it, and where no
    stack moves it."""

    check: str
    row: Row
    floor: Array
    ceiling: Array
    unmoved: Array

    def single(self, lane: int, thickness: float) -> SingleRow | None:
        """One lane's demand with a stack of some thickness as a row that must be at least zero."""
        constant, reach = self.row.single(lane)
        if self.floor[lane]:
            return thickness - constant, {key: -value for key, value in reach.items()}
        if self.ceiling[lane]:
            return constant - thickness, reach
        return (constant, reach) if self.unmoved[lane] else None


def demands_of(
    check: str, pieces: Sequence[Affine], key: str, limits: tuple[Array, Array], ready: Array, sizes: Sizes
) -> list[Demand]:
    """The demands of one check. limits: low and high, infinite for none. ready: lanes in which the check is judged."""
    made = []
    for piece in pieces:
        rest, slope = piece.split(key)
        for bound, sign in ((limits[0], 1.0), (limits[1], -1.0)):
            held = ready & np.isfinite(_whole(bound, sizes))
            if not held.any():
                continue
            pull = sign * _whole(slope, sizes)
            factor = np.where(pull == 0, sign, np.divide(-sign, pull, out=np.zeros_like(pull), where=pull != 0))
            row = _row(rest, np.where(held, -_whole(bound, sizes), 0.0), factor, sizes)
            made.append(Demand(check, row, held & (pull > 0), held & (pull < 0), held & (pull == 0)))
    return made


def _whole(array: Any, sizes: Sizes) -> Array:
    return np.broadcast_to(np.asarray(array, dtype=float), sizes.shape)


def _row(rest: Affine, shift: Array, factor: Array, sizes: Sizes) -> Row:
    reach = {key: slope * sizes.half[key] * factor for key, slope in rest.slopes.items()}
    reach = {key: _whole(value, sizes) for key, value in reach.items() if np.any(value)}
    constant = (sizes.at(rest) + shift) * factor
    return Row(constant, reach, sum((np.abs(value) for value in reach.values()), np.zeros_like(constant)))
