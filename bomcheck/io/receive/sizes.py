"""The sizes that a slip's words name, against those of the part that was expected."""

import re
from collections.abc import Iterator

from bomcheck.model.errors import Unreadable
from bomcheck.model.job import Part
from bomcheck.notation.thread import read_thread
from bomcheck.tables.fields import plain

_THREAD = re.compile(
    r"\bM\d+(?:[.,]\d+)?(?:\s*[x×]\s*\d(?:[.,]\d+)?)?(?!\d)|\b\d{1,2}/\d{1,2}-\d{2}\b(?:\s*NPT)?", re.IGNORECASE
)
_LENGTH = re.compile(r"(?:[x×]\s*|\blength\s*)(\d{1,3}(?:[.,]\d+)?)(?:\s*mm)?\b(?!\s*[x×])", re.IGNORECASE)
_MM = re.compile(r"\b(\d{1,3}(?:[.,]\d+)?)\s*mm\b")
_COMPOUND = re.compile(r"\bcompound\s+([\w-]+)", re.IGNORECASE)
LENGTH_SLACK, THICKNESS_SLACK = 0.6, 0.03  # mm


def denied(said: str, part: Part) -> Iterator[str]:
    """What the words of a slip's line deny of the part that was expected, one text each: thread, length, thickness, compound.

    >>> from bomcheck.model.job import Part
    >>> list(denied("hex screw M10x1.25 x 45", Part("bracket screw", thread=read_thread("M10x1.25"), length=38.0)))
    ['length 45 mm on the slip, 38 mm expected']
    """
    rest = said
    found = _THREAD.search(said)
    if found:
        rest = said[: found.start()] + " " + said[found.end() :]
        yield from _other_thread(found[0], part)
    if part.length is not None:
        yield from _other_size("length", _sizes(_LENGTH, rest) or _sizes(_MM, rest), part.length, LENGTH_SLACK)
    elif part.thickness is not None and part.role == "shim":
        yield from _other_size("thickness", _sizes(_MM, rest), part.thickness, THICKNESS_SLACK)
    compound = _COMPOUND.search(said)
    if compound and part.role == "pad set" and part.strength_class and plain(compound[1]) != plain(part.strength_class):
        yield f"compound {compound[1]} on the slip, {part.strength_class} expected"


def _other_thread(text: str, part: Part) -> Iterator[str]:
    if part.thread is None:
        return
    try:
        named = read_thread(text.replace(",", ".").replace(" ", ""))
    except Unreadable:
        return
    if named is None:
        return
    alike = named.diameter == part.thread.diameter and named.form == part.thread.form
    if not alike or (named.pitch is not None and part.thread.pitch is not None and named.name != part.thread.name):
        yield f"thread {named.name} on the slip, {part.thread.name} expected"


def _sizes(pattern: re.Pattern[str], text: str) -> list[float]:
    return [float(one.replace(",", ".")) for one in pattern.findall(text)]


def _other_size(name: str, named: list[float], expected: float, slack: float) -> Iterator[str]:
    """Nothing where no size is named, or one of them is the expected one."""
    if named and all(abs(one - expected) > slack for one in named):
        yield f"{name} {named[-1]:g} mm on the slip, {expected:g} mm expected"
