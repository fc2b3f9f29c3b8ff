"""Prices of two currencies in one ordering sheet."""

from collections.abc import Mapping, Sequence
from typing import Any

from bomcheck.export.order_mapping import ColumnMap
from bomcheck.export.order_place import Place
from bomcheck.fields import plain

PRICES = ("price_each", "price_per_pack", "line_total")


def currency_remarks(place: Place, mapping: ColumnMap, lines: Sequence[Mapping[str, Any]], book: str) -> list[str]:
    """One line where prices go into a sheet that has no column for their currency, or rows of another one."""
    priced = [line for line in lines if line["price_per_pack"] is not None and line["currency"]]
    if not priced or not mapping.has(PRICES):
        return []
    ours = str(priced[0]["currency"])
    if not mapping.has(("currency",)):
        headings = [heading for heading, name in mapping.columns.items() if name in PRICES]
        if any(plain(ours) in plain(heading) for heading in headings):
            return []
        return [f"{book}: no column takes the currency; the prices of the lines added are in {ours}."]
    typed = [place.texts(row).get("currency", "").strip() for row in place.rows if row > place.heading]
    others = list(dict.fromkeys(text for text in typed if text and plain(text) != plain(ours)))
    if not others:
        return []
    return [f"{book}: rows in {', '.join(others)} stand there too; the prices of the lines added are in {ours}."]
