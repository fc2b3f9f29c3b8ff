"""Figures that a person typed in a list."""

import re
from collections.abc import Mapping
from typing import Any


def amount(kept: Mapping[str, Any], key: str) -> float | None:
    """A kept figure as a number; None where none, no number, or one below zero was typed.

    >>> amount({"on_hand": "2 "}, "on_hand"), amount({"on_hand": "two"}, "on_hand"), amount({"on_hand": -2}, "on_hand")
    (2.0, None, None)
    """
    value = kept.get(key)
    if isinstance(value, int | float):
        return float(value) if value >= 0 else None
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*", value) if isinstance(value, str) else None
    return float(found[1].replace(",", ".")) if found else None
