"""Direct readings, taken with the parts offered up: one figure that settles what a chain of sizes leaves open."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import product

from bomcheck.engine.adjust import Adjusting, stack_limits
from bomcheck.engine.judge import with_deciding
from bomcheck.model.box import Range
from bomcheck.model.errors import Unreadable
from bomcheck.model.finding import Finding, Reason, limit_text, mm, value_text
from bomcheck.model.job import Job
from bomcheck.model.limits import Limit, limit_for
from bomcheck.model.records import replace
from bomcheck.model.rule import STACKS
from bomcheck.model.stack import FOR
from bomcheck.model.verdict import Verdict, inside, margin
from bomcheck.notation.lists import read_stacks
from bomcheck.rules import all_checks
from bomcheck.rules.bodies import BODIES
from bomcheck.tables.fields import readings

BASIS = "reading"
AGAIN = "What is cut, bought or changed moves it: read it again when that is done"
AGAINST = "The sizes that were typed cannot give what was read: one of the two is wrong. Read it again, then the sizes"
OUTSIDE = "What was read is outside the limit: see `bomcheck explain` for what cures it, or another kit"
ANOTHER_STACK = "Not on the road like this: lay another stack, or measure again what it was reckoned from"
GOOD = (Verdict.FITS, Verdict.FITS_WITH_PARTS)
READ_IT = "Read it with the parts offered up and the shims in place, and type what was read"
AS_LAID = "Type the stack that lies there, as 0.8 or 0.5 + 0.3; where the sides differ, left 0.8, right 1.2"
CLOSE = 0.06  # mm that a stack may lie beside what may be needed: the thinnest shim
MOST_SHIMS = 3.0  # mm: what shims may have moved when it was read


def with_readings(findings: Sequence[Finding], job: Job, changed: frozenset[str]) -> tuple[Finding, ...]:
    """The findings, those that sizes leave open settled by what was read of them. changed: fields that remedies change.

    A reading never stands against sizes that are sure: where these cannot give it, that is said and nothing is known.
    """
    read = {check: key for check, key in readings().items() if key in job.values}
    if not read:
        return tuple(findings)
    told = tuple(_told(one, read[one.check], job, changed) if one.check in read else one for one in findings)
    return tuple(_stacks_settled(told, read))


def _told(finding: Finding, key: str, job: Job, changed: frozenset[str]) -> Finding:
    if finding.verdict is Verdict.DOES_NOT_APPLY:
        return finding
    value = job.values[key]
    found = Range(value.value - value.plus_minus, value.value, value.value + value.plus_minus)
    words = f"Read with the parts offered up: {value_text(found, finding.unit)}"
    if changed & {*finding.reads, key}:
        return replace(finding, chain=(*finding.chain, AGAIN))
    limit = finding.limit or _limit(finding.check, job)
    fails = finding.verdict in GOOD and not _stated_inside(found, limit)
    sizes = finding.value
    meet = sizes is not None and found.low <= sizes.high and found.high >= sizes.low
    across = finding.verdict in GOOD and not fails and inside(found, limit) is None and not meet
    if across or (fails and all_checks()[finding.check].stack):
        return replace(_settled(finding, key, found, words, limit), verdict=Verdict.NOT_KNOWN)
    if finding.value is not None and (fails or not _may_be(found, finding)):
        said = f"{words}; by the sizes {value_text(finding.value, finding.unit)}"
        return replace(
            finding, verdict=Verdict.NOT_KNOWN, said=said, do=AGAINST, asks=(key,), settle=None, settle_each=(),
            reason=Reason.DOUBTED,
        )  # fmt: skip
    if finding.verdict is not Verdict.NOT_KNOWN:
        return replace(finding, chain=(*finding.chain, words))
    return _settled(finding, key, found, words, limit)


def _stated_inside(found: Range, limit: Limit) -> bool:
    """Whether the figure as it stands, without its ±, keeps the limit."""
    return inside(Range(found.middle, found.middle, found.middle), limit) is True


def _may_be(found: Range, finding: Finding) -> bool:
    """Whether the sizes can give what was read, with some shims where these move it."""
    check = all_checks()[finding.check]
    shims = MOST_SHIMS if check.stack or check.space is not None else 0.0
    assert finding.value is not None
    return found.high >= finding.value.low - shims and found.low <= finding.value.high + shims


def _settled(finding: Finding, key: str, found: Range, words: str, limit: Limit) -> Finding:
    """By the reading alone; outside of its limit it can be put right with shims, where the check has any."""
    holds = inside(found, limit)
    base = replace(
        finding, said=f"{words}; must be {limit_text(limit)}", value=found, limit=limit, basis=BASIS, asks=(), settle=None,
        settle_each=(), margin=margin(found.low, found.high, limit), formula="", pairs=(), reads=(*finding.reads, key),
    )  # fmt: skip
    if holds:
        return replace(base, verdict=Verdict.FITS, do="", reason=Reason.NONE)
    if holds is None:
        do = "Read it more closely: what was read straddles the limit"
        return replace(base, do=do, asks=(key,), reason=Reason.STRADDLES)
    if all_checks()[finding.check].stack:
        short = max(limit.floor - found.low, found.high - limit.ceiling)
        do = f"Change the shims there by about {value_text(Range(short, short, short), finding.unit)} and read it again"
        return replace(base, do=do, asks=(key,), reason=Reason.OUTSIDE_LIMIT)
    return replace(base, verdict=Verdict.DOES_NOT_FIT, do=OUTSIDE, reason=Reason.OUTSIDE_LIMIT)


def _stacks_settled(findings: Sequence[Finding], read: Mapping[str, str]) -> Iterator[Finding]:
    """One stack for all that it moves is no question any more, once each of them is read or known."""
    checks = all_checks()
    for finding in findings:
        stack = finding.check.removesuffix("_stack_together")
        own = [one for one in findings if one.check in checks and checks[one.check].stack == stack]
        settled = all(one.verdict is not Verdict.NOT_KNOWN for one in own) and any(one.check in read for one in own)
        if stack in STACKS and stack != finding.check and finding.verdict is Verdict.NOT_KNOWN and settled:
            said = "The stack that is fitted serves all of them, by what was read"
            finding = replace(
                finding, verdict=Verdict.FITS, said=said, do="", asks=(), settle=None, settle_each=(), basis=BASIS,
                reason=Reason.NONE,
            )  # fmt: skip
        yield finding


def _limit(check: str, job: Job) -> Limit:
    """The limit of a check whose sizes are blank; of a body the widest air of its pairs; where a field chooses it and is blank,
    the narrowest."""
    named, by = all_checks()[check].limit, all_checks()[check].limit_by
    if isinstance(named, Mapping):
        chosen = (named[job.get(by)],) if job.get(by) in named else tuple(named.values())
        return min((limit_for(name, job) for name in chosen), key=lambda one: one.ceiling - one.floor)
    names = (named,) if named else _airs()[check]
    return max((limit_for(name, job) for name in names), key=lambda one: one.low or 0.0)


@cache
def _airs() -> dict[str, tuple[str, ...]]:
    return {body.name: tuple(pair.limit for pair in body.pairs) for body, _ in BODIES}


def shims_as_fitted(adjusted: Mapping[str, Adjusting], job: Job) -> Iterator[Finding]:
    """The stacks that the bench wrote down as final, each judged as it lies there: for all that it moves."""
    where, unit = f"{job.place.capitalize()}: " if job.place else "", "in" if job.get("units") == "inch" else "mm"
    for name, adjusting in adjusted.items():
        written = job.own.get(f"bench shims {where}{FOR[name]}", {}).get("done")
        if written is not None:
            yield _as_fitted(name, adjusting, written, unit, job)


def _as_fitted(name: str, adjusting: Adjusting, written: object, unit: str, job: Job) -> Finding:
    """One stack. What it is there for the bench has measured: there a failure counts, or a size as stated outside its limit."""
    title, verdict = f"{name.capitalize()} shims as fitted", Verdict.DOES_NOT_APPLY
    base = Finding(f"{name}_shims_fitted", title, "mount", verdict, source="what the bench wrote")
    try:
        stacks = read_stacks(written, unit)
    except Unreadable as error:
        return replace(base, verdict=Verdict.NOT_KNOWN, said=f"Not judged: {error}", do=AS_LAID, reason=Reason.UNCLEAR)
    if lacking := _lacking(stacks, job):
        said = f"Not judged: nothing is written of the {lacking} side's stack"
        return replace(base, verdict=Verdict.NOT_KNOWN, said=said, do=AS_LAID, reason=Reason.UNCLEAR)
    bad, open_, laid = list[str](), list[Finding](), adjusting.laid
    for thickness, one in product(stacks.values(), adjusting.ready):
        assert one.limit is not None
        moved = laid.moved[one.check.name]
        value = laid.range_at(moved, thickness)
        holds = inside(value, one.limit)
        if holds is False:
            bad.append(f"{one.check.title}: {value_text(value, one.check.unit)}; must be {limit_text(one.limit)}")
        elif holds is None and moved is laid.lead:
            planned = laid.ends()[0] - CLOSE <= thickness <= laid.ends()[1] + CLOSE
            if (
                not (planned and _stated_inside(value, one.limit))
                and (key := readings().get(one.check.name)) not in job.values
            ):
                said = f"{one.check.title}: {value_text(value, one.check.unit)}; must be {limit_text(one.limit)}"
                asked = replace(
                    base, verdict=Verdict.NOT_KNOWN, asks=(key,) if key else (), do=READ_IT, reason=Reason.STRADDLES
                )
                open_.append(replace(asked, said=said, limit=one.limit))
        elif holds is None:
            straddles = replace(base, verdict=Verdict.NOT_KNOWN, limit=one.limit, reason=Reason.STRADDLES)
            open_.append(with_deciding(straddles, tuple(laid.pieces_at(moved, thickness)), adjusting.sizes))
    if max(stacks.values()) > (most := stack_limits(name, job)[1]) + 1e-6:
        bad.append(f"A stack at one screw must be at most {mm(most, 2)} thick")
    said = ". ".join([f"{' and '.join(mm(one, 2) for one in stacks.values())} at each screw", *bad])
    if bad:
        return replace(base, verdict=Verdict.DOES_NOT_FIT, said=said, do=ANOTHER_STACK, reason=Reason.OUTSIDE_LIMIT)
    if open_:
        return replace(open_[0], said=". ".join(filter(None, (said, open_[0].said))))
    return replace(base, verdict=Verdict.FITS, said=said)


def _lacking(stacks: Mapping[str, float], job: Job) -> str:
    """The side in scope of which nothing is written, "" where there is none; a corner with sheets of its own names no side."""
    side = job.get("corner_side")
    sides = (side,) if job.get("corners") == 1 and side in ("left", "right") else ("left", "right")
    return "" if "both" in stacks or job.side else next((one for one in sides if one not in stacks), "")
