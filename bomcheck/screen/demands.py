"""What a check asks of a shim stack: a floor under it, a ceiling over it, or nothing that a stack could change."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from bomcheck.model.affine import Affine
from bomcheck.model.box import Row as SingleRow
from bomcheck.screen.lanes import Array
from bomcheck.screen.rows_over_box import Row
from bomcheck.screen.sizes import Sizes


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
