"""What cures a failed check: parts, metal to cut, and the sizes that change with it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bomcheck.parts.demand import Demand
from bomcheck.verdict.box import Range
from bomcheck.verdict.inputs import Inputs
from bomcheck.verdict.limits import Limit
from bomcheck.verdict.verdict import Verdict


@dataclass(frozen=True)
class Cure:
    """verdict: what the check becomes with it. do: one sentence of what to do. demands: parts that it takes.
    changes: field key to (new value, ±) on the job once it is done; checks that read them run again.
    """

    verdict: Verdict
    do: str
    demands: tuple[Demand, ...] = ()
    changes: Mapping[str, tuple[Any, float]] = field(default_factory=dict)


@dataclass(frozen=True)
class Reading:
    """What a remedy may look at: the sizes, the value found, and the limit it was held against.

    value: range over the box, in the limit's unit. said: what a match check compared.
    """

    sizes: Inputs
    value: Range | None
    limit: Limit | None
    said: str = ""

    def number(self, key: str) -> float:
        """The stated size [mm]."""
        return self.sizes.number(key)

    def known(self, key: str, otherwise: Any = None) -> Any:
        """A typed value of any kind, or `otherwise`."""
        return self.sizes[key] if self.sizes.has(key) else otherwise

    @property
    def short(self) -> float:
        """By how much the worst case stays below the lower limit (positive where it does)."""
        assert self.value is not None
        assert self.limit is not None
        return 0.0 if self.limit.low is None else self.limit.low - self.value.low

    @property
    def over(self) -> float:
        """By how much the worst case passes the upper limit (positive where it does)."""
        assert self.value is not None
        assert self.limit is not None
        return 0.0 if self.limit.high is None else self.value.high - self.limit.high

    @property
    def below(self) -> bool:
        """Whether the value fails at its lower limit."""
        assert self.value is not None
        assert self.limit is not None
        return self.limit.low is not None and self.value.middle < self.limit.low


def no_cure(verdict: Verdict, do: str) -> Cure:
    """Nothing that the trade sells cures it."""
    return Cure(verdict, do)
