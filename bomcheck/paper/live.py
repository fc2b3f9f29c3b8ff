"""The checks as straight lines over plain sizes, so that a sheet can reckon them anew. Pure data.

Every form is run against the finding that the run made: one that does not come to the run's own figures is left out, and
its check then only says that it must be run again.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import prepare
from bomcheck.engine.settle import settle
from bomcheck.model.affine import Affine, Most, NotAffine, keys_of, pieces
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.rule import STACKS
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.tables.fields import fields

HARDLY = 1e-12  # mm; makes an exact size show up in a form without changing any figure
CLOSE = 1e-6
REMEDY = " with the remedy"


@dataclass(frozen=True, slots=True)
class Straight:
    """const + sum(of * size) + sum(spread * its ±); lengths in mm."""

    const: float
    of: Mapping[str, float]
    spread: Mapping[str, float]

    def at(self, middle: Mapping[str, float], half: Mapping[str, float]) -> float:
        """Its value where sizes and ± are these."""
        reach = sum(slope * half[key] for key, slope in self.spread.items())
        return self.const + sum(slope * middle[key] for key, slope in self.of.items()) + reach


@dataclass(frozen=True, slots=True)
class Form:
    """One check. low, middle, high: of each the smallest counts, or where `greatest` the greatest.

    exact: whether the far end is exact; of three values and more it may lie further out than the true one. stack: whether
    the stack that is tried counts, "axial", "radial" or "". cured: whether all remedies are in its sizes.
    """

    check: str
    low: tuple[Straight, ...]
    middle: tuple[Straight, ...]
    high: tuple[Straight, ...]
    greatest: bool
    exact: bool
    stack: str
    cured: bool = True

    def ends(self, middle: Mapping[str, float], half: Mapping[str, float]) -> tuple[float, float, float]:
        """(Least, as stated, most)."""
        pick = max if self.greatest else min
        low, at, high = (pick(one.at(middle, half) for one in end) for end in (self.low, self.middle, self.high))
        return low, at, high

    @property
    def keys(self) -> tuple[str, ...]:
        """The sizes that count."""
        return tuple(dict.fromkeys(key for one in self.middle for key in one.of))


@dataclass(frozen=True, slots=True)
class Size:
    """A size of a form. key: the field's, with REMEDY behind it where a remedy set the size. value, half [mm]. typed:
    whether a person typed it so.
    """

    key: str
    value: float
    half: float
    typed: bool

    @property
    def changed(self) -> bool:
        """Whether a remedy set it."""
        return self.key.endswith(REMEDY)

    @property
    def field(self) -> str:
        """Key of the field, or of the size that follows from others."""
        return self.key.removesuffix(REMEDY)


@dataclass(frozen=True, slots=True)
class Live:
    """forms: by check. sizes: by key, in the order of the fields; stacks [mm] stand among them under their own keys."""

    forms: Mapping[str, Form]
    sizes: Mapping[str, Size]


def live(report: Report) -> Live:
    """The forms of all findings that have a value, and the sizes that they are made of."""
    cured = report.cured
    line = {key: value for key, value in cured.values.items() if key == "brake_line"}
    as_typed = Inputs(all_shown(settle(replace(report.job, values={**report.job.values, **line}))), DERIVATIONS)
    states = [Inputs(all_shown(cured), DERIVATIONS)]
    if any(report.job.values.get(key) != value for key, value in cured.values.items() if key in report.job.values):
        states.append(as_typed)
    stacks = {STACKS[name]: plan.likely.thickness for name, plan in report.plans.items()}
    forms: dict[str, Form] = {}
    sizes: dict[str, Size] = {}
    for finding in report.findings:
        for state in states:
            found = _form(finding, state, stacks)
            if found is not None:
                found = replace(_remedied(found, state, report.job), cured=state is states[0])
                forms[finding.check] = found
                sizes |= {key: _size(key, state, report.job) for key in found.keys if key not in STACKS.values()}
                break
    sizes |= {key: Size(key, thickness, 0.0, False) for key, thickness in stacks.items()}
    order = list(fields())
    placed = sorted(sizes.values(), key=lambda one: order.index(one.field) if one.field in order else len(order))
    return Live(forms, {size.key: size for size in placed})


def _size(name: str, state: Inputs, job: Job) -> Size:
    key = name.removesuffix(REMEDY)
    half, typed = state.box.half[key], job.values.get(key)
    known = typed is not None and isinstance(typed.value, int | float) and name == key
    return Size(name, state.box.middle[key], 0.0 if half <= HARDLY else half, known)


def _remedied(form: Form, state: Inputs, job: Job) -> Form:
    """The form with the sizes that a remedy set under names of their own."""
    names = {}
    for key in form.keys:
        typed = job.values.get(key)
        if typed is not None and isinstance(typed.value, int | float) and key in state.box.middle:
            half = 0.0 if state.box.half[key] <= HARDLY else state.box.half[key]
            if abs(typed.value - state.box.middle[key]) > HARDLY or abs(typed.plus_minus - half) > HARDLY:
                names[key] = f"{key}{REMEDY}"
    if not names:
        return form

    def renamed(end: tuple[Straight, ...]) -> tuple[Straight, ...]:
        return tuple(replace(one, of=_named(one.of, names), spread=_named(one.spread, names)) for one in end)

    return replace(form, low=renamed(form.low), middle=renamed(form.middle), high=renamed(form.high))


def _named(slopes: Mapping[str, float], names: Mapping[str, str]) -> dict[str, float]:
    return {names.get(key, key): slope for key, slope in slopes.items()}


def all_shown(job: Job) -> Job:
    """The job with a hair of ± on exact lengths, so that they are named in the forms."""
    known = fields()
    values = {
        key: replace(value, plus_minus=HARDLY)
        if key in known
        and known[key].unit == "mm"
        and value.plus_minus <= 0
        and isinstance(value.value, int | float)
        and known[key].notation == "number"
        else value
        for key, value in job.values.items()
    }
    return replace(job, values=values)


def _form(finding: Finding, state: Inputs, stacks: Mapping[str, float]) -> Form | None:
    """The finding's form in this state of the job, if it comes to the finding's own figures."""
    check = all_checks().get(finding.check)
    if finding.value is None or check is None or check.kind != "range":
        return None
    try:
        ready = prepare(check, state)
        result = None if ready.settled is not None else check.function(**ready.arguments)
    except (NotAffine, TypeError, ZeroDivisionError):
        return None
    if result is None:
        return None
    key = STACKS.get(check.stack, "")
    laid = finding.with_stack or 0.0
    tried = key in stacks and abs(stacks[key] - laid) < CLOSE
    parts = tuple(_fixed(piece, key, laid) if key and not tried else piece for piece in pieces(result))
    form = _of_pieces(finding.check, parts, isinstance(result, Most), check.stack if tried else "")
    middle = {**state.box.middle, **stacks}
    half = {one: 0.0 if width <= HARDLY else width for one, width in state.box.half.items()} | dict.fromkeys(
        stacks, 0.0
    )
    found, value = form.ends(middle, half), finding.value
    same = all(abs(a - b) < CLOSE for a, b in zip(found, (value.low, value.middle, value.high), strict=True))
    return form if same else None


def _fixed(piece: Affine, key: str, thickness: float) -> Affine:
    rest, slope = piece.split(key)
    return rest + slope * thickness


def _of_pieces(name: str, parts: Sequence[Affine], greatest: bool, stack: str) -> Form:
    """The near end of a smallest is that of its pieces; the far end is the least of all their mixtures' ends."""
    near, far = (1.0, -1.0) if greatest else (-1.0, 1.0)
    middle = tuple(_line(part, 0.0) for part in parts)
    near_end = tuple(_line(part, near) for part in parts)
    far_end = tuple(_line(part, far) for part in (*parts, *_mixtures(parts)))
    low, high = (far_end, near_end) if greatest else (near_end, far_end)
    return Form(name, low, middle, high, greatest, len(parts) < 3, stack)


def _line(part: Affine, side: float) -> Straight:
    of = {key: slope for key, slope in part.slopes.items() if slope}
    reach = {key: side * abs(slope) for key, slope in of.items() if side and key not in STACKS.values()}
    return Straight(part.const, of, reach)


def _mixtures(parts: Sequence[Affine]) -> Iterator[Affine]:
    """Of each two pieces the mixtures in which a size falls out: where the far end of both together may lie."""
    for one, other in combinations(parts, 2):
        shares = set()
        for key in keys_of((one, other)):
            a, b = one.slopes.get(key, 0.0), other.slopes.get(key, 0.0)
            if a * b < 0:
                shares.add(round(b / (b - a), 12))
        for share in sorted(shares):
            yield one * share + other * (1 - share)
