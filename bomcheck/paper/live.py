"""The checks as straight lines over plain sizes, so that a sheet can reckon them anew. Pure data.

Every form is run against the finding that the run made: one that does not come to the run's own figures is left out, and
its check then only says that it must be run again.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import prepare
from bomcheck.engine.settle import settle
from bomcheck.engine.sight import JobSight
from bomcheck.engine.space import FAR, PLACED, Look, edges_of
from bomcheck.model.affine import Affine, Most, NotAffine, keys_of, pieces
from bomcheck.model.body import ANY, Space
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Report
from bomcheck.model.rule import STACKS
from bomcheck.model.stack import StackPlan
from bomcheck.rules import all_checks
from bomcheck.rules.body_sizes import BEHIND
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


Group = tuple[Straight, ...]
"""Lines of which the greatest counts."""


@dataclass(frozen=True, slots=True)
class Form:
    """One check. low, middle, high: of each the smallest of the groups' greatest counts.

    near: how much each size may count in what was left out; while all of them together have moved by no more than NEAR, that
    decides nothing. exact: whether the far end is exact; of three values and more it may lie further out than the true one. stack: whether
    the stack that is tried counts, "axial", "radial" or "". cured: whether all remedies are in its sizes. behind: fields that
    a size follows from which no line says, or that are blank.
    """

    check: str
    low: tuple[Group, ...]
    middle: tuple[Group, ...]
    high: tuple[Group, ...]
    exact: bool
    stack: str = ""
    cured: bool = True
    near: tuple[tuple[str, float], ...] = ()
    behind: tuple[str, ...] = ()

    def ends(self, middle: Mapping[str, float], half: Mapping[str, float]) -> tuple[float, float, float]:
        """(Least, as stated, most)."""
        ends = (self.low, self.middle, self.high)
        low, at, high = (min(max(one.at(middle, half) for one in group) for group in end) for end in ends)
        return low, at, high

    @property
    def followed(self) -> frozenset[str]:
        """The sizes whose own cells its lines follow."""
        return frozenset(self.keys) - frozenset(self.behind)

    @property
    def keys(self) -> tuple[str, ...]:
        """The sizes that count."""
        ends = (*self.low, *self.middle)
        return tuple(dict.fromkeys(key for group in ends for one in group for key in one.of))


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
            found = _form(finding, state, report.plans)
            if found is not None:
                behind = tuple(dict.fromkeys(field for key in found.keys for field in _behind(key, state)))
                found = replace(_remedied(found, state, report.job), cured=state is states[0], behind=behind)
                forms[finding.check] = found
                sizes |= {key: _size(key, state, report.job) for key in found.keys if key not in STACKS.values()}
                break
    sizes |= {key: Size(key, thickness, 0.0, False) for key, thickness in stacks.items()}
    order = list(fields())
    placed = sorted(sizes.values(), key=lambda one: order.index(one.field) if one.field in order else len(order))
    return Live(forms, {size.key: size for size in placed})


def _behind(key: str, state: Inputs) -> Iterator[str]:
    """The fields that a size follows from."""
    yield from (field for field in state.trail.get(key, ()) if field != key)
    if key.startswith(ANY) and not state.trail.get(key):
        yield from BEHIND.get(key, ()) or (key.removeprefix(ANY),)


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

    def renamed(end: tuple[Group, ...]) -> tuple[Group, ...]:
        return tuple(
            tuple(replace(one, of=_named(one.of, names), spread=_named(one.spread, names)) for one in group)
            for group in end
        )

    near = tuple(_named(dict(form.near), names).items())
    return replace(form, low=renamed(form.low), middle=renamed(form.middle), high=renamed(form.high), near=near)


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


def _form(finding: Finding, state: Inputs, plans: Mapping[str, StackPlan]) -> Form | None:
    """The finding's form in this state of the job, if it comes to the finding's own figures."""
    stacks = {STACKS[name]: plan.likely.thickness for name, plan in plans.items()}
    check = all_checks().get(finding.check)
    if finding.value is not None and check is not None and check.space is not None:
        return body_form(finding, check.space, JobSight(state, plans))
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
    form = form_of(finding.check, parts, isinstance(result, Most), check.stack if tried else "")
    middle = {**state.box.middle, **stacks}
    half = {**halves(state), **dict.fromkeys(stacks, 0.0)}
    return form if same(form, finding, middle, half) else None


def halves(state: Inputs) -> dict[str, float]:
    """The ± of each size, none for what was exact."""
    return {key: 0.0 if width <= HARDLY else width for key, width in state.box.half.items()}


def same(form: Form, finding: Finding, middle: Mapping[str, float], half: Mapping[str, float]) -> bool:
    """Whether it comes to what the run found."""
    assert finding.value is not None
    value = finding.value
    found = form.ends(middle, half)
    return all(abs(a - b) < CLOSE for a, b in zip(found, (value.low, value.middle, value.high), strict=True))


def _fixed(piece: Affine, key: str, thickness: float) -> Affine:
    rest, slope = piece.split(key)
    return rest + slope * thickness


def form_of(name: str, parts: Sequence[Affine], greatest: bool, stack: str) -> Form:
    """The near end of a smallest is that of its pieces; the far end is the least of all their mixtures' ends."""
    near, far = (1.0, -1.0) if greatest else (-1.0, 1.0)
    middle = tuple(_line(part, 0.0) for part in parts)
    near_end = tuple(_line(part, near) for part in parts)
    far_end = tuple(_line(part, far) for part in (*parts, *_mixtures(parts)))
    if greatest:
        return Form(name, (far_end,), (middle,), (near_end,), len(parts) < 3, stack)
    low, at, high = (tuple((one,) for one in end) for end in (near_end, middle, far_end))
    return Form(name, low, at, high, len(parts) < 3, stack)


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


# bodies: of each pair the ways to be apart ----------------------------------------------------------------------------

NEAR = 3.0  # mm; a line that is twice as far from deciding is left out, and a check that the sizes have moved past it


def body_form(finding: Finding, space: Space, sight: JobSight) -> Form | None:
    """The form of one fixed body: the least room of its pairs, each apart in the way that is widest; stated and greatest are
    those of the pair that decides. None where a pair may or may not be there, where shims see to it, or where it stands at the
    edge of a closer look."""
    asked = (finding.limit.low if finding.limit else None) or 0.0
    looked, box = sight.looks(space), sight.sizes.box
    decides = next((look for look in looked if _is_of(finding, look)), None)
    if decides is None:
        return None
    least = decides.value.low - decides.air
    kept = [look for look in looked if look.value.low - look.air < least + 2 * NEAR]
    firm = least < FAR - 2 * NEAR
    lines = {id(look): _lines(look, sight, firm and look is not decides) for look in kept}
    if not _sure(space, kept, sight) or None in lines.values():
        return None
    low, middle, high = (
        tuple(
            tuple(
                replace(one, const=one.const - look.air + asked + (_moved(one, sight) if end == 1 else 0.0))
                for one in (lines[id(look)] or ())[end]
            )
            for look in looks
        )
        for end, looks in enumerate((kept, (decides,), (decides,)))
    )
    alone = all(group == low[0] for group in low) and all(len(part.along) < 2 for part in decides.parts)
    placed = any(key in PLACED.values() for look in kept for way in look.ways for key in way.slopes)
    form = Form(finding.check, low, middle, high, alone and not placed)
    weights: dict[str, float] = {}
    for key, weight in (one for look in looked if len(looked) > 1 or look.parts for one in _weights(look, sight)):
        weights[key] = max(weights.get(key, 0.0), weight)
    near = tuple((key, weight) for key, weight in weights.items() if key in form.keys)
    return replace(form, near=near) if same(form, finding, box.middle, halves(sight.sizes)) else None


def _moved(line: Straight, sight: JobSight) -> float:
    """By how much the shims to start with put what is stated beside the middle of what may come of them [mm]."""
    stands, middle = sight.stands, sight.sizes.box.middle
    return sum(slope * (stands[key] - middle[key]) for key, slope in line.of.items() if key in stands)


def _is_of(finding: Finding, look: Look) -> bool:
    """Whether it is the pair that the finding tells of."""
    found = finding.value
    return found is not None and all(
        abs(a - b) < CLOSE
        for a, b in ((found.low, look.value.low), (found.middle, look.value.middle), (found.high, look.value.high))
    )


def _sure(space: Space, kept: Sequence[Look], sight: JobSight) -> bool:
    """Whether all of them are surely there."""
    wheres = [space.body.when, *(part.when for look in kept for part in look.parts)]
    return all(sight.holds(where)[0] for where in wheres)


def _weights(look: Look, sight: JobSight) -> Iterator[tuple[str, float]]:
    """By how much a pair's distance may change where a size or its ± does."""
    if not look.parts:
        yield from ((key, abs(slope)) for way in look.ways for key, slope in way.slopes.items())
    for far, near in (edges for way in edges_of(*look.parts) for edges in way) if look.parts else ():
        a, b = sight.edge(far), sight.edge(near)
        yield from ((key, abs(a.slopes.get(key, 0.0)) + abs(b.slopes.get(key, 0.0))) for key in keys_of((a, b)))


def _lines(look: Look, sight: JobSight, firm: bool) -> tuple[Group, Group, Group] | None:
    """The pair's least, stated and greatest distance: a group each of the ways that may decide. None where it stands where
    the closer look begins, unless that is `firm`ly beyond what decides."""
    if not look.parts:
        ends = [tuple(_line(way, side) for way in look.ways) for side in (-1.0, 0.0, 1.0)]
        return ends[0], ends[1], ends[2]
    edges = [[(sight.edge(far), sight.edge(near)) for far, near in way] for way in edges_of(*look.parts)]
    reach = [[_line(a - b, 0.0).at(sight.sizes.box.middle, {}) for a, b in way] for way in edges]
    top = max(look.value.high, max(max(way) for way in reach)) - 2 * NEAR - (look.value.high - look.value.low)
    edges = [way for way, middles in zip(edges, reach, strict=True) if max(middles) >= top]
    rough = max(_apart(a, b, -1.0).at(sight.sizes.box.middle, sight.sizes.box.half) for way in edges for a, b in way)
    if not firm and abs(rough - look.air - FAR) < NEAR:
        return None
    line: Callable[[Affine, Affine, float], Straight] = (lambda a, b, side: _line(a - b, side)) if look.ways else _apart
    tight = [
        min(way, key=lambda ends: line(ends[0], ends[1], 1.0).at(sight.sizes.box.middle, sight.sizes.box.half))
        for way in edges
    ]
    return (
        tuple(line(a, b, -1.0) for way in edges for a, b in way),
        tuple(line(way[0][0], way[0][1], 0.0) for way in edges),
        tuple(line(a, b, 1.0) for a, b in tight),
    )


def _apart(one: Affine, other: Affine, side: float) -> Straight:
    """The same by each edge's own range."""
    reach = {
        key: side * (abs(one.slopes.get(key, 0.0)) + abs(other.slopes.get(key, 0.0))) for key in keys_of((one, other))
    }
    return Straight(one.const - other.const, _line(one - other, 0.0).of, reach if side else {})
