"""Close the brake line: the best chain of parts from the car's end to the caliper's inlet, or the joint that stays open.

Fewest joints, then the lowest price (what is in the box or on the shelf costs nothing), then the shortest lead time.
Nothing that is missing is guessed: a chain that would only do if something not stated turns out well is not used, it
becomes a question.
"""

from dataclasses import dataclass

from bomcheck.notation.types import LineEnd
from bomcheck.parts.ends import Trap, traps_in
from bomcheck.parts.line_catalogue import Catalogue
from bomcheck.parts.line_complete import asks_about
from bomcheck.parts.line_describe import Chain, chain_of
from bomcheck.parts.line_missing import Missing, missing_part
from bomcheck.parts.line_open import open_joint, passed_over, wanted_adapter, wanted_hose, why_lost
from bomcheck.parts.line_question import LineQuestion, always, perhaps, surely
from bomcheck.parts.line_search import Found, Search


@dataclass(frozen=True, slots=True)
class Closed:
    """A line that closes.

    alternative: the next best chain that does without one of the parts, and why it lost; None and "" if there is none.
    maybe: a chain that would be better if the questions turned out well, None if there is none.
    traps: parts of the box that could be screwed on where they must not.
    """

    chain: Chain
    alternative: Chain | None = None
    why_lost: str = ""
    maybe: Chain | None = None
    questions: tuple[str, ...] = ()
    traps: tuple[Trap, ...] = ()


@dataclass(frozen=True, slots=True)
class Open:
    """A line that no part in the box, on the shelf or in the price list can close.

    open_joint: where. wanted: the hose that would close it; wanted_adapter: an adapter that would do it with a hose that
    is there, "" if none would. reasons: parts that would join but may not be used. missing: the one part that the
    box's own parts lack, None where no part of the box would be in the line.
    """

    open_joint: str
    wanted: str
    wanted_adapter: str = ""
    reasons: tuple[str, ...] = ()
    traps: tuple[Trap, ...] = ()
    missing: Missing | None = None


@dataclass(frozen=True, slots=True)
class AskFirst:
    """Not known: what has to be asked or measured first. possible: the chain that would do if the answers are good."""

    questions: tuple[str, ...]
    possible: Chain | None = None
    traps: tuple[Trap, ...] = ()


__all__ = ["Answer", "AskFirst", "Catalogue", "Chain", "Closed", "LineQuestion", "Open", "solve"]

Answer = Closed | Open | AskFirst
Caps = dict[int, int]


def solve(catalogue: Catalogue, question: LineQuestion, caps: Caps | None = None) -> Answer:
    """The best chain for one corner.

    catalogue: indexed once, used for every corner. caps: pieces of a row that this corner may take, where another corner
    takes the rest.
    """
    traps = traps_in(catalogue.supply.box, (question.car_end, question.caliper_inlet))
    asks = _asks_about_ends(question)
    if asks:
        return AskFirst(asks, traps=traps)
    sure, maybe = Search(catalogue, question, surely, caps or {}), Search(catalogue, question, perhaps, caps or {})
    found, better = sure.best(), maybe.best()
    if found is None and better is None:
        relaxed = Search(catalogue, question, always, caps or {})
        wanted = wanted_hose(question), wanted_adapter(sure)
        return Open(open_joint(sure), *wanted, passed_over(relaxed), traps, missing_part(maybe))
    if found is None:
        assert better is not None
        return AskFirst(_asked(maybe, better), chain_of(better, question), traps)
    return _closed(sure, found, maybe, better, traps)


def _closed(sure: Search, found: Found, maybe: Search, better: Found | None, traps: tuple[Trap, ...]) -> Closed:
    question = sure.question
    chain = chain_of(found, question)
    other = next_best(sure, found)
    asks = _asked(maybe, better) if better and better[:3] < found[:3] else ()
    return Closed(
        chain,
        chain_of(other, question) if other else None,
        why_lost(found, other) if other else "",
        chain_of(better, question) if better and asks else None,
        asks,
        traps,
    )


def next_best(search: Search, found: Found) -> Found | None:
    """The best chain that does without at least one part of `found`; the same part number counts as the same part."""
    others = []
    for item in found.items:
        again = Search(search.catalogue, search.question, search.allowed, search.caps, item, search.uses).best()
        if again is not None:
            others.append(again)
    return min(others, key=lambda one: one[:3], default=None)


def _asked(search: Search, found: Found) -> tuple[str, ...]:
    asks = (search.use(item).ask for item in found.items)
    return tuple(dict.fromkeys(text for text in asks if text))


def _asks_about_ends(question: LineQuestion) -> tuple[str, ...]:
    whose: tuple[tuple[LineEnd, str], ...] = (
        (question.car_end, "the car's line end"),
        (question.caliper_inlet, "the caliper's inlet"),
    )
    return tuple(text for end, name in whose for text in asks_about(end, name))
