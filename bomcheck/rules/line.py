"""The brake line: does it close from the car's end to the caliper's inlet, and with what."""

from typing import Any

from bomcheck.model.rule import Cure, Match, Reading, match
from bomcheck.model.types import LineEnd
from bomcheck.model.verdict import Verdict


def _what_closes(reading: Reading) -> Cure:
    lines = reading.sizes["brake_line"]
    texts = []
    for answer in lines.answers:
        if hasattr(answer, "chain"):
            ordered = [part.description or part.role for part in answer.chain.to_order]
            fetched = [link.part.description or link.part.role for link in answer.chain.links if link.source == "shelf"]
            texts += [f"order {', '.join(ordered)}"] if ordered else []
            texts += [f"take {', '.join(fetched)} from the shelf"] if fetched else []
            texts += [f"but first: {' '.join(answer.questions)}"] if answer.first_ask else []
        elif hasattr(answer, "wanted"):
            texts.append(f"find a source for: {_wanted(answer)}")
    text = "; ".join(dict.fromkeys(texts))
    return Cure(Verdict.FITS_WITH_PARTS, f"{text[:1].upper()}{text[1:]}")


def _wanted(answer: Any) -> str:
    """The part that the box lacks, or else the hose, that would close the line; then the other way to close it."""
    if answer.missing is not None:
        return f"{answer.missing.said}; or one hose, {answer.wanted}"
    return f"{answer.wanted}; or {answer.wanted_adapter}" if answer.wanted_adapter else str(answer.wanted)


@match(remedy=_what_closes)
def line_closes(line_end: LineEnd, caliper_inlet: LineEnd, hose_path_length: Any, brake_line: Any) -> Match:
    """Brake line closed from car to caliper

    Must be true:
        One hose, with at most two adapters, joins the car's line to the caliper's inlet: every joint of the same thread
        and seat, the hose long enough at full droop and lock and not too long, and marked for the road where it is used
        there.
    Why:
        A kit without hoses, or with one that does not meet the car's line, keeps the car on the lift.
    Example:
        A car's "M10x1.0 bubble male" meets a hose "M10x1.0 bubble female" to "M10x1.0 banjo eye", which meets the
        caliper's "M10x1.0 banjo port" with two new sealing washers.

    Remedy:
        The cheapest parts with the fewest joints; where no list has them, the part that would close it, described.
    Source:
        SAE J512, SAE J514 (37° cone), ISO 4038, ASME B1.20.1 for the ends; lengths: common practice, no source
    """
    if brake_line.refused:
        return Match(None, brake_line.refused, ("hose_arrangement",))
    if brake_line.open:
        return Match(None, " ".join(brake_line.open), ("hose_arrangement",))
    traps = [
        f"never screw the {trap.end.name} of {trap.part.description or trap.part.role} to {trap.against.name}: {trap.reason}"
        for answer in brake_line.answers for trap in answer.traps if not _in_use(trap, answer)
    ]  # fmt: skip
    asks = [
        question
        for answer in brake_line.answers
        for question in getattr(answer, "questions", ())
        if not hasattr(answer, "chain")
    ]
    if asks:
        text, fields = " ".join(dict.fromkeys(asks)), _asked(line_end, caliper_inlet, asks)
        return Match(None, text if fields else "What is stated of the parts at hand does not say", fields, text)
    opened = [answer for answer in brake_line.answers if hasattr(answer, "open_joint")]
    but = {one.open_joint: f"; what would join: {one.reasons[0]}" if one.reasons else "" for one in opened}
    said = "; ".join(f"{where}{why}" for where, why in but.items()) or "; ".join(
        dict.fromkeys(f"closes with {answer.chain}" for answer in brake_line.answers)
    )
    do = "; ".join(dict.fromkeys(traps))
    whole = not opened and all(link.source == "box" for answer in brake_line.answers for link in answer.chain.links)
    return Match(whole, f"{said}{'; ' if do and said else ''}{do}", do=f"{do[:1].upper()}{do[1:]}")


def _in_use(trap: Any, answer: Any) -> bool:
    """Whether the part has its right place in this line; what it must not meet there stands on the Line sheet."""
    missing = getattr(answer, "missing", None)
    chain = missing.chain if missing else getattr(answer, "chain", None)
    return chain is not None and any(link.part is trap.part for link in chain.links)


def _asked(line_end: LineEnd, caliper_inlet: LineEnd, asks: list[str]) -> tuple[str, ...]:
    """The fields to fill in; none where only a part's own row lacks something."""
    asked = [key for key, end in (("line_end", line_end), ("caliper_inlet", caliper_inlet)) if end.unknown]
    return tuple(asked) or ("hose_path_length",) * any("hose's path" in ask for ask in asks)
