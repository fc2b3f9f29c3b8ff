"""What of an order has come already, by the Parts list's column Received: it is not ordered again."""

from collections.abc import Collection, Mapping, Sequence
from math import ceil
from typing import Any

from bomcheck.io.package import Package
from bomcheck.io.read.own import typed_faults
from bomcheck.model.errors import BomcheckError, Fault
from bomcheck.model.job import Job
from bomcheck.model.line import cents
from bomcheck.model.report import Report
from bomcheck.paper.awaited import ORDER, expected

Row = dict[str, Any]


def with_received(rows: Sequence[Row], report: Report) -> list[Row]:
    """The rows with `came` [unit of the line]: what came beyond the kit's box, whose share is counted first."""
    came = {one.line.key: one.came for one in expected(report, report.job.own) if one.source == ORDER}
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


ORDERING = RECEIVING = ("on_hand", "own_price", "received")


class Stopped(BomcheckError):
    """Cells that must be corrected first; one line for each."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


def require_sound(job: Job, package: Package, columns: Collection[str]) -> None:
    """Raises Stopped where a cell cannot be trusted. columns: the yellow ones that count, ORDERING or RECEIVING."""
    faults = [fault for fault in job.faults if fault.stops]
    faults += [one for one in typed_faults(package, str(job.get("currency") or "")) if one.key in columns]
    if faults:
        raise Stopped(faults)
