"""What an assembly consumes, declared beside the interface it belongs to with `@needs`."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bomcheck.job import Job
from bomcheck.parts.demand import Demand

if TYPE_CHECKING:
    from bomcheck.verdict.adjust import StackPlan
    from bomcheck.verdict.inputs import Inputs


@dataclass(frozen=True)
class Assembly:
    """The corner with all remedies applied, as the fitter will put it together.

    job, sizes: after the remedies. plans: the shim stacks by name ("axial", "radial"), where known. line: the solution
    of the brake line (`bomcheck.parts.chain`), None where it was not asked for.
    """

    job: Job
    sizes: "Inputs"
    plans: "Mapping[str, StackPlan]"
    line: Any = None

    def get(self, key: str, default: Any = None) -> Any:
        """The bare value of a field or derived size without its ±; `default` where it is not known."""
        if not self.sizes.has(key):
            return default
        value = self.sizes[key]
        return value.at(self.sizes.box.middle) if hasattr(value, "slopes") else value


Needs = Callable[[Assembly], Iterable[Demand]]
_NEEDS: dict[str, Needs] = {}


def needs(function: Needs) -> Needs:
    """Write down one step of the assembly: a function from the Assembly to the demands of that step."""
    _NEEDS[f"{function.__module__}.{function.__name__}"] = function
    return function


def all_demands(assembly: Assembly) -> list[Demand]:
    """Everything that the assembly consumes, step by step."""
    import bomcheck.interfaces  # noqa: F401  importing the interfaces writes their needs down

    return [demand for step in _NEEDS.values() for demand in step(assembly)]
