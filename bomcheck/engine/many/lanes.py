"""Many scalars in step: code written for one number runs on a lane of many, and is run again wherever they part ways.

A remedy asks "is it below?" and takes one branch. Where all lanes agree the answer is plain; where they do not, `Split`
is raised and the caller runs the same code on each of the parts. So nothing is written a second time for arrays.
"""

from collections.abc import Callable, Iterator
from typing import Any, TypeVar

import numpy as np

Index = np.ndarray[Any, np.dtype[np.intp]]
Array = np.ndarray[Any, Any]
Pairs = tuple[Index, Index]
Found = TypeVar("Found")
Memo = dict[tuple[object, ...], object]
"""What was found for other lanes, by what it hangs on."""


class Split(Exception):
    """The lanes do not agree; `parts` are positions among the lanes, each part of one mind."""

    def __init__(self, parts: list[Index]) -> None:
        self.parts = parts
        super().__init__("lanes part ways")


def by_lanes(index: Index, run: Callable[[Index], Found]) -> Iterator[tuple[Index, Found]]:
    """(lanes, answer) of `run` for parts of `index` that agree on every branch."""
    waiting = [index] if len(index) else []
    while waiting:
        lanes = waiting.pop()
        try:
            answer = run(lanes)
        except Split as split:
            waiting.extend(lanes[part] for part in split.parts if len(part))
            continue
        yield lanes, answer


def only(values: Array) -> Any:
    """The one value that all lanes share; Split where there are several."""
    first = values[0]
    if (values == first).all():
        return first
    order = np.argsort(values, kind="stable")
    edges = np.flatnonzero(np.diff(values[order])) + 1
    raise Split(np.split(order, edges))


class Truth:
    """The answer to a comparison, lane by lane."""

    __slots__ = ("mask",)

    def __init__(self, mask: Array) -> None:
        self.mask = mask

    def __bool__(self) -> bool:
        if self.mask.all():
            return True
        if not self.mask.any():
            return False
        raise Split([np.flatnonzero(self.mask), np.flatnonzero(~self.mask)])


def distinct(values: Array) -> Array:
    """The different values in their order."""
    return np.unique(values, return_index=True)[0]  # asked for less, NumPy loads its masked arrays


def in_some(masks: Array, axis: int) -> Array:
    """Where a mask holds anywhere along an axis."""
    return np.asarray(masks.any(axis=axis))


def bare(value: Any) -> Any:
    """The array or number inside."""
    return value.values if isinstance(value, Lanes) else value


class Lanes:
    """One number per lane; arithmetic goes lane by lane, a question that they answer differently splits them."""

    __slots__ = ("values",)
    __array_ufunc__ = None
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, values: Array) -> None:
        self.values = values

    def _with(self, other: "Operand", act: Callable[[Any, Any], Any]) -> "Lanes":
        if isinstance(other, Lanes | int | float | np.ndarray):
            return Lanes(act(self.values, bare(other)))
        return NotImplemented

    def __add__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: a + b)

    __radd__ = __add__

    def __sub__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: a - b)

    def __rsub__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: b - a)

    def __mul__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: a * b)

    __rmul__ = __mul__

    def __truediv__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: a / b)

    def __rtruediv__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: b / a)

    def __floordiv__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: a // b)

    def __mod__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: a % b)

    def __pow__(self, other: "Operand") -> "Lanes":
        return self._with(other, lambda a, b: a**b)

    def __neg__(self) -> "Lanes":
        return Lanes(-self.values)

    def __abs__(self) -> "Lanes":
        return Lanes(np.abs(self.values))

    def __round__(self, digits: int | None = None) -> "Lanes":
        """As Python rounds, which NumPy's shorter way does not always."""
        return Lanes(np.array([round(value, digits or 0) for value in self.values.tolist()]))

    def _asked(self, other: object, act: Callable[[Any, Any], Any]) -> Truth:
        return (
            Truth(np.asarray(act(self.values, bare(other))))
            if isinstance(other, Lanes | int | float)
            else NotImplemented
        )

    def __lt__(self, other: "Lanes | float") -> Truth:
        return self._asked(other, lambda a, b: a < b)

    def __le__(self, other: "Lanes | float") -> Truth:
        return self._asked(other, lambda a, b: a <= b)

    def __gt__(self, other: "Lanes | float") -> Truth:
        return self._asked(other, lambda a, b: a > b)

    def __ge__(self, other: "Lanes | float") -> Truth:
        return self._asked(other, lambda a, b: a >= b)

    def __eq__(self, other: object) -> Truth:  # type: ignore[override]
        return self._asked(other, lambda a, b: a == b)

    def __ne__(self, other: object) -> Truth:  # type: ignore[override]
        return self._asked(other, lambda a, b: a != b)

    def __bool__(self) -> bool:
        return bool(Truth(self.values != 0))

    def __int__(self) -> int:
        return int(only(np.trunc(self.values)))

    def __float__(self) -> float:
        return float(only(self.values))

    def __format__(self, spec: str) -> str:
        return "..."

    def __str__(self) -> str:
        return "..."

    def is_integer(self) -> Truth:
        """Whether the number is whole."""
        return Truth(self.values == np.floor(self.values))


Operand = Lanes | float | Array
"""What is reckoned with lanes."""
