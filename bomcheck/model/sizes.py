"""What a check or a remedy may ask of a job's sizes, and how a size follows from others."""

from collections.abc import Callable, Mapping
from typing import Any, Protocol

from bomcheck.model.job import Job
from bomcheck.model.records import dataclass


class Missing(Exception):
    """Fields that must be known first; `keys` are typed fields, never derived ones."""

    def __init__(self, keys: tuple[str, ...]) -> None:
        self.keys = keys
        super().__init__(", ".join(keys))


@dataclass(frozen=True, slots=True)
class Span:
    """Least and greatest true size [mm]."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Profile:
    """A table of (position, size) [mm], straight between its points, and the ± of its sizes."""

    points: tuple[tuple[float, float], ...]
    plus_minus: float

    def at(self, position: float) -> float | None:
        """Size at a position; None beyond the table."""
        for (x0, y0), (x1, y1) in zip(self.points, self.points[1:], strict=False):
            if x0 - 1e-9 <= position <= x1 + 1e-9:
                return y0 if x1 == x0 else y0 + (y1 - y0) * (position - x0) / (x1 - x0)
        return None


@dataclass(frozen=True)
class Derivation:
    """How a size follows from typed ones.

    curved: not a straight line in its inputs, but monotone in each of them. interval: the function itself gives the
    (least, greatest) value, from `Span`s of its inputs. plain: nothing is known, and the size lies somewhere in this range.
    """

    key: str
    title: str
    function: Callable[..., object]
    parameters: tuple[str, ...]
    defaults: Mapping[str, object]
    when: Mapping[str, tuple[str, ...]]
    decide: "Callable[[Sizes], bool] | None"
    curved: bool
    interval: bool = False
    plain: tuple[float, float] | None = None


class Sizes(Protocol):
    """Everything that may be asked for by key: of one job, or of many at once whose numbers then are arrays."""

    @property
    def job(self) -> Job: ...

    def __getitem__(self, key: str) -> Any: ...

    def has(self, key: str) -> bool:
        """Whether the key is known."""

    def number(self, key: str) -> float:
        """The stated size, without its ±."""

    def half(self, key: str) -> float:
        """The ± of a size."""
