"""One body of one job: the finding that says how near it comes to what turns, and what is to be measured or done."""

from collections.abc import Iterator, Mapping
from itertools import product
from math import ceil, floor

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import apart, ask_text, asked_together, finding_of, label_of, why_not, with_deciding
from bomcheck.engine.sight import JobSight
from bomcheck.engine.space import PLACED, Look, Window, edges_of, with_shims
from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.body import ANY, Part, Space
from bomcheck.model.box import Range
from bomcheck.model.finding import Finding, PairFound, Reason, length, limit_text, mm, mm_range, value_text
from bomcheck.model.job import Value
from bomcheck.model.limits import Limit, limit_for
from bomcheck.model.records import replace
from bomcheck.model.rule import Check, Cure, Reading
from bomcheck.model.sizes import Missing
from bomcheck.model.verdict import Verdict, worst
from bomcheck.rules.body_sizes import BEHIND
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.tables.fields import fields

BY_SHIMS = "It depends on where the shims leave the caliper: try it on the car before anything is ordered"
CLOSER = "Measure what decides it more closely, and fill in what is blank"
MOST_BLANKS = 4  # of which all corners are tried
SHARES = (0.5, 0.25)  # of a ±: to these it is tried whether closer sizes settle it
WAYS = ("along the axle", "along the axle", "from the axis", "from the axis")


def judge_space(check: Check, sight: JobSight) -> tuple[Finding, Cure | None]:
    """The finding of one fixed body, and what cures it."""
    assert check.space is not None
    sizes = sight.sizes
    try:
        reason = why_not(check, sizes)
    except Missing:
        reason = ""
    if reason:
        said = apart(check, sizes, reason)
        return said, None
    seen = [with_shims(look, sight, sight.windows) for look in sight.looks(check.space)]
    if not seen:
        return apart(check, sizes, ""), None
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
    value = stated(look, sight)
    words = value_text(value, "mm") if not blanks else mm_range(value.low, value.high, 2)
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
        value=value,
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
        found.append(
            PairFound(check.title, name, stated(near, sight), limit_for(near.pair.limit, sight.sizes.job), verdict)
        )
    return tuple(found)


def _stands(look: Look, sight: JobSight) -> list[tuple[float, float]]:
    """Where the edges that keep two boxes apart stand with the shims to start with."""
    texts = (way[0] for way in edges_of(*look.parts)) if look.parts else ()
    return [(sight.ends(sight.edge(far)).middle, sight.ends(sight.edge(near)).middle) for far, near in texts]


def stated(look: Look, sight: JobSight) -> Range:
    """A pair's distance, as stated with the shims to start with."""
    ways = [far - near for far, near in _stands(look, sight)] or [sight.ends(one).middle for one in look.ways]
    low, high = sorted((look.value.low, look.value.high))  # the other way round where no stack of shims serves
    return Range(low, max(ways), high)


def _formula(look: Look, sight: JobSight) -> str:
    """The way in which the two are farthest apart, in figures."""
    middle = stated(look, sight).middle
    if not look.parts:
        return f"{look.pair.turning}: {length(middle, 2)}"
    stands = _stands(look, sight)
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
    for look in sight.looks(space):
        stated = look.value.middle < look.air - NOISE and not fields_behind(look.ways, sight)
        if look.never or stated:
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
        found = _fewest(with_deciding(finding, (worst_placed,), sizes), check, sight)
        closer = tuple(key for key in found.asks if not key.startswith(ANY))
        found = found if closer else replace(found, asks=(), settle=None, do=CLOSER)
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


def _fewest(finding: Finding, check: Check, sight: JobSight) -> Finding:
    """Of several sizes that are to be read more closely the fewest that settle it, the roughest first; else all that count."""
    job, space = sight.sizes.job, check.space
    asked = {key: width for key, width in finding.settle_each if key in job.values}
    assert space is not None
    if len(asked) < 2:
        return finding

    def looks(share: float, *keys: str) -> list[Look]:
        closer = {key: replace(job.values[key], plus_minus=share * job.values[key].plus_minus) for key in keys}
        tried = JobSight(Inputs(replace(job, values={**job.values, **closer}), DERIVATIONS))
        return [with_shims(look, tried, sight.windows) for look in tried.looks(space)]

    now = [(at, look.value) for at, look in enumerate(looks(1.0)) if not (look.clear or look.never)]
    counts = [key for key in asked if (seen := looks(0.0, key)) and any(seen[at].value != one for at, one in now)]
    rough = sorted(counts, key=lambda key: -job.values[key].plus_minus)[:MOST_BLANKS]
    tries = [(share, rough[at : at + 1]) for share in SHARES for at in range(len(rough))]
    for share, keys in (*tries, *((SHARES[-1], rough[:count]) for count in range(2, len(rough) + 1))):
        if all(look.clear or look.never for look in looks(share, *keys)):
            return asked_together(finding, {key: share * job.values[key].plus_minus for key in keys})
    return asked_together(finding, {key: asked[key] for key in counts}) if counts else finding


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
        if look.pair.gap and not _matters(look.pair.gap, look.air, typed, sizes):
            clear = never = False
        clearing.append(typed if clear else [])
        failing += typed if never else []
        words += [key for part in look.parts for key in part.when if not sizes.has(key)]
    settled = [field for typed in clearing for field in typed] if all(clearing) else []
    return [*settled, *failing, *words]


def _matters(gap: str, air: float, blank: list[str], sizes: Inputs) -> bool:
    """Of a distance that hangs on a table: whether filling the blank sizes one way and another makes a difference."""
    known = [field for key in blank if (field := fields().get(key)) and field.notation == "number"]
    if len(known) < len(blank):  # a table, or a word, is asked for
        return True
    seen = set()
    for share in (0.0, 1.0, 0.5, 0.25, 0.75):
        filled = {one.key: Value(one.key, (1 - share) * (one.low or 0.0) + share * (one.high or 0.0)) for one in known}
        tried = JobSight(Inputs(replace(sizes.job, values={**sizes.job.values, **filled}), DERIVATIONS))
        ends = tried.edge_ends(gap)
        seen.add((ends.low >= air - NOISE, ends.high < air - NOISE))
        if len(seen) > 1:
            return True
    return False


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
