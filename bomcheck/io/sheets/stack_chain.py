"""What a shim stack does to the checks that it moves, as straight lines in the stack's thickness."""

from collections.abc import Mapping

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import prepare
from bomcheck.model.affine import Affine, Most, NotAffine, pieces
from bomcheck.model.box import Box
from bomcheck.model.job import Job
from bomcheck.model.limits import Limit
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.rule import STACKS, Check
from bomcheck.paper.live import HARDLY, all_shown
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
class Straight:
    """One side of a check: rest + slope x stack, at the sizes as stated; spread: how far the ± moves it either way."""

    rest: float
    slope: float
    spread: float

    def at(self, stack: float) -> float:
        """Value with a stack of this thickness [mm]."""
        return self.rest + self.slope * stack


@dataclass(frozen=True, slots=True)
class MovedCheck:
    """A check that the stack moves. greatest: the greatest of its sides counts, else the smallest."""

    check: Check
    sides: tuple[Straight, ...]
    limit: Limit
    greatest: bool

    def ends(self, stack: float) -> tuple[float, float, float]:
        """(least, as stated, greatest) with a stack of this thickness [mm]."""
        pick = max if self.greatest else min
        least = pick(side.at(stack) - side.spread for side in self.sides)
        most = pick(side.at(stack) + side.spread for side in self.sides)
        return least, pick(side.at(stack) for side in self.sides), most


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
    sizes, key = Inputs(job, DERIVATIONS), STACKS[name]
    found: dict[str, tuple[MovedCheck, Affine]] = {}
    for check in all_checks().values():
        moved = _moved(check, sizes, key) if check.stack == name else None
        if moved is not None:
            found[check.name] = moved
    lead = next((one for one in found.values() if one[0].check.target is not None), None)
    if lead is None:
        return None
    first, affine = lead
    rest, _ = affine.split(key)
    parts = tuple(Size(k, sizes.box.middle[k], _half(sizes.box, k), slope) for k, slope in rest.slopes.items() if slope)
    return StackChain(name, first, parts, rest.const, tuple(one for one, _ in found.values()))


def _half(box: Box, key: str) -> float:
    return 0.0 if box.half[key] <= HARDLY else box.half[key]


def _moved(check: Check, sizes: Inputs, key: str) -> tuple[MovedCheck, Affine] | None:
    ready = prepare(check, sizes)
    if ready.settled is not None or ready.limit is None:
        return None
    result = check.function(**ready.arguments)
    straights = tuple(_straight(piece, key, sizes.box) for piece in pieces(result))
    return MovedCheck(check, straights, ready.limit, isinstance(result, Most)), pieces(result)[0]


def _straight(piece: Affine, key: str, box: Box) -> Straight:
    rest, slope = piece.split(key)
    return Straight(rest.at(box.middle), slope, _spread(rest, box.half))


def _spread(rest: Affine, half: Mapping[str, float]) -> float:
    return rest.spread({key: width for key, width in half.items() if width > HARDLY})
