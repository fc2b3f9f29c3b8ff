"""Words from a closed list, and whole numbers."""

import re
from collections.abc import Iterable

from bomcheck.errors import Unreadable
from bomcheck.notation.clean import is_blank, plain, refuse, split_list
from bomcheck.notation.number import decimal

_SAME = {"aluminum": "aluminium", "alloy": "aluminium", "1": "one", "2": "two", "y": "yes", "n": "no"}
_YES = {True: "yes", False: "no"}


def read_choice(typed: object, choices: Iterable[str]) -> str | None:
    """The one of `choices` that is typed, capitals, dashes and spaces apart; None for a blank cell. Raises Unreadable.

    >>> read_choice("One piece", ["one-piece", "two-piece"])
    'one-piece'
    """
    known = list(choices)
    text = _YES[typed] if isinstance(typed, bool) else "" if typed is None else plain(typed)
    found = _match(text, known)
    if found is None and not is_blank(text):
        raise _unknown(typed, text, known)
    return found


def read_choices(typed: object, choices: Iterable[str]) -> tuple[str, ...] | None:
    """All of `choices` that are typed, in the order typed: "road; track" or "road, track"; None for a blank cell."""
    known = list(choices)
    if typed is None or is_blank(text := plain(typed)):
        return None
    items = split_list(re.sub(r"\s*[/&+,]\s*|\s+and\s+", "; ", text) if _match(text, known) is None else text)
    return tuple(dict.fromkeys(found for item in items if (found := read_choice(item, known)) is not None)) or None


def read_count(typed: object) -> int | None:
    """A whole number, 0 or more: 5, "5 pcs", "x5"; None for a blank cell. Raises Unreadable."""
    if isinstance(typed, bool):
        raise refuse(typed, "this is no number", "Type a whole number, for example 5")
    if typed is None or is_blank(text := plain(typed)):
        return None
    found = re.fullmatch(r"x?\s*([\d.,]+)\s*(?:x|pcs|pieces|pc|off|each|ea|no)?\.?", text, re.I)
    value = decimal(found[1]) if found else None
    if value is None or not value.is_integer() or value > 1e6:
        raise refuse(typed, "a whole number belongs here", "Type it without a unit, for example 5")
    return int(value)


def _match(text: str, choices: list[str]) -> str | None:
    return next((choice for choice in choices if _key(choice) == _key(text)), None)


def _key(text: str) -> str:
    words = re.split(r"[\s\-_]+", text.strip().lower())
    return " ".join(_SAME.get(word, word) for word in words)


def _unknown(typed: object, text: str, choices: list[str]) -> Unreadable:
    import difflib

    near = difflib.get_close_matches(text.lower(), [choice.lower() for choice in choices], 1, 0.6)
    meant = next((choice for choice in choices if near and choice.lower() == near[0]), None)
    some = ", ".join(choices[:12]) + (" ..." if len(choices) > 12 else "")
    instead = f'Did you mean "{meant}"? The choices are {some}' if meant else f"Type one of {some}"
    return refuse(typed, "this is not one of the choices", instead, "not one of the choices")
