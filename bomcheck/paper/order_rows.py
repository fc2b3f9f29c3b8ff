"""The columns of an order: name in files, title for people, type, and what each holds."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import Any

from bomcheck.model.demand import scope_of
from bomcheck.model.job import Job
from bomcheck.model.line import ASK, NO_SOURCE, Line, amount, cents, same_name
from bomcheck.model.report import Report
from bomcheck.supply.balance import Counted, counted


@dataclass(frozen=True, slots=True)
class Column:
    """type: of Table Schema: "string", "number", "integer" or "date"."""

    name: str
    title: str
    type: str
    description: str


COLUMNS = (
    Column(
        "line_key", "Line", "string", "Name of the line, the same on every run; by it a line of an axle is known again"
    ),
    Column("job_number", "Job number", "string", "The shop's own number of the job"),
    Column("vehicle_label", "Vehicle", "string", "What the shop calls the car"),
    Column("axle", "Axle", "string", "front or rear, and the side where only one is ordered for"),
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
    Column("quantity_ordered", "Quantity ordered", "number", "Packs times pack size, in the unit"),
    Column("price_each", "Price of one", "number", "Price of one unit: the price of a pack divided by its size"),
    Column("price_per_pack", "Price per pack", "number", "Price of one pack, without tax"),
    Column("line_total", "Line total", "number", "Packs times the price of a pack"),
    Column("currency", "Currency", "string", "Currency of the prices"),
    Column("lead_days", "Lead days", "number", "Days from order to arrival"),
    Column("needed_by", "Needed by", "date", "Day by which it is needed"),
    Column("used_at", "Used at", "string", "Where in the assembly it is used"),
    Column("reason", "Reason", "string", "Why it is needed"),
    Column("note", "Note", "string", "Note of the shop"),
)
BY_NAME = {column.name: column for column in COLUMNS}


Row = dict[str, Any]
Typed = Mapping[str, Mapping[str, Any]]
TINY = 1e-9


def order_rows(report: Report, kept: Typed) -> list[Row]:
    """What is to be ordered, a dict by column name; values are str, float, int, date or None.

    kept: what the shop typed into the parts list, by line: what it has on hand counts, its price, supplier and note rule.
    A line without a known source is ordered once the shop has named a supplier for it; a line to ask first never is.
    """
    counts = counted(report.parts, kept)
    bought = (line for line in report.parts if _is_bought(line, counts[line.key], kept.get(line.key, {})))
    return [_row(line, report, counts, kept.get(line.key, {})) for line in bought]


def _is_bought(line: Line, count: Counted, own: Mapping[str, Any]) -> bool:
    if line.status == NO_SOURCE:
        return bool(own.get("own_supplier")) and count.lacking > TINY
    return bool(count.packs)


def _row(line: Line, report: Report, counts: Mapping[str, Counted], own: Mapping[str, Any]) -> Row:
    job, count, size = report.job, counts[line.key], line.pack_size or 1.0
    lack = round(count.lacking + sum(counts[key].lacking for key in line.also_for), 6)
    packs = ceil(round(lack / size, 6)) if count.packs is None else int(count.packs)
    typed = amount(own, "own_price")
    price = line.unit_price if typed is None else typed
    return {
        "line_key": line.key,
        **owner_texts(job),
        "side": line.side,
        "role": line.role,
        "part_number": line.part_number,
        "supplier": _supplier(line, own),
        "description": line.description or line.role,
        "spec": line.spec,
        "unit": line.unit,
        "quantity_needed": lack if line.at_most is None else round(min(lack, packs * size), 6),
        "pack_size": size,
        "packs": packs,
        "quantity_ordered": round(packs * size, 6),
        "price_each": None if price is None else round(price / size, 6),
        "price_per_pack": price,
        "line_total": None if price is None else cents(packs * price),
        "currency": _text(job.get("currency")),
        "lead_days": line.lead_days,
        "needed_by": as_date(job.get("needed_by")),
        "used_at": _used_at(line, report),
        "reason": line.reason,
        "note": _text(own.get("own_note")),
    }


def owner_texts(job: Job) -> Row:
    """Whose order it is: job_number, vehicle_label, axle."""
    stated = {key: _text(job.get(key)) for key in ("job_number", "vehicle_label")}
    return {**stated, "axle": _axle(job)}


def _axle(job: Job) -> str:
    """ "front", or "front left" where one side only is ordered for."""
    scope = scope_of(job)
    return " ".join(filter(None, (_text(job.get("axle")), *(scope.sides if scope.count == 1 else ()))))


def _used_at(line: Line, report: Report) -> str:
    """Where the line's parts go, and those of the lines that take from its packs."""
    places = (
        f"{one.axle} {one.used_at}".strip() for one in report.parts if one.key == line.key or one.key in line.also_for
    )
    return ", ".join(dict.fromkeys(place for place in places if place))


def _supplier(line: Line, own: Mapping[str, Any]) -> str:
    chosen = _text(own.get("own_supplier"))
    return line.supplier if not chosen or same_name(chosen, line.supplier) else chosen


def _text(value: Any) -> str:
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value).strip()


def as_date(value: Any) -> date | None:
    """The day of a date field, None where none is stated."""
    return value if isinstance(value, date) else date.fromisoformat(value) if isinstance(value, str) and value else None


def left_out(report: Report, kept: Typed) -> list[str]:
    """Lines that are needed but cannot be ordered, in words, and why."""
    counts = counted(report.parts, kept)
    return [
        f"{_named(line, counts[line.key].lacking)} {_why(line)}"
        for line in report.parts
        if line.status in (ASK, NO_SOURCE)
        and not _is_bought(line, counts[line.key], kept.get(line.key, {}))
        and (_still_lacking(line, counts[line.key], kept) > TINY or (line.status == ASK and line.needed <= 0))
    ]


def _still_lacking(line: Line, count: Counted, kept: Typed) -> float:
    """Without what came beyond the kit's box."""
    came = amount(kept.get(line.key, {}), "received") or 0.0
    return count.lacking - max(0.0, came - line.in_kit)


def _named(line: Line, lack: float) -> str:
    count = f"{lack:g} {'x' if line.unit in ('each', '') else line.unit} " if lack else ""
    spec = f", {line.spec}" if line.spec and line.spec != line.description else ""
    return f"{count}{line.description or line.role}{spec}:"


def _why(line: Line) -> str:
    if line.status == NO_SOURCE:
        return "no source known. Find one and type it as the supplier of yours in the Parts list"
    return f"to ask first. {line.note.rstrip('.')}" if line.note else "to ask first"


def unpriced(rows: list[Row]) -> list[str]:
    """Descriptions of the rows without a price."""
    return [str(row["description"]) for row in rows if row["price_per_pack"] is None]
