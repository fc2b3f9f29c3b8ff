"""One check on one job: does it apply, what is missing, what is the value's range, what does it mean, what cures it."""

from collections.abc import Callable, Mapping
from typing import Any, cast

from bomcheck.engine.inputs import Inputs
from bomcheck.model.affine import Affine, Most, keys_of, pieces
from bomcheck.model.box import Range
from bomcheck.model.finding import Finding, Reason, limit_text, number, value_text, within
from bomcheck.model.limits import Limit, limit_for
from bomcheck.model.records import dataclass, replace
from bomcheck.model.rule import STACKS, Check, Cure, Match, Reading
from bomcheck.model.sizes import Missing
from bomcheck.model.verdict import Verdict, inside, margin
from bomcheck.model.written import Written
from bomcheck.notation.bolt_circle import circle_settles
from bomcheck.tables.fields import fields


@dataclass(frozen=True)
class Prepared:
    """A check with its sizes read: ready to be judged, or already settled as not applying or not known."""

    check: Check
    arguments: dict[str, object]
    limit: Limit | None = None
    settled: Finding | None = None


def label_of(key: str) -> str:
    """A size's name inside a sentence."""
    from bomcheck.rules.derived import TITLES

    known = fields().get(key)
    if known is not None:
        return known.label[:1].lower() + known.label[1:]
    return TITLES.get(key, key.replace("_", " "))


def prepare(check: Check, sizes: Inputs) -> Prepared:
    """Read what the check needs."""
    arguments: dict[str, Any] = {}
    lacking: tuple[str, ...] = ()
    reason: str | None = None
    try:
        reason = why_not(check, sizes)
        if reason:
            return Prepared(check, {}, settled=apart(check, sizes, reason))
        limit = _limit(check, sizes)
    except Missing as missing:
        if reason == "" or _surely_wanted(missing.keys):
            arguments, lacking = _arguments(check, sizes)
        asked = tuple(dict.fromkeys([*missing.keys, *lacking]))
        return Prepared(check, {}, settled=_unknown(check, sizes, asked))
    arguments, lacking = _arguments(check, sizes)
    if lacking:
        return Prepared(check, {}, limit, settled=_unknown(check, sizes, lacking))
    return Prepared(check, arguments, limit)


def _surely_wanted(keys: tuple[str, ...]) -> bool:
    """Whether the check is likely to apply whatever the answer: then everything that it lacks is asked in one go."""
    known = fields()
    return all(key in known and 0 < len(known[key].choices) <= 2 for key in keys)


NOT_ENTERED = "Nothing entered"


def why_not(check: Check, sizes: Inputs) -> str:
    """Why the check does not apply to this arrangement, "" where it does. Raises Missing."""
    waiting: Missing | None = None
    for key in check.requires:
        if key not in sizes.job.values and key not in sizes.job.rejected:
            return f"{NOT_ENTERED}: {label_of(key)}"
    for key, allowed in check.when.items():
        try:
            found = sizes[key]
        except Missing as missing:
            waiting = waiting or missing
            continue
        if found not in allowed:
            return f"{_capital(label_of(key))}: {found}"
    if waiting is not None:
        raise waiting
    return ""


def _limit(check: Check, sizes: Inputs) -> Limit | None:
    if not check.limit:
        return None
    if isinstance(check.limit, str):
        return limit_for(check.limit, sizes.job)
    return limit_for(check.limit[sizes[check.limit_by]], sizes.job)


def _arguments(check: Check, sizes: Inputs) -> tuple[dict[str, Any], tuple[str, ...]]:
    arguments: dict[str, Any] = {}
    lacking: list[str] = []
    for name in check.parameters:
        if name in STACKS.values():
            arguments[name] = Affine(0.0, {name: 1.0})
            continue
        try:
            arguments[name] = sizes[name]
        except Missing as missing:
            if name in check.defaults and name not in sizes.job.rejected:
                arguments[name] = check.defaults[name]
            else:
                lacking.extend(missing.keys)
    return arguments, tuple(dict.fromkeys(lacking))


def judge_match(ready: Prepared, sizes: Inputs) -> tuple[Finding, Cure | None]:
    """A match check: same, not the same, or to be asked."""
    middle = sizes.box.middle
    stated = {key: size.at(middle) if isinstance(size, Affine) else size for key, size in ready.arguments.items()}
    answer = cast(Match, ready.check.function(**stated))
    verdict = {True: Verdict.FITS, False: Verdict.DOES_NOT_FIT, None: Verdict.NOT_KNOWN}[answer.same]
    reason = {True: Reason.NONE, False: Reason.DIFFERS, None: Reason.UNCLEAR}[answer.same]
    finding = replace(finding_of(ready.check, sizes, verdict, said=answer.said, asks=answer.ask), reason=reason)
    if answer.same is None:
        return replace(finding, do=answer.do or ask_text(answer.ask, sizes)), None
    return _with_cure(finding, ready, sizes, None) if answer.same is False else (replace(finding, do=answer.do), None)


def judge_range(ready: Prepared, sizes: Inputs, at_stack: dict[str, float]) -> tuple[Finding, Cure | None]:
    """A range check whose value no stack moves (or with the stack fixed at `at_stack`)."""
    assert ready.limit is not None
    result = ready.check.function(**ready.arguments)
    parts = tuple(fix(piece, at_stack) for piece in pieces(result))
    value = sizes.box.range_of_most(parts) if isinstance(result, Most) else sizes.box.range(parts)
    holds = inside(value, ready.limit)
    verdict = {True: Verdict.FITS, False: Verdict.DOES_NOT_FIT, None: Verdict.NOT_KNOWN}[holds]
    finding = measured(ready, sizes, verdict, value, at_stack)
    if holds is None:
        return with_deciding(finding, parts, sizes), None
    return _with_cure(finding, ready, sizes, value) if holds is False else (finding, None)


def fix(piece: Affine, at_stack: dict[str, float]) -> Affine:
    """The piece with the stacks at given thicknesses."""
    for key, thickness in at_stack.items():
        rest, slope = piece.split(key)
        piece = rest + slope * thickness
    return piece


def measured(ready: Prepared, sizes: Inputs, verdict: Verdict, value: Range, at_stack: dict[str, float]) -> Finding:
    """A finding with its value, limit, margin and formula."""
    check, limit = ready.check, ready.limit
    assert limit is not None
    shown = {key: at_stack.get(key, size) if key in STACKS.values() else size for key, size in ready.arguments.items()}
    return replace(
        finding_of(check, sizes, verdict), reason=_REASONS.get(verdict, Reason.NONE),
        said=value_text(value, check.unit) + (f"; must be {limit_text(limit)}" if bounded(limit) else ""),
        formula=formula(check.function, shown, label_of, sizes.box.middle, _scale(sizes)), unit=check.unit, value=value,
        limit=limit, margin=margin(value.low, value.high, limit),
    )  # fmt: skip


def formula(
    function: Callable[..., object],
    sizes: Mapping[str, object],
    labels: Callable[[str], str],
    middles: Mapping[str, float],
    scale: Callable[[str], float] = lambda key: 1.0,
) -> str:
    """ "hat bore − hub pilot diameter = 66.70 − 66.60"; sizes that are no numbers are handed over as they are.

    scale: what a size is multiplied by before it is printed, for sheets in inches.
    """
    words: dict[str, object] = {}
    figures: dict[str, object] = {}
    for key, size in sizes.items():
        if isinstance(size, Affine) or (isinstance(size, int | float) and not isinstance(size, bool)):
            middle = size.at(middles) if isinstance(size, Affine) else float(size)
            shown = number(middle) if scale(key) == 1.0 else f"{middle * scale(key):.3f}"
            words[key] = Written(labels(key), middle)
            figures[key] = Written(shown if middle >= 0 else f"({shown})", middle)
        else:
            words[key] = figures[key] = size
    return f"{_text(function(**words))} = {_text(function(**figures))}"


def _text(result: object) -> str:
    return result.text if isinstance(result, Written) else number(float(cast(float, result)))


def bounded(limit: Limit) -> bool:
    """Whether the limit sets any bound; some values are only stated."""
    return limit.low is not None or limit.high is not None


def _scale(sizes: Inputs) -> Callable[[str], float]:
    """Lengths in inches where the job is in inches."""
    if sizes.job.get("units") != "inch":
        return lambda key: 1.0
    from bomcheck.rules.derived import UNITLESS

    known = fields()
    return lambda key: 1.0 if key in UNITLESS or (key in known and known[key].unit != "mm") else 1 / 25.4


LEAST_SHARE = 0.001  # of a ±: less is on the limit itself


def with_deciding(finding: Finding, parts: tuple[Affine, ...], sizes: Inputs) -> Finding:
    """Name the size that decides and the ± that would settle it; of a size made of several, each with its share."""
    assert finding.limit is not None
    half = sizes.box.half
    across = tuple(part for part in parts if part.spread(half) > _room(part, finding.limit, sizes))  # a bound
    shares = {
        key: _share_alone(key, across, finding.limit, sizes)
        for key in keys_of(across)
        if half.get(key) and _typed_sizes(key, sizes)
    }
    key = max((key for key in shares if shares[key] > LEAST_SHARE), key=lambda key: shares[key], default="")
    if not key:
        return _both_closer(finding, across or parts, sizes)
    typed = _typed_sizes(key, sizes)
    settles = {name: shares[key] * width for name, width in typed.items()}
    if "hub_bolt_circle" in settles:
        settles["hub_bolt_circle"] = max(settles["hub_bolt_circle"], circle_settles(sizes.job.get("hub_bolt_circle")))
    return asked_together(finding, settles)


def _room(part: Affine, limit: Limit, sizes: Inputs) -> float:
    """From the middle of a piece to the nearer bound."""
    middle = part.at(sizes.box.middle)
    return min((abs(middle - bound) for bound in (limit.low, limit.high) if bound is not None), default=0.0)


def _share_alone(key: str, across: tuple[Affine, ...], limit: Limit, sizes: Inputs) -> float:
    """The share of its ± to which one size must be known so that all pieces are settled; 0 where it cannot do it alone."""
    half, least = sizes.box.half, 1.0
    for part in across:
        reach = abs(part.slopes.get(key, 0.0)) * half[key]
        if not reach:
            return 0.0
        least = min(least, (_room(part, limit, sizes) - (part.spread(half) - reach)) / reach)
    return max(least, 0.0)


def _typed_sizes(key: str, sizes: Inputs) -> dict[str, float]:
    """The fields with a ± that a size is made of, each with its ±; the size itself where none is known by itself."""
    trail = sizes.trail.get(key, ()) or (key,)
    typed = {name: sizes.job.values[name].plus_minus for name in trail if name in sizes.job.values}
    found = {name: width for name, width in typed.items() if width > 0}
    return found or ({trail[0]: sizes.box.half[key]} if len(trail) == 1 and trail[0] == key else {})


def _both_closer(finding: Finding, parts: tuple[Affine, ...], sizes: Inputs) -> Finding:
    """No one size settles it alone: each that matters gets its share of the room."""
    assert finding.limit is not None
    half = sizes.box.half
    reach = {key: max(abs(part.slopes.get(key, 0.0)) for part in parts) * half.get(key, 0.0) for key in keys_of(parts)}
    keys = sorted((key for key in reach if reach[key] > 0), key=lambda key: -reach[key])
    share = min(
        min((_room(part, finding.limit, sizes) for part in parts), default=0.0) / (sum(reach.values()) or 1.0), 0.5
    )
    asked = {name: share * width for key in keys for name, width in _typed_sizes(key, sizes).items()}
    if not asked:
        return finding
    if share < 0.02:
        do = f"The sizes as stated lie on the limit: measure {' and '.join(label_of(key) for key in list(asked)[:2])} again"
        return replace(finding, asks=tuple(asked)[:2], do=do)
    return asked_together(finding, dict(list(asked.items())[:3]))


def asked_together(finding: Finding, asked: dict[str, float]) -> Finding:
    """One size or several, each to its own ±."""
    *named, last = [f"{label_of(key)} to {within(settle)}" for key, settle in asked.items()]
    settle, each = (None, tuple(asked.items())) if named else (next(iter(asked.values())), ())
    do = f"Measure {', '.join(named)} and {last}, or better" if named else f"Measure {last} or better"
    return replace(finding, asks=tuple(asked), settle=settle, settle_each=each, do=do)


def _with_cure(finding: Finding, ready: Prepared, sizes: Inputs, value: Range | None) -> tuple[Finding, Cure | None]:
    if ready.check.remedy is None:
        return replace(finding, do="No part or machining cures this; choose another kit"), None
    try:
        cure = ready.check.remedy(Reading(sizes, value, ready.limit, finding.said))
    except Missing as missing:
        said = f"{finding.said}; it fails, and what would cure it depends on a size that is blank"
        asks = missing.keys
        do = ask_text(asks, sizes)
        return replace(finding, verdict=Verdict.NOT_KNOWN, said=said, asks=asks, do=do, reason=Reason.BLANK), None
    return replace(finding, verdict=cure.verdict, do=cure.do), cure


def cured_by(finding: Finding, ready: Prepared, sizes: Inputs, value: Range) -> tuple[Finding, Cure | None]:
    """The finding of a check that fails, with its remedy applied."""
    return _with_cure(finding, ready, sizes, value)


def _unknown(check: Check, sizes: Inputs, keys: tuple[str, ...]) -> Finding:
    held = [key for key in keys if key in sizes.job.rejected]
    beyond = [key for key in keys if key in sizes.job.values]
    if beyond:
        reason, said = Reason.OUTSIDE_TABLE, f"{_capital(label_of(beyond[0]))}: what was entered does not go far enough"
        do = ask_text(keys, sizes)
    elif held:
        fault = sizes.job.rejected[held[0]]
        reason = Reason.REJECTED
        said = f"{_capital(label_of(held[0]))} cannot be used: {fault.wrong}"
        do = f"{fault.instead} ({fault.place})"
    else:
        reason, said = Reason.BLANK, f"Blank: {', '.join(label_of(key) for key in keys)}"
        do = ask_text(keys, sizes)
    return replace(finding_of(check, sizes, Verdict.NOT_KNOWN, said=said, asks=keys), do=do, reason=reason)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def ask_text(keys: tuple[str, ...], sizes: Inputs) -> str:
    """The questions of the first two fields."""
    known = fields()
    return " ".join(known[key].question for key in keys[:2] if key in known and known[key].question)


_REASONS = {
    Verdict.NOT_KNOWN: Reason.STRADDLES, Verdict.DOES_NOT_FIT: Reason.OUTSIDE_LIMIT, Verdict.FITS_WITH_PARTS: Reason.SHIMS,
}  # fmt: skip


def apart(check: Check, sizes: Inputs, why: str) -> Finding:
    """The finding of a check that this arrangement does not have."""
    reason = Reason.NOT_ENTERED if why.startswith(NOT_ENTERED) else Reason.OTHER_ARRANGEMENT
    return replace(finding_of(check, sizes, Verdict.DOES_NOT_APPLY, said=why), reason=reason)


def finding_of(check: Check, sizes: Inputs, verdict: Verdict, said: str = "", asks: tuple[str, ...] = ()) -> Finding:
    """A finding of a check with what it read."""
    keys = [*check.when, *([check.limit_by] if check.limit_by else []), *check.parameters]
    reads = tuple(dict.fromkeys(typed for key in keys for typed in sizes.behind(key)))
    return Finding(
        check=check.name, title=check.title, interface=check.interface, verdict=verdict, said=said,
        unit=check.unit, asks=asks, reads=reads, source=check.source,
    )  # fmt: skip
