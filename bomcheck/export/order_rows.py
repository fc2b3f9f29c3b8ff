"""Order lines: one row for each line of the parts list that is bought, with the shop's own figures taken in."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from bomcheck.parts.line import TO_ORDER, Line
from bomcheck.report import Report


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the order: name in files, title for people, type of Table Schema, and what it holds."""

    name: str
    title: str
    type: str
    description: str


COLUMNS = (
    Column("line_key", "Line", "string", "Name of the line, the same on every run; by it a line is known again"),
    Column("job_number", "Job number", "string", "The shop's own number of the job"),
    Column("vehicle_label", "Vehicle", "string", "What the shop calls the car"),
    Column("axle", "Axle", "string", "front or rear"),
    Column("side", "Side", "string", "left, right or either"),
    Column("role", "Role", "string", "What the part is"),
    Column("part_number", "Part number", "string", "The supplier's number, always text"),
    Column("supplier", "Supplier", "string", "Who it is bought from"),
    Column("description", "Description", "string", "The part in words"),
    Column("spec", "What it must be", "string", "Thread, length, ends, sizes, strength"),
    Column("unit", "Unit", "string", "Unit of the quantities"),
    Column("quantity_needed", "Quantity needed", "number", "What is short, in the unit"),
    Column("pack_size", "Pack size", "number", "Units in one pack"),
    Column("packs", "Packs", "integer", "Packs to order, rounded up once for the car"),
    Column("quantity_ordered", "Quantity ordered", "number", "Packs times pack size"),
    Column("price_per_pack", "Price per pack", "number", "Price of one pack"),
    Column("line_total", "Line total", "number", "Packs times price"),
    Column("currency", "Currency", "string", "Currency of the prices"),
    Column("lead_days", "Lead days", "number", "Days until it is there"),
    Column("needed_by", "Needed by", "date", "Day by which it is needed"),
    Column("used_at", "Used at", "string", "Where in the assembly it is used"),
    Column("reason", "Reason", "string", "Why it is needed"),
    Column("note", "Note", "string", "Note of the shop"),
)


def order_rows(report: Report, kept: Mapping[str, Mapping[str, Any]]) -> list[dict[str, Any]]:
    """What is to be ordered, a dict by column name; values are str, float, int, date or None.

    kept: what the shop typed into the parts list, by line: what it has on hand counts, its price and supplier rule.
    """
    return [
        row for line in report.parts if line.status == TO_ORDER for row in _row(line, report, kept.get(line.key, {}))
    ]


def _row(line: Line, report: Report, own: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    short = max(0.0, line.to_order - _number(own.get("on_hand"), 0.0))
    if short <= 1e-9:
        return
    job, size = report.job, line.pack_size or 1.0
    packs = math.ceil(round(short / size, 6))
    price = _number(own.get("own_price"), line.unit_price)
    yield {
        "line_key": line.key,
        "job_number": job.get("job_number") or "",
        "vehicle_label": job.get("vehicle_label") or "",
        "axle": job.get("axle") or "",
        "side": line.side,
        "role": line.role,
        "part_number": line.part_number,
        "supplier": str(own.get("own_supplier") or line.supplier),
        "description": line.description,
        "spec": line.spec,
        "unit": line.unit,
        "quantity_needed": round(short, 6),
        "pack_size": size,
        "packs": packs,
        "quantity_ordered": round(packs * size, 6),
        "price_per_pack": price,
        "line_total": None if price is None else round(packs * price, 2),
        "currency": job.get("currency") or "",
        "lead_days": line.lead_days,
        "needed_by": job.get("needed_by"),
        "used_at": line.used_at,
        "reason": line.reason,
        "note": str(own.get("own_note") or line.note),
    }


def _number(typed: Any, otherwise: float | None) -> Any:
    return float(typed) if isinstance(typed, int | float) else otherwise


def left_out(report: Report) -> list[str]:
    """Lines that are needed but cannot be ordered from a list: in words, for a message."""
    open_lines = [line for line in report.parts if line.to_order and line.status not in (TO_ORDER, "work")]
    return [f"{line.to_order:g} {line.unit} {line.description or line.role}: {line.status}" for line in open_lines]
