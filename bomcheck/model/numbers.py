"""Numbers of one job, or of many pairs at once: what is written with these runs on floats and on NumPy arrays alike.

A truth is a bool or an array of them. Arrays hold one entry a lane, or one for all; a shape says how the lanes lie, and () is
the one job. NumPy is asked only where an array is at hand, so the way of one job never loads it.
"""

from collections.abc import Sequence
from typing import TypeVar

Number = float
"""A float, or an array of them: whoever reckons with it need not know which."""
Truth = bool
"""A bool, or an array of them."""
Lanes = Sequence[int] | None
"""Numbers of some lanes; None for the one job."""
Shape = tuple[int, ...]
Entry = TypeVar("Entry", float, bool)


def pick(truth: Truth, yes: Number, no: Number) -> Number:
    """`yes` where it is true, else `no`."""
    if isinstance(truth, bool):
        return yes if truth else no
    import numpy as np

    return np.where(truth, yes, no)


def some(truth: Truth) -> bool:
    """Whether it is true anywhere."""
    if isinstance(truth, bool):
        return truth
    return bool(truth.any())


def isnt(truth: Truth) -> Truth:
    """The opposite."""
    if isinstance(truth, bool):
        return not truth
    return ~truth


def lesser(one: Number, other: Number) -> Number:
    """The smaller of two, lane by lane."""
    if isinstance(one, float | int) and isinstance(other, float | int):
        return one if one <= other else other
    import numpy as np

    return np.minimum(one, other)


def greater(one: Number, other: Number) -> Number:
    """The greater of two, lane by lane."""
    return -lesser(-one, -other)


def least_of(values: Sequence[Number]) -> Number:
    """The smallest of several, lane by lane."""
    found = values[0]
    for value in values[1:]:
        found = lesser(found, value)
    return found


def sign(value: Number) -> Number:
    """-1, 0 or 1."""
    return pick(value > 0, 1.0, pick(value < 0, -1.0, 0.0))


def rounded(value: Number, digits: int) -> Number:
    """To so many decimals."""
    if isinstance(value, float | int):
        return round(value, digits)
    return value.round(digits)


def total(parts: Sequence[Number]) -> Number:
    """The sum; arrays of one shape are added first, so that little is added at full size."""
    if all(isinstance(part, float | int) for part in parts):
        return sum(parts)
    sums: dict[Shape, Number] = {}
    for part in parts:
        shape: Shape = getattr(part, "shape", ())
        sums[shape] = sums[shape] + part if shape in sums else part
    found: Number = 0.0
    for shape in sorted(sums, key=_size):
        found = found + sums[shape]
    return found


def _size(shape: Shape) -> int:
    size = 1
    for side in shape:
        size *= side
    return size


def lanes_in(truth: Truth, shape: Shape) -> Lanes:
    """The lanes in which it is true, numbered flat; None for the one job, where it must be true."""
    if not shape:
        return None
    import numpy as np

    lanes: Lanes = np.flatnonzero(np.broadcast_to(truth, shape).reshape(-1))  # type: ignore[assignment]
    return lanes


def taken(values: Entry, lanes: Lanes, shape: Shape) -> Entry:
    """The entries of some lanes."""
    if lanes is None or isinstance(values, float | int) or values.ndim == 0:
        return values
    import numpy as np

    if values.size == 1:
        return values.reshape(-1)[0]
    whole = values if values.shape == shape else np.broadcast_to(values, shape)
    return whole.reshape(-1)[lanes]


def put(values: Entry, lanes: Lanes, new: Entry, shape: Shape) -> Entry:
    """The same with other entries in some lanes."""
    if lanes is None:
        return new
    import numpy as np

    whole = np.array(np.broadcast_to(values, shape), order="C")  # else what is written into a flat view is lost
    whole.reshape(-1)[lanes] = new
    found: Entry = whole  # type: ignore[assignment]
    return found
