"""What one check found in many lanes."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from bomcheck.screen.lanes import Array, Index


@dataclass
class Cured:
    """A remedy for some lanes: what it leads to and the new sizes, {key: (values, ±)}, arrays of these lanes or one for all."""

    lanes: Index
    severity: int
    changes: dict[str, tuple[Any, Any]]


@dataclass
class Found:
    """What one check found: severity of its verdict and margin (NaN for none) of every lane; remedies; lanes that must be
    looked at one by one because something here is out of the ordinary."""

    severity: Array
    margin: Array
    cures: list[Cured] = field(default_factory=list)
    odd: Index = field(default_factory=lambda: np.zeros(0, dtype=np.intp))

    @property
    def cured(self) -> Array:
        """Lanes that have a remedy."""
        return np.concatenate([one.lanes for one in self.cures]) if self.cures else np.zeros(0, dtype=np.intp)
