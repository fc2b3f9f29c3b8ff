"""A column of nothing but plain figures of one unit, all plausible: read as one array."""

import re

import numpy as np

from bomcheck.notation import units
from bomcheck.screen.columns import Column
from bomcheck.screen.entries import Entries, types_of
from bomcheck.screen.lanes import Array
from bomcheck.tables.fields import Field

PLAIN_FIGURES = re.compile(r"[\d.\-\n]*", re.ASCII)
FIGURES = ("number", "count")


def plain_figures(
    one: Field, entries: Entries, halves: Entries | None, beside: str | None, half_unit: str | None
) -> Column | None:
    """The column, its ± from a column of its own or the usual one; None where it must be read entry by entry."""
    if one.notation not in FIGURES or (one.notation == "number" and beside is None and one.unit not in ("", "-")):
        return None
    values, spans = figures(entries), None if halves is None else figures(halves)
    if values is None or (halves is not None and spans is None):
        return None
    values = converted(values, beside, one.unit)
    known = ~np.isnan(values)
    plus_minus = np.where(known, one.plus_minus, 0.0)
    if spans is not None:
        spans = converted(spans, half_unit, one.unit)
        given = ~np.isnan(spans)
        if np.any(spans < 0) or np.any(given & ~known) or _too_wide(one, spans):
            return None
        plus_minus = np.where(given, spans, plus_minus)
    if not _plausible(one, values[known]):
        return None
    return Column(known, plus_minus, np.where(known, values, 0.0), whole=one.notation == "count")


def figures(entries: Entries) -> Array | None:
    """Plain decimal figures, NaN for blanks; None where something else stands among them."""
    if isinstance(entries, np.ndarray):
        return None if np.isinf(entries).any() else entries
    if types_of(entries) - {str, float}:
        return None
    different = set(entries)
    texts = [entry for entry in different if isinstance(entry, str)]
    if not PLAIN_FIGURES.fullmatch("\n".join(texts)):
        return None
    try:
        table = {entry: float(entry or "nan") if isinstance(entry, str) else entry for entry in different}
    except ValueError:
        return None
    return np.fromiter(map(table.__getitem__, entries), dtype=float, count=len(entries))


def converted(values: Array, beside: str | None, unit: str) -> Array:
    """Figures in the internal unit; each different one is reckoned once."""
    inside = units.named(unit)
    typed = units.find(beside, inside.quantity) if beside and inside else None
    if typed is None or inside is None or typed == inside:
        return values
    different, which = np.unique(values, return_inverse=True)
    turned = (value if np.isnan(value) else units.convert(value, typed, inside) for value in different.tolist())
    found: Array = np.fromiter(turned, dtype=float, count=len(different))[which.reshape(values.shape)]
    return found


def _plausible(one: Field, values: Array) -> bool:
    if one.notation == "count" and (np.any(values < 0) or np.any(values != np.floor(values))):
        return False
    if one.low is None or one.high is None or not len(values):
        return one.unit != "%"
    return bool(values.min() >= one.low and values.max() <= one.high)


def _too_wide(one: Field, spans: Array) -> bool:
    if one.low is None or one.high is None:
        return False
    return bool(np.any(spans > (one.high - one.low) / 2))
