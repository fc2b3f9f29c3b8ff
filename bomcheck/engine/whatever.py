"""A check that fails whatever its blanks are says so, and what cures it in any case; only how far still hangs on the answer."""

from dataclasses import replace
from itertools import product
from typing import Any

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import Prepared, judge_range, label_of, prepare
from bomcheck.model.finding import Finding, Reason, limit_text, mm_range, with_unit
from bomcheck.model.job import Value
from bomcheck.model.rule import STACKS, Cure
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
    """The finding of a check that lacks sizes; where it fails for every plausible value of them, in words of its own.

    most: the thickest stack of shims that may lie in the joint [mm].
    """
    asked = ready.settled
    assert asked is not None
    keys = asked.asks
    if asked.reason is not Reason.BLANK or ready.check.kind != "range" or not all(_spans(key) for key in keys):
        return asked
    whole = _fail_alike(ready, sizes, most, keys, whole=True) if len(keys) <= MOST_BLANKS else []
    ends = _fail_alike(ready, sizes, most, keys, whole=False) if whole else []
    if not ends:
        return asked
    verdicts = {finding.verdict for finding, _ in ends}
    alike = len({finding.do for finding, _ in ends}) == 1
    then = (
        ends[0][0].do
        if alike
        else ANYHOW[verdicts.pop()]
        if len(verdicts) == 1
        else "what cures it depends on the answer"
    )
    return replace(asked, said=f"It fails: {_said(whole, keys)}", do=f"{then[:1].upper()}{then[1:]}. {asked.do}")


def _said(whole: Ways, keys: tuple[str, ...]) -> str:
    """-58.00 to 0.00 pitches, whatever "hat screw grip" says (2 to 60 mm); must be at least 2.00 pitches."""
    first, values = whole[0][0], [finding.value for finding, _ in whole if finding.value]
    low, high = min(value.low for value in values), max(value.high for value in values)
    spans = " and ".join(_span(key) for key in keys)
    shown = f"{with_unit(low, first.unit)} to {with_unit(high, first.unit)}, whatever {spans}"
    return shown + (f"; must be {limit_text(first.limit)}" if first.limit else "")


def _fail_alike(ready: Prepared, sizes: Inputs, most: float, keys: tuple[str, ...], *, whole: bool) -> Ways:
    """What comes of each way to fill the blanks, with their whole ranges or the ends of them; empty if one does not fail."""
    found, stack = [], STACKS.get(ready.check.stack, "")
    for values in _ways(keys, whole):
        trial = Inputs(replace(sizes.job, values={**sizes.job.values, **values}), DERIVATIONS)
        again = prepare(ready.check, trial)
        if again.settled is not None:
            return []
        trial.box.middle[stack] = trial.box.half[stack] = most / 2
        found.append(judge_range(again, trial, {}))
        sizes.touched |= trial.touched
        if found[-1][0].verdict not in ANYHOW:
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


def _ways(keys: tuple[str, ...], whole: bool) -> list[dict[str, Value]]:
    values = []
    for key in keys:
        spans = _spans(key)
        if whole and fields()[key].notation == "number":
            values.append([Value(key, sum(spans) / 2, (spans[1] - spans[0]) / 2)])
        else:
            values.append([Value(key, one, 0.0) for one in spans])
    return [{value.key: value for value in way} for way in product(*values)]


def _span(key: str) -> str:
    """ "hat screw grip" says (2 to 60 mm)."""
    spans, field = _spans(key), fields()[key]
    if field.notation == "choice":
        return f'"{label_of(key)}" says'
    shown = mm_range(spans[0], spans[-1], 0) if field.unit == "mm" else f"{spans[0]:g} to {spans[-1]:g}"
    return f'"{label_of(key)}" says ({shown})'
