"""What every list shares: its text, the unit at its end, one size of it."""

import re
from datetime import date

from bomcheck.errors import Unreadable
from bomcheck.notation.clean import is_blank, plain, refuse
from bomcheck.notation.dates import refuse_date
from bomcheck.notation.quantity import NOUN, read_quantity


def list_text(typed: object, unit: str) -> str | None:
    """Plain text of a cell, one item a line read as ";", None for a blank. Raises for a date and for True or False."""
    if isinstance(typed, date):
        raise refuse_date(typed, unit)
    if isinstance(typed, bool):
        raise refuse(typed, "this is no size", "Type a number")
    if typed is None:
        return None
    text = plain(str(typed).replace("\n", "; ") if isinstance(typed, str) else typed)
    return None if is_blank(text) else text


def unit_at_end(text: str) -> str | None:
    found = re.search(r'([a-zμ]+|")\.?$', NOUN.sub("", text.strip()), re.I)
    return found[1] if found else None


def one_size(text: str, unit: str, shared: str | None, typed: object) -> float:
    """One size of a list; a fault names the whole cell."""
    try:
        value = read_quantity(text, unit, shared)
    except Unreadable as fault:
        wrong = fault.wrong if text == str(typed) else f'in "{text[:30]}": {fault.wrong}'
        raise refuse(typed, wrong, fault.instead, fault.kind) from None
    if value is None:
        raise refuse(
            typed,
            f'"{text[:30]}" is no size',
            "Leave the whole cell blank, or type every size of the list",
            "part of it missing",
        )
    return value


def other_unit(typed: object, wrong: str, other: str) -> Unreadable:
    return refuse(typed, wrong, f"If {other} is meant, type the unit behind the figures", "looks like another unit")
