"""A value that depends on the measured sizes in straight lines: what makes its exact range over the ± box easy.

A check's arithmetic is run once on `Affine` numbers instead of floats; what comes out knows the slope of the result in
every input. The same arithmetic runs on floats and on NumPy arrays.
"""

from collections.abc import Iterable, Mapping
from typing import Any, cast

from bomcheck.model.numbers import Number, total
from bomcheck.model.written import Written

NOISE = 1e-9  # mm: far below any instrument, far above the rounding of sums of sizes


class NotAffine(TypeError):
    """A check multiplied or divided two measured sizes; its range could not be read off the corners of the box."""


class Affine:
    """const + sum(slope[key] * size[key]); lengths in mm."""

    __slots__ = ("const", "slopes")

    def __init__(self, const: Number, slopes: Mapping[str, Number] | None = None) -> None:
        self.const = const
        self.slopes = dict(slopes or {})

    def __add__(self, other: "Affine | Number") -> "Affine":
        if not isinstance(other, Affine):
            return Affine(self.const + other, self.slopes)
        slopes = dict(self.slopes)
        for key, slope in other.slopes.items():
            slopes[key] = slopes[key] + slope if key in slopes else slope
        return Affine(self.const + other.const, slopes)

    __radd__ = __add__

    def __neg__(self) -> "Affine":
        return self * -1.0

    def __sub__(self, other: "Affine | Number") -> "Affine":
        return self + (-other)

    def __rsub__(self, other: Number) -> "Affine":
        return -self + other

    def __mul__(self, factor: "Affine | Number") -> "Affine":
        if isinstance(factor, Affine):
            if factor.slopes and self.slopes:
                raise NotAffine("two measured sizes are multiplied")
            return factor * self.const if self.slopes == {} else self * factor.const
        return Affine(self.const * factor, {key: slope * factor for key, slope in self.slopes.items()})

    __rmul__ = __mul__

    def __truediv__(self, divisor: "Affine | Number") -> "Affine":
        if isinstance(divisor, Affine):
            if divisor.slopes:
                raise NotAffine("a measured size stands below the line")
            divisor = divisor.const
        return self * (1.0 / divisor)

    def at(self, sizes: Mapping[str, Number]) -> Number:
        """The value where each input has the size given."""
        return total([self.const, *(_times(slope, sizes[key]) for key, slope in self.slopes.items())])

    def spread(self, half_widths: Mapping[str, Number]) -> Number:
        """How far the value reaches to either side of its middle over the box."""
        return total([_times(abs(slope), half_widths.get(key, 0.0)) for key, slope in self.slopes.items()])

    def split(self, key: str) -> "tuple[Affine, Number]":
        """The part that does not depend on `key`, and the slope in `key`."""
        slopes = dict(self.slopes)
        return Affine(self.const, {k: v for k, v in slopes.items() if k != key}), slopes.get(key, 0.0)


def _times(slope: Number, size: Number) -> Number:
    return size if isinstance(slope, float) and slope == 1.0 else slope * size


class Sides(tuple[Affine, ...]):
    """Several affine values held against one limit together; adding, and dividing by a fixed size, goes to each."""

    def __add__(self, other: "Affine | Number") -> "Sides":  # type: ignore[override]
        return type(self)(piece + other for piece in self)

    def __sub__(self, other: "Affine | Number") -> "Sides":
        return type(self)(piece - other for piece in self)

    def __truediv__(self, divisor: float) -> "Sides":
        return type(self)(piece / divisor for piece in self)


class Least(Sides):
    """The smallest of its pieces: each is one side to be held against the same lower limit."""


class Most(Sides):
    """The greatest of its pieces: each is one side to be held against the same upper limit."""


def most(*values: Any) -> Any:
    """Greatest of floats, of arrays element by element, or the pieces of a greatest where values are affine.

    >>> most(3.0, 2.0)
    3.0
    """
    if any(isinstance(value, Written) for value in values):
        return max(_as_written(values), key=lambda part: part.number)
    found = least(*(-value for value in values))
    return Most(-piece for piece in found) if isinstance(found, Least) else -found


def least(*values: Any) -> Any:
    """Smallest of floats, of arrays element by element, or the pieces of a smallest where values are affine.

    >>> least(3.0, 2.0)
    2.0
    """
    if any(isinstance(value, Affine) for value in values):
        return Least(value if isinstance(value, Affine) else Affine(value) for value in values)
    if all(isinstance(value, int | float) for value in values):
        return min(values)
    if any(isinstance(value, Written) for value in values):
        return min(_as_written(values), key=lambda part: part.number)
    import numpy

    smallest = values[0]
    for value in values[1:]:
        smallest = numpy.minimum(smallest, value)
    return smallest


def _as_written(values: tuple[Any, ...]) -> list[Any]:
    """Pieces of a formula's text; the one that decides is the one to show."""
    return [value if isinstance(value, Written) else Written(f"{value:g}", float(value)) for value in values]


def pieces(value: object) -> tuple[Affine, ...]:
    """The affine pieces of a check's result: one, or those of a `Least` or `Most`."""
    if isinstance(value, Sides):
        return tuple(value)
    return (value if isinstance(value, Affine) else Affine(float(cast(float, value))),)


def keys_of(values: Iterable[Affine]) -> tuple[str, ...]:
    """All inputs with a slope, in order of first use."""
    return tuple(dict.fromkeys(key for value in values for key, slope in value.slopes.items() if slope))
