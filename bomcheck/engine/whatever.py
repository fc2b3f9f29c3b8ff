"""A check that holds, or fails, whatever its blanks are does so; how far it fails, and what cures it, may hang on the answer."""

from itertools import product
from typing import Any

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import Prepared, judge_range, label_of, prepare
from bomcheck.model.finding import Finding, Reason, limit_text, mm_range, with_unit
from bomcheck.model.job import Value
from bomcheck.model.records import replace
from bomcheck.model.rule import STACKS, Check, Cure
from bomcheck.model.verdict import Verdict
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.tables.fields import fields

MOST_BLANKS, MOST_COUNTED = 2, 8
ANYHOW = {
    Verdict.DOES_NOT_FIT: "no part and no machining cures it",
    Verdict.NEEDS_MACHINING: "metal must be cut, how much depends on the answer",
    Verdict.FITS_WITH_PARTS: "other parts are needed, their sizes depend on the answer",
}
Ways = list[tuple[Finding, Cure | None]]


def whatever(ready: Prepared, sizes: Inputs, most: float) -> Finding:
    """The finding of a check that lacks sizes; where it holds or fails for every plausible value of them, that is its verdict.

    What holds is not asked. What metal or nothing cures in any case is settled; which parts a blank leaves open stays not known, and says so.
    most: the thickest stack of shims that may lie in the joint [mm].
    """
    asked = ready.settled
    assert asked is not None
    keys = asked.asks
    if asked.reason is not Reason.BLANK or not may_be_sure(ready.check, keys):
        return asked
    whole = _alike(ready, sizes, most, keys, whole=True)
    if whole and whole[0][0].verdict is Verdict.FITS:
        return replace(asked, verdict=Verdict.FITS, said=_said(whole, keys), do="", asks=(), reason=Reason.NONE)
    points = _alike(ready, sizes, most, keys, whole=False) if whole else []
    if not points:
        return asked
    verdicts = {finding.verdict for finding, _ in (*whole, *points)}
    alike = {finding.do for finding, _ in points}
    verdict = verdicts.pop() if len(verdicts) == 1 else Verdict.NOT_KNOWN
    then = alike.pop() if len(alike) == 1 else ANYHOW.get(verdict, "what cures it depends on the answer")
    found = replace(asked, said=f"It fails: {_said(whole, keys)}", do=f"{then[:1].upper()}{then[1:]}. {asked.do}")
    if verdict is Verdict.DOES_NOT_FIT:  # no answer changes it
        return replace(
            found, verdict=verdict, do=found.do.removesuffix(f". {asked.do}"), asks=(), reason=Reason.OUTSIDE_LIMIT
        )
    return replace(found, verdict=verdict) if verdict is Verdict.NEEDS_MACHINING else found


def may_be_sure(check: Check, keys: tuple[str, ...]) -> bool:
    """Whether every value of these blanks can be tried."""
    return check.kind == "range" and 0 < len(keys) <= MOST_BLANKS and all(_spans(key) for key in keys)


def _said(whole: Ways, keys: tuple[str, ...]) -> str:
    """-58.00 to 0.00 pitches, whatever "hat screw grip" says (2 to 60 mm); must be at least 2.00 pitches."""
    first, values = whole[0][0], [finding.value for finding, _ in whole if finding.value]
    low, high = min(value.low for value in values), max(value.high for value in values)
    spans = " and ".join(_span(key) for key in keys)
    shown = f"{with_unit(low, first.unit)} to {with_unit(high, first.unit)}, whatever {spans}"
    return shown + (f"; must be {limit_text(first.limit)}" if first.limit else "")


def _alike(ready: Prepared, sizes: Inputs, most: float, keys: tuple[str, ...], *, whole: bool) -> Ways:
    """What comes of each way to fill the blanks, with their whole ranges or points of them; empty unless all fail, or all hold."""
    found, stack = [], STACKS.get(ready.check.stack, "")
    for values in ways(keys, whole):
        trial = Inputs(replace(sizes.job, values={**sizes.job.values, **values}), DERIVATIONS)
        again = prepare(ready.check, trial)
        if again.settled is not None:
            return []
        trial.box.middle[stack] = trial.box.half[stack] = most / 2
        found.append(judge_range(again, trial, {}))
        sizes.touched |= trial.touched
        if found[-1][0].verdict is Verdict.NOT_KNOWN or len({one.verdict is Verdict.FITS for one, _ in found}) > 1:
            return []
    return found


def _spans(key: str) -> tuple[Any, ...]:
    """The least and the greatest that a field may be, or everything that it may be; empty where neither is known."""
    field = fields().get(key)
    if field is None or (field.notation != "choice" and (field.low is None or field.high is None)):
        return ()
    if field.notation == "count":
        return tuple(range(int(field.low or 0), int(field.high or 0) + 1)) if (field.high or 0) <= MOST_COUNTED else ()
    return {"choice": field.choices, "number": (field.low, field.high)}.get(field.notation, ())


def ways(keys: tuple[str, ...], whole: bool) -> list[dict[str, Value]]:
    """Ways to fill blanks: numbers with their whole range, or with its ends and its middle; of words each."""
    values = []
    for key in keys:
        spans = _spans(key)
        if fields()[key].notation == "number":
            middle = sum(spans) / 2
            each = [(middle, spans[1] - middle)] if whole else [(spans[0], 0.0), (middle, 0.0), (spans[1], 0.0)]
        else:
            each = [(one, 0.0) for one in spans]
        values.append([Value(key, *one) for one in each])
    return [{value.key: value for value in way} for way in product(*values)]


def _span(key: str) -> str:
    """ "hat screw grip" says (2 to 60 mm)."""
    spans, field = _spans(key), fields()[key]
    if field.notation == "choice":
        return f'"{label_of(key)}" says'
    shown = mm_range(spans[0], spans[-1], 0) if field.unit == "mm" else f"{spans[0]:g} to {spans[-1]:g}"
    return f'"{label_of(key)}" says ({shown})'
