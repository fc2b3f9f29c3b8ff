"""What a shim stack does to the checks that it moves, as straight lines in the stack's thickness."""

from collections.abc import Mapping

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import prepare
from bomcheck.model.affine import Affine, Most, NotAffine, pieces
from bomcheck.model.job import Job
from bomcheck.model.limits import Limit
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.rule import STACKS, Check
from bomcheck.paper.live import Form, all_shown, form_of, halves
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS


@dataclass(frozen=True, slots=True)
class Size:
    """A size of the chain. value, half [mm]. factor: how often it counts, negative where it is taken off."""

    key: str
    value: float
    half: float
    factor: float


@dataclass(frozen=True, slots=True)
class MovedCheck:
    """A check that the stack moves, and the sizes [mm] that its form is at."""

    check: Check
    limit: Limit
    form: Form
    middle: Mapping[str, float]
    half: Mapping[str, float]

    def ends(self, stack: float) -> tuple[float, float, float]:
        """(least, as stated, greatest) with a stack of this thickness [mm]."""
        return self.form.ends({**self.middle, STACKS[self.check.stack]: stack}, self.half)


@dataclass(frozen=True, slots=True)
class StackChain:
    """One stack. sizes: what leads up to the check that the stack is there for. fixed [mm]: what else counts."""

    name: str
    lead: MovedCheck
    sizes: tuple[Size, ...]
    fixed: float
    moved: tuple[MovedCheck, ...]


def stack_chain(report: Report, name: str) -> StackChain | None:
    """The chain of the "axial" or "radial" stack; None while a size of it is blank."""
    try:
        return _chain(all_shown(report.cured), name)
    except (NotAffine, TypeError):
        return _chain(report.cured, name)


def _chain(job: Job, name: str) -> StackChain | None:
    sizes = Inputs(job, DERIVATIONS)
    known = (_moved(check, sizes) for check in all_checks().values() if check.stack == name)
    found = [one for one in known if one is not None]
    lead = next((one for one in found if one[0].check.target is not None), None)
    if lead is None:
        return None
    first, affine = lead
    rest, _ = affine.split(STACKS[name])
    parts = tuple(Size(k, first.middle[k], first.half[k], slope) for k, slope in rest.slopes.items() if slope)
    return StackChain(name, first, parts, rest.const, tuple(one for one, _ in found))


def _moved(check: Check, sizes: Inputs) -> tuple[MovedCheck, Affine] | None:
    ready = prepare(check, sizes)
    if ready.settled is not None or ready.limit is None:
        return None
    result = check.function(**ready.arguments)
    form = form_of(check.name, pieces(result), isinstance(result, Most), check.stack)
    half = {**halves(sizes), STACKS[check.stack]: 0.0}
    return MovedCheck(check, ready.limit, form, sizes.box.middle, half), pieces(result)[0]
