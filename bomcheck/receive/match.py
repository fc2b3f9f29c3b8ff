"""Which expected thing a line of a slip is, and what came of it: came, wrong, surplus, unknown."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from bomcheck.receive.expected import Expected
from bomcheck.receive.slip import Slip, SlipLine
from bomcheck.receive.slip_words import denied

CAME, WRONG, SURPLUS, UNKNOWN = "came", "wrong", "surplus", "unknown"
OTHER = {"left": "right", "right": "left"}
TINY = 1e-6


@dataclass
class Result:
    """quantity: in the unit of the expected line, of the slip where there is none. why: in words, "" for what simply came."""

    line: SlipLine
    word: str
    quantity: float
    thing: Expected | None = None
    why: str = ""


@dataclass
class Received:
    """results: of every line of the slip. added: what came, by line of the parts list [its unit]."""

    results: list[Result] = field(default_factory=list)
    added: dict[str, float] = field(default_factory=dict)


def receive(slip: Slip, things: Sequence[Expected]) -> Received:
    """Book a slip on what is expected; `came` of the things grows."""
    done = Received()
    for line in slip.lines:
        if line.quantity > 0:
            _book(line, things, done)
    _explain_surplus(things, done)
    return done


def _book(line: SlipLine, things: Sequence[Expected], done: Received) -> None:
    found, by_number = _candidates(line, things)
    if not found:
        done.results.append(Result(line, UNKNOWN, line.quantity, None, "neither ordered nor in the kit's box"))
        return
    against = _against(line, found, by_number)
    if against:
        done.results.append(Result(line, WRONG, line.quantity, found[0], against))
        return
    _fill(line, _on_side(line, found), done)


def _candidates(line: SlipLine, things: Sequence[Expected]) -> tuple[list[Expected], bool]:
    """(what the line may be, whether its number says so); by its words only where the number is not known."""
    number = _number(line.part_number)
    found = [one for one in things if number and number == _number(one.part_number)]
    if found:
        return found, True
    alike = [
        one for one in things if _words(line.description) and _words(line.description) == _words(one.line.description)
    ]
    sided = [one for one in alike if not line.side or one.line.side in (line.side, "either")]
    exact = [one for one in sided or alike if one.part is not None and not list(denied(line.said, one.part))]
    return exact or sided or alike, False


def _number(text: str) -> str:
    """A part number for comparing: capitals, spaces and the kind of dash do not count.

    >>> _number("rk–r280 l") == _number("RK-R280L"), _number("10-1") == _number("101")
    (True, False)
    """
    return re.sub(r"\s+", "", re.sub(r"[‐‑‒–—−]", "-", text)).casefold()


def _words(text: str) -> frozenset[str]:
    """The words of a description without figures and sides."""
    words = re.findall(r"[^\W\d_]{2,}", text.casefold())
    return frozenset(
        word for word in words if word not in ("left", "right", "lh", "rh", "mm", "for", "the", "of", "with")
    )


def _against(line: SlipLine, found: Sequence[Expected], by_number: bool) -> str:
    """What speaks against it, "" if nothing."""
    named = next((one for one in found if one.part is not None), None)
    wrong = list(denied(line.said, named.part)) if named is not None and named.part is not None else []
    if wrong:
        return ", ".join(wrong)
    if line.side and all(one.line.side == OTHER[line.side] for one in found):
        return f"the slip says {line.side}, the {found[0].line.side} one is expected under this number"
    if not by_number and line.part_number and found[0].part_number:
        return f"its number is not the expected {found[0].part_number}; if it is the same part, tick it by hand"
    return ""


def _on_side(line: SlipLine, found: list[Expected]) -> list[Expected]:
    if not line.side:
        return found
    return [one for one in found if one.line.side != OTHER[line.side]]


def _fill(line: SlipLine, found: Sequence[Expected], done: Received) -> None:
    left = found[0].in_line_unit(line.quantity, line.unit)
    for one in found:
        taken = min(left, one.missing)
        if taken > TINY:
            one.came = round(one.came + taken, 6)
            left = round(left - taken, 6)
            done.results.append(Result(line, CAME, taken, one))
            done.added[one.line.key] = round(done.added.get(one.line.key, 0.0) + taken, 6)
    if left > TINY:
        done.results.append(Result(line, SURPLUS, left, found[-1], "more than was expected"))


def _explain_surplus(things: Sequence[Expected], done: Received) -> None:
    """Too many of one side while the other is missing: two left rotors."""
    for result in done.results:
        thing = result.thing
        if result.word != SURPLUS or thing is None or thing.line.side not in OTHER:
            continue
        twin = next((one for one in things if _is_twin(one, thing)), None)
        if twin is not None:
            side = thing.line.side
            result.word = WRONG
            result.why = (
                f"{_count(thing.came + result.quantity)} {side} ones came, and the {OTHER[side]} one is missing"
            )


def _is_twin(one: Expected, thing: Expected) -> bool:
    return one.missing > TINY and one.line.role == thing.line.role and one.line.side == OTHER[thing.line.side]


def _count(number: float) -> str:
    return {2.0: "two", 3.0: "three", 4.0: "four"}.get(number, f"{number:g}")
