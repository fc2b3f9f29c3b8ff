"""One body of one job: the finding that says how near it comes to what turns, and what is to be measured or done."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from itertools import product
from math import ceil, floor

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import ask_text, finding_of, label_of, why_not, with_deciding
from bomcheck.engine.space import ANYWHERE, PLACED, Look, Window, looks, windows_of, with_shims
from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.body import ANY, Part, Space, terms
from bomcheck.model.box import Range
from bomcheck.model.finding import Finding, PairFound, Reason, length, limit_text, mm, mm_range, value_text
from bomcheck.model.limits import Limit, limit_for
from bomcheck.model.rule import Check, Cure, Reading
from bomcheck.model.sizes import Missing
from bomcheck.model.verdict import Verdict, worst
from bomcheck.rules import all_checks
from bomcheck.rules.body_sizes import BEHIND

BY_SHIMS = "It depends on where the shims leave the caliper: try it on the car before anything is ordered"
MOST_BLANKS = 4  # of which all corners are tried
WAYS = ("along the axle", "along the axle", "from the axis", "from the axis")


class JobSight:
    """The sizes of one job, as `bomcheck.engine.space` looks at them."""

    def __init__(self, sizes: Inputs) -> None:
        self.sizes = sizes
        self.windows: dict[str, Window] = dict.fromkeys(PLACED, ANYWHERE)
        """Where the stacks are sure to bring the caliper, once they are judged."""
        self._looked: dict[str, tuple[list[Look], frozenset[str]]] = {}
        self._edges: dict[str, tuple[Affine, Range, frozenset[str]]] = {}
        self._air: dict[str, float] = {}

    def _edge(self, text: str) -> tuple[Affine, Range, frozenset[str]]:
        """An edge, its range, and the keys behind it, which count as touched each time."""
        if text not in self._edges:
            outside, self.sizes.touched = self.sizes.touched, set()
            constant, factors = terms(text)
            slopes: dict[str, float] = {}
            for key, factor in factors:
                size = self.sizes[key]
                if isinstance(size, Affine):
                    constant += factor * size.const
                    for name, slope in size.slopes.items():
                        slopes[name] = slopes.get(name, 0.0) + factor * slope
                else:
                    constant += factor * size
            edge = Affine(constant, slopes)
            self._edges[text] = edge, self.ends(edge), frozenset(self.sizes.touched)
            self.sizes.touched = outside
        found = self._edges[text]
        self.sizes.touched |= found[2]
        return found

    def looks(self, space: Space) -> list[Look]:
        """All pairs of a body that may be there, wherever the shims leave the caliper; found once."""
        name = space.body.name
        if name not in self._looked:
            outside, self.sizes.touched = self.sizes.touched, set()
            found = [look for look in looks(space, self) if look.there]
            self._looked[name] = found, frozenset(self.sizes.touched)
            self.sizes.touched = outside
        self.sizes.touched |= self._looked[name][1]
        return self._looked[name][0]

    def wanted(self) -> dict[str, Window]:
        """Where all bodies together ask that the shims bring the caliper."""
        return windows_of([look for space in spaces() for look in self.looks(space)], self)

    def leans_on_shims(self, check: Check) -> bool:
        """Whether the verdict on a body hangs on where the shims leave the caliper."""
        assert check.space is not None
        unsure = [look for look in self.looks(check.space) if not look.clear and not look.never]
        return any(key in way.slopes for look in unsure for way in look.ways for key in PLACED.values())

    def edge(self, text: str) -> Affine:
        """An edge as it is written in a row."""
        return self._edge(text)[0]

    def ends(self, value: Affine) -> Range:
        """Its range over the ±."""
        box = self.sizes.box
        middle = spread = 0.0
        for key, slope in value.slopes.items():
            middle += slope * box.middle[key]
            spread += abs(slope) * box.half[key]
        return Range(value.const + middle - spread, value.const + middle, value.const + middle + spread)

    def edge_ends(self, text: str) -> Range:
        """The range of an edge, found once."""
        return self._edge(text)[1]

    def holds(self, when: Mapping[str, tuple[str, ...]]) -> tuple[bool, bool]:
        """(surely, maybe): whether an arrangement is there."""
        sure = True
        for key, allowed in when.items():
            if not self.sizes.has(key):
                sure = False
            elif self.sizes[key] not in allowed:
                return False, False
        return sure, True

    def air(self, limit: str) -> float:
        """The least air [mm]."""
        if limit not in self._air:
            self._air[limit] = limit_for(limit, self.sizes.job).low or 0.0
        return self._air[limit]

    def some(self, found: bool) -> bool:
        """Whether it holds."""
        return found

    def greatest(self, values: list[float]) -> float:
        """The greatest of some numbers."""
        return max(values)

    def chosen(self, mask: bool, one: Range, other: Range) -> Range:
        """One of the two."""
        return one if mask else other


@cache
def spaces() -> tuple[Space, ...]:
    """Every fixed body."""
    return tuple(check.space for check in all_checks().values() if check.space is not None)


def judge_space(check: Check, sight: JobSight) -> tuple[Finding, Cure | None]:
    """The finding of one fixed body, and what cures it."""
    assert check.space is not None
    sizes = sight.sizes
    try:
        reason = why_not(check, sizes)
    except Missing:
        reason = ""
    if reason:
        said = replace(finding_of(check, sizes, Verdict.DOES_NOT_APPLY, said=reason), reason=Reason.OTHER_ARRANGEMENT)
        return said, None
    seen = [with_shims(look, sight, sight.windows) for look in sight.looks(check.space)]
    if not seen:
        return replace(finding_of(check, sizes, Verdict.DOES_NOT_APPLY), reason=Reason.OTHER_ARRANGEMENT), None
    deciding = deciding_of(seen)
    verdict = _verdict(deciding)
    finding = _measured(check, sight, seen, deciding, verdict)
    if verdict is Verdict.NOT_KNOWN:
        open_looks = [look for look in seen if not look.clear]
        return _asked(finding, check, sight, deciding, open_looks), None
    if verdict is Verdict.FITS or check.remedy is None:
        return finding, None
    return _cured(finding, check, sizes, deciding)


def deciding_of(seen: list[Look]) -> Look:
    """The first pair that is never clear, else the one with the least room of those that are open, else of all."""
    never = [look for look in seen if look.never]
    if never:
        return never[0]
    return min([look for look in seen if not look.clear] or seen, key=lambda look: look.value.low - look.air)


def _verdict(look: Look) -> Verdict:
    return Verdict.DOES_NOT_FIT if look.never else Verdict.FITS if look.clear else Verdict.NOT_KNOWN


_LAID = {
    "axial": "the caliper's centre {} inboard of the disc's",
    "radial": "the pad's top edge {} over the disc's edge",
}


def _laid(stack: str, window: Window, allowed: Range) -> str:
    """Where the shims must bring the caliper, so that it is clear."""
    low, high = max(window.floor, allowed.low), min(window.ceiling, allowed.high)
    return f"; with shims that bring {_LAID[stack].format(mm_range(low, high, 2))}"


_REASONS = {Verdict.NOT_KNOWN: Reason.STRADDLES, Verdict.DOES_NOT_FIT: Reason.OUTSIDE_LIMIT}


def _measured(check: Check, sight: JobSight, seen: list[Look], look: Look, verdict: Verdict) -> Finding:
    """Which pair decides, how far apart it is and must be, whatever the blanks are; all pairs behind it."""
    limit = limit_for(look.pair.limit, sight.sizes.job)
    blanks = _blanks(look.ways, sight)
    words = value_text(look.value, "mm") if not blanks else mm_range(look.value.low, look.value.high, 2)
    said = f"Nearest is the {look.pair.turning}, {words}; must be {limit_text(limit)}"
    if blanks and verdict is not Verdict.NOT_KNOWN:
        said += f"; whatever {' and '.join(_span(key, sight) for key in blanks[:3])}"
    if verdict is Verdict.FITS and sight.leans_on_shims(check):
        asked = [(stack, window) for stack, window in sight.windows.items() if window.asked]
        said += "".join(_laid(stack, one, sight.ends(Affine(0.0, {PLACED[stack]: 1.0}))) for stack, one in asked)
    return replace(
        finding_of(check, sight.sizes, verdict, said=said),
        reason=_REASONS.get(verdict, Reason.NONE),
        formula=_formula(look, sight),
        value=look.value,
        limit=limit,
        margin=look.value.low - look.air,
        pairs=_pairs(check, seen, sight),
    )


def _pairs(check: Check, seen: list[Look], sight: JobSight) -> tuple[PairFound, ...]:
    """One for each turning body, by the box that comes nearest."""
    by_name: dict[str, list[Look]] = {}
    for look in seen:
        by_name.setdefault(look.pair.turning, []).append(look)
    found = []
    for name, some in by_name.items():
        near = deciding_of(some)
        verdict = worst([_verdict(look) for look in some])
        found.append(PairFound(check.title, name, near.value, limit_for(near.pair.limit, sight.sizes.job), verdict))
    return tuple(found)


def _formula(look: Look, sight: JobSight) -> str:
    """The way in which the two are farthest apart, in figures."""
    middle = look.value.middle
    if not look.parts:
        return f"{look.pair.turning}: {length(middle, 2)}"
    fixed, turning = look.parts
    edges = ((fixed.x0, turning.x1), (turning.x0, fixed.x1), (fixed.r0, turning.r1), (turning.r0, fixed.r1))
    stands = [(sight.edge_ends(far).middle, sight.edge_ends(near).middle) for far, near in edges]
    place = max(range(4), key=lambda number: stands[number][0] - stands[number][1])
    far, near = (f"({length(one, 2)})" if one < 0 else length(one, 2) for one in stands[place])
    return f"{WAYS[place]}: {far} − {near} = {length(middle, 2)}"


# what is blank ---------------------------------------------------------------------------------------------------------


def _blanks(ways: tuple[Affine, ...], sight: JobSight) -> list[str]:
    """The sizes of which nothing is known, or only what others bound, that stand in some way of being apart."""
    keys = dict.fromkeys(key for way in ways for key, slope in way.slopes.items() if slope)
    return [key for key in keys if _is_blank(key, sight.sizes)]


def fields_behind(ways: tuple[Affine, ...], sight: JobSight) -> tuple[str, ...]:
    """The fields to fill in behind the blank sizes of some edges or ways."""
    return tuple(dict.fromkeys(field for key in _blanks(ways, sight) for field in _typed(key, sight.sizes)))


def standing(part: Part, when: Mapping[str, tuple[str, ...]], sight: JobSight) -> tuple[bool, bool, tuple[str, ...]]:
    """(surely there, maybe there, blank fields behind its edges and its place). when: where its whole body is there."""
    needed = {**part.when, **when}
    sure, maybe = sight.holds(needed)
    edges = tuple(sight.edge(edge) for edge in (part.x0, part.x1, part.r0, part.r1))
    blank = (*fields_behind(edges, sight), *(key for key in needed if not sight.sizes.has(key)))
    return sure, maybe, tuple(dict.fromkeys(blank))


def too_near(space: Space, sight: JobSight) -> Iterator[Look]:
    """Pairs that are nearer than their air: as the sizes are stated, or whatever a blank one is."""
    for look in looks(space, sight):
        stated = look.value.middle < look.air - NOISE and not fields_behind(look.ways, sight)
        if look.there and (look.never or stated):
            yield look


def _is_blank(key: str, sizes: Inputs) -> bool:
    unknown = key.startswith(ANY) and not sizes.trail.get(key)
    return unknown or any(not sizes.has(field) for field in BEHIND.get(key, ()))


def _span(key: str, sight: JobSight) -> str:
    """ "ear thickness between 5 and 50 mm"; of a size that others bound, the field that is blank."""
    lacking = [field for field in BEHIND.get(key, ()) if not sight.sizes.has(field)]
    if len(BEHIND.get(key, ())) > 1 and lacking:
        return " and ".join(label_of(field) for field in lacking)
    box = sight.sizes.box
    low, high = box.middle[key] - box.half[key], box.middle[key] + box.half[key]
    return f"{label_of(lacking[0] if lacking else key)} between {mm_range(low, high)}".replace(" to ", " and ")


def _asked(finding: Finding, check: Check, sight: JobSight, look: Look, open_looks: list[Look]) -> Finding:
    """What would settle it: the blanks that can, else how closely to measure."""
    sizes = sight.sizes
    keys = [key for name in dict.fromkeys(one.pair.turning for one in open_looks)
            for key in _of_pair([one for one in open_looks if one.pair.turning == name], sight)]  # fmt: skip
    keys += [key for key in check.when if not sizes.has(key)]
    asks = tuple(dict.fromkeys(key for key in keys))
    if not asks:
        best = max(look.ways or (Affine(0.0),), key=lambda way: way.at(sizes.box.middle))
        worst_placed = _placed_worst(best, sight)
        if not worst_placed.spread(sizes.box.half):
            return replace(finding, do=BY_SHIMS, reason=Reason.SHIMS)
        found = with_deciding(finding, (worst_placed,), sizes)
        beside = [
            field for key in _blanks(look.ways, sight) for field in _typed(key, sizes)
        ]  # with these, less will do
        return replace(found, asks=tuple(dict.fromkeys((*found.asks, *beside))))
    short = [key for key in asks if key in sizes.job.values]
    said, reason = f"{finding.said}; it depends on {', '.join(label_of(key) for key in asks[:3])}", Reason.BLANK
    if short:
        said = (
            f"{finding.said}; {label_of(short[0])}: what was entered does not go far enough{_needed(short[0], sizes)}"
        )
        reason = Reason.OUTSIDE_TABLE
    do = ask_text(asks, sizes)
    if look.pair.turning == "wheel barrel" and "wheel_barrel" in asks and sizes.has("likely_barrel_gap"):
        said, do = f"{said}; {_likely(look, sizes)}", f"Hold the kit's template in the wheel, or: {do}"
    return replace(finding, said=said, asks=asks, do=do, reason=reason)


def _needed(table: str, sizes: Inputs) -> str:
    """From where to where a table must go."""
    key = f"{table}_needed"
    if not sizes.has(key):
        return ""
    middle, half = sizes.number(key), sizes.half(key)
    return f", it is needed from {mm_range(floor(middle - half), ceil(middle + half))}"


def _likely(look: Look, sizes: Inputs) -> str:
    """What a rim's stamp tells of a barrel that was not measured."""
    room, rim = sizes.number("likely_barrel_gap"), f"by a rim of {sizes.number('wheel_rim_code'):g} in it is"
    if room >= look.air:
        return f"{rim} likely clear by {mm(floor(room))}"
    return f"{rim} likely {'tight' if room > 0 else 'in the way'}, about {mm(round(room))}"


def _placed_worst(way: Affine, sight: JobSight) -> Affine:
    """The same with the caliper where its shims may leave it at worst: that is not measured."""
    box = sight.sizes.box
    for key in PLACED.values():
        rest, slope = way.split(key)
        if slope:
            way = rest + (slope * box.middle[key] - abs(slope) * box.half[key])
    return way


def _typed(key: str, sizes: Inputs) -> tuple[str, ...]:
    """The fields to fill in behind a blank size."""
    lacking = tuple(field for field in BEHIND.get(key, ()) if not sizes.has(field))
    try:
        sizes[key.removeprefix(ANY)]
    except Missing as missing:
        blank = tuple(name.removeprefix(ANY) for name in missing.keys)
        return lacking or blank if set(blank) <= sizes.job.values.keys() else (*blank, *lacking)
    return lacking


def _of_pair(open_looks: list[Look], sight: JobSight) -> list[str]:
    """The fields whose filling can settle one pair: make all its open boxes clear, or one of them surely not."""
    sizes, clearing, failing, words = sight.sizes, [], [], []
    for look in open_looks:
        hopeful = [way for way in look.ways if sight.ends(way).high >= look.air - NOISE]
        blanks = _blanks(tuple(hopeful), sight)
        clear, never = _may_settle(look, blanks, sight)
        typed = [field for key in blanks for field in _typed(key, sizes)]
        clearing.append(typed if clear else [])
        failing += typed if never else []
        words += [key for part in look.parts for key in part.when if not sizes.has(key)]
    settled = [field for typed in clearing for field in typed] if all(clearing) else []
    return [*settled, *failing, *words]


def _may_settle(look: Look, blanks: list[str], sight: JobSight) -> tuple[bool, bool]:
    """Whether some filling of the blanks makes a pair clear, and whether one makes it surely not, for all true sizes."""
    tried = blanks[:MOST_BLANKS]
    half = {key: size for key, size in sight.sizes.box.half.items() if key not in tried}
    clear = never = False
    for corner in product((-1.0, 1.0), repeat=len(tried)) if tried else ():
        at = dict(sight.sizes.box.middle)
        at.update({key: at[key] + sign * sight.sizes.box.half[key] for key, sign in zip(tried, corner, strict=True)})
        middles = [(way.at(at), way.spread(half)) for way in look.ways]
        clear = clear or max(middle - spread for middle, spread in middles) >= look.air - NOISE
        never = never or max(middle + spread for middle, spread in middles) < look.air - NOISE
    return clear, never


def _cured(finding: Finding, check: Check, sizes: Inputs, look: Look) -> tuple[Finding, Cure | None]:
    assert check.remedy is not None
    limit: Limit | None = finding.limit
    try:
        cure = check.remedy(Reading(sizes, look.value, limit, finding.said, look.pair.turning))
    except Missing as missing:
        said = f"{finding.said}; it fails, and what would cure it depends on a size that is blank"
        do = ask_text(missing.keys, sizes)
        asked = replace(finding, verdict=Verdict.NOT_KNOWN, said=said, asks=missing.keys, do=do, reason=Reason.BLANK)
        return asked, None
    return replace(finding, verdict=cure.verdict, do=cure.do), cure
