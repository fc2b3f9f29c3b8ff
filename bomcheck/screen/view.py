"""Some lanes of the sizes, as code written for one job sees them."""

from typing import TYPE_CHECKING, Any, cast

from bomcheck.engine.inputs import Inputs
from bomcheck.model.sizes import Missing
from bomcheck.screen.known import Coded, Sized, affine
from bomcheck.screen.lanes import Index, Lanes, only

if TYPE_CHECKING:
    from bomcheck.screen.sizes import Sizes


def as_inputs(part: Any) -> Inputs:
    """Whatever answers the questions that are put to a job's sizes, in place of them."""
    return cast(Inputs, part)


class View:
    """Some lanes of the sizes, as `Inputs` is for one job: whoever asks what they answer differently splits them."""

    def __init__(self, sizes: "Sizes", lanes: Index) -> None:
        self.sizes, self.lanes = sizes, lanes

    def has(self, key: str) -> bool:
        """Whether the key is known."""
        return bool(only(self.sizes.flat(self.sizes.get(key).known, self.lanes)))

    def __getitem__(self, key: str) -> Any:
        if not self.has(key):
            raise Missing((key,))
        found = self.sizes.get(key)
        if isinstance(found, Coded):
            return found.objects[only(self.sizes.flat(found.codes, self.lanes))]
        value = found.value
        if not value.slopes:
            return Lanes(self.sizes.flat(value.const, self.lanes))
        slopes = {key: self.sizes.flat(slope, self.lanes) for key, slope in value.slopes.items()}
        return affine(self.sizes.flat(value.const, self.lanes), slopes)

    def number(self, key: str) -> Any:
        """The stated size."""
        if not self.has(key):
            raise Missing((key,))
        found = self.sizes.get(key)
        assert isinstance(found, Sized)
        return Lanes(self.sizes.flat(self.sizes.at(found.value), self.lanes))

    def half(self, key: str) -> Any:
        """The ± of a size."""
        if not self.has(key):
            raise Missing((key,))
        found = self.sizes.get(key)
        return Lanes(self.sizes.flat(self.sizes.spread(found.value), self.lanes)) if isinstance(found, Sized) else 0.0

    @property
    def job(self) -> "ViewedJob":
        """The job of these lanes."""
        return ViewedJob(self)


class ViewedJob:
    """The job of the lanes: what is the same for all pairs, and what was typed."""

    def __init__(self, view: View) -> None:
        self._view = view
        job = view.sizes.job
        self.prices, self.shelf, self.limits, self.rejected = job.prices, job.shelf, job.limits, job.rejected

    def get(self, key: str, default: Any = None) -> Any:
        """A typed value."""
        filled = self._view.sizes.filled(key)
        if not only(self._view.sizes.flat(filled, self._view.lanes)):
            return default
        found = self._view.sizes.get(key)
        return self._view[key] if isinstance(found, Coded) else self._view.number(key)
