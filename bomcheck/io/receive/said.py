"""What the words of a slip's line say of the part that was expected: sizes, threads, compounds that are not its own."""

import re
from collections.abc import Iterator, Sequence

from bomcheck.model.job import Part
from bomcheck.model.records import replace
from bomcheck.notation.text import written
from bomcheck.paper.awaited import PIECES, Expected
from bomcheck.supply.part_sizes import THREAD, thread_in
from bomcheck.supply.spec import fit
from bomcheck.tables.fields import plain

LATER = written("later", r"(?:(\d+(?:[.,]\d+)?)\s*(?:x|pcs?\.?|pieces?|packs?|cans?|bottles?|tubes?)?\s*)?\b({})(?!\w)")
BAD = written("bad", r"(?<!\w)({})(?!\w| springs?\b| lines?\b| hoses?\b)")
PAPER, SLIP, GONE = written("paper"), written("slip"), written("later gone")
HOLDS = re.compile(
    r"\b(?:pack|bag|box|tube|bottle|can)s? of (\d+(?:[.,]\d+)?)|\b(\d+(?:[.,]\d+)? ?(?:m?l|k?g))\b", re.IGNORECASE
)
REST = re.compile(r"\b(?:rest|balance|remainder)\b", re.IGNORECASE)
_LENGTH = re.compile(r"(?:[x×]\s*|\blength\s*)(\d{1,3}(?:[.,]\d+)?)(?:\s*mm)?\b(?!\s*[x×])", re.IGNORECASE)
_MM = re.compile(r"\b(\d{1,3}(?:[.,]\d+)?)\s*mm\b")
NAMED = {
    "compound": re.compile(r"\bcompound:?\s+([\w-]+)", re.IGNORECASE), "class": re.compile(r"\bDOT[ -]?([34])(?![\d.])", re.IGNORECASE),
    "edge code": re.compile(r"\bedge code:?\s+([A-H]{2})\b", re.IGNORECASE), "strength": re.compile(r"\b(8\.8|10\.9|12\.9)\b"),
}  # fmt: skip
"""What a slip's words may name of a part that has it too."""
LENGTH_SLACK, THICKNESS_SLACK = 0.6, 0.03  # mm


def denied(said: str, part: Part) -> Iterator[str]:
    """What the words of a slip's line deny of the part that was expected, one text each: thread, length, thickness, compound.

    >>> list(denied("hex screw M10x1.25 x 45", Part("bracket screw", thread=thread_in("M10x1.25"), length=38.0)))
    ['length 45 mm on the slip, 38 mm expected']
    """
    rest = said
    found = THREAD.search(said)
    if found:
        rest = said[: found.start()] + " " + said[found.end() :]
        yield from _other_thread(found[0], part)
    if part.length is not None:
        yield from _other_size("length", _sizes(_LENGTH, rest) or _sizes(_MM, rest), part.length, LENGTH_SLACK)
    elif part.thickness is not None and part.role == "shim":
        yield from _other_size("thickness", _sizes(_MM, rest), part.thickness, THICKNESS_SLACK)
    kind = "edge code" if re.fullmatch("[A-H]{2}", part.strength_class) else "compound"
    own = f"{part.description} {kind if part.role == 'pad set' else ''} {part.strength_class}"
    for name, words in NAMED.items():
        told, has = words.search(said), words.findall(own)
        if told and has and plain(told[1]) not in map(plain, has):
            yield f"{name} {told[1]} on the slip, {has[-1]} expected"


def denied_by_words(said: str, one: Expected) -> list[str]:
    """What the words say against it as they would of a part in the price list; not what they leave out."""
    if one.demand is None:
        return []
    part = replace(one.part or Part(one.line.role), note="", unit_price=None)  # what a pack holds is read apart
    silent, told = (fit(replace(part, description=words), one.demand) for words in ("", said))
    return [text for text in (*told.against, *told.unstated) if text not in (*silent.against, *silent.unstated)]


def _other_thread(text: str, part: Part) -> Iterator[str]:
    named = thread_in(text)
    if part.thread is not None and named is not None and not named.may_be(part.thread):
        yield f"thread {named.name} on the slip, {part.thread.name} expected"


def _sizes(pattern: re.Pattern[str], text: str) -> list[float]:
    return [float(one[1].replace(",", ".")) for one in pattern.finditer(text)]


def _other_size(name: str, named: list[float], expected: float, slack: float) -> Iterator[str]:
    """Nothing where no size is named, or one of them is the expected one."""
    if named and all(abs(one - expected) > slack for one in named):
        yield f"{name} {named[-1]:g} mm on the slip, {expected:g} mm expected"


_FIGURE = re.compile(r"(?<![\w./-])(\d+(?:[.,/]\d+)?)(?:\s*(?:mm|m?l|k?g|m|in|inch|\"))?(?![\w/-])", re.IGNORECASE)
_COUNTS = re.compile(
    r"\b(?:pack|bag|box|set|kit)s? (?:of )?\d+|\b\d+\s*(?:off|pcs?|pieces?|packs?|each|ea|x(?!\s*\d))\b", re.IGNORECASE
)


def _figures(text: str) -> list[tuple[str, float]]:
    """The sizes that stand in words: numbers of ten and more, decimals and fractions, without counts of pieces."""
    apart = re.sub(r"(?<=\d)\s*[x×]\s*(?=\d)", " ", _COUNTS.sub("", text), flags=re.IGNORECASE)
    found = ((one, one.replace(",", ".").partition("/")) for one in _FIGURE.findall(apart))
    read = [(one, float(top) / float(below or 1)) for one, (top, _, below) in found if float(below or 1)]
    return [(one, value) for one, value in read if value >= 10 or not one.isdigit()]


def other_figures(words: str, found: Sequence[Expected]) -> str:
    """The sizes in the words of a slip's line, where none of them is one of the part that was expected and sizes of it are known."""
    texts = [" ".join((one.line.description, one.line.spec, one.part_number, _said_of(one.part))) for one in found]
    known, said = [value for _, value in _figures(" ".join(texts))], _figures(words)
    factors = (1.0, 1000.0, 0.001, 25.4, 1 / 25.4)
    pairs = ((value, one * by) for _, value in said for one in known for by in factors)
    same = any(abs(value - one) <= max(0.05, 0.005 * value) for value, one in pairs)
    return "" if same or not known else " and ".join(text for text, _ in said)


def _said_of(part: Part | None) -> str:
    """What the box or the price list says of a part."""
    if part is None:
        return ""
    pack = None if part.unit in PIECES else part.pack_size
    sizes = (part.length, part.thickness, part.inner_diameter, part.outer_diameter, pack)
    return " ".join((part.description, part.note, *(f"{size:.2f}" for size in sizes if size is not None)))
