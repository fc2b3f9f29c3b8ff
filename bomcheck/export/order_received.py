"""What of an order has come already, by the Parts list's column Received: it is not ordered again."""

from collections.abc import Mapping, Sequence
from math import ceil
from typing import Any

from bomcheck.parts.cents import cents
from bomcheck.report import Report

Row = dict[str, Any]


def with_received(rows: Sequence[Row], report: Report, kept: Mapping[str, Mapping[str, Any]]) -> list[Row]:
    """The rows with `came` [unit of the line]: what came beyond the kit's box, whose share is counted first."""
    from bomcheck.receive.expected import ORDER, expected

    came = {one.line.key: one.came for one in expected(report, kept) if one.source == ORDER}
    return [{**row, "came": came.get(str(row["line_key"]), 0.0)} for row in rows]


def still_to_order(row: Mapping[str, Any]) -> Row | None:
    """The row without what has come; None where nothing is left to order."""
    came = float(row.get("came") or 0.0)
    if came <= 0:
        return dict(row)
    lack = round(float(row["quantity_needed"]) - came, 6)
    if lack <= 0:
        return None
    size, price = float(row["pack_size"]), row["price_per_pack"]
    packs = ceil(round(lack / size, 6))
    total = None if price is None else cents(packs * price)
    return {
        **row,
        "quantity_needed": lack,
        "packs": packs,
        "quantity_ordered": round(packs * size, 6),
        "line_total": total,
    }


def came_words(rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """Lines of which something came, in words."""
    return [_words(row) for row in rows if row.get("came")]


def _words(row: Mapping[str, Any]) -> str:
    unit = "" if row["unit"] in ("each", "") else f" {row['unit']}"
    name = " ".join(filter(None, (str(row["part_number"]), str(row["description"]))))
    left = still_to_order(row)
    rest = "nothing is left to order" if left is None else f"{left['quantity_needed']:g}{unit} still to order"
    return f"Received already: {row['came']:g}{unit} of {name}; {rest}."
