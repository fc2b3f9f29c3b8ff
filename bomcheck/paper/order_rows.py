"""The columns of an order: name in files, title for people, type, and what each holds."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import Any

from bomcheck.model.demand import scope_of
from bomcheck.model.job import Job
from bomcheck.model.line import ASK, NO_SOURCE, TO_ORDER, Line, cents
from bomcheck.model.report import Report
from bomcheck.paper.parts_columns import IN_FILE


@dataclass(frozen=True, slots=True)
class Column:
    """type: of Table Schema: "string", "number", "integer" or "date"."""

    name: str
    title: str
    type: str
    description: str


COLUMNS = tuple(Column(one.order, one.title, one.type, one.says) for one in IN_FILE)
BY_NAME = {column.name: column for column in COLUMNS}


Row = dict[str, Any]
TINY = 1e-9


def order_rows(report: Report) -> list[Row]:
    """What is to be ordered, a dict by column name; values are str, float, int, date or None.

    A line without a known source is ordered once the shop has named a supplier for it; a line to ask first never is.
    """
    by_key = {line.key: line for line in report.parts}
    return [_row(line, report, by_key) for line in report.parts if _is_bought(line)]


def _is_bought(line: Line) -> bool:
    if line.status == NO_SOURCE:
        return bool(line.own.supplier) and line.to_order > TINY
    return line.status == TO_ORDER and line.packs > 0


def _row(line: Line, report: Report, by_key: Mapping[str, Line]) -> Row:
    job, size = report.job, line.pack_size or 1.0
    lack = round(line.to_order + sum(by_key[key].to_order for key in line.also_for), 6)
    packs = int(line.packs) if line.in_packs else ceil(round(lack / size, 6))
    price = line.unit_price
    return {
        "line_key": line.key,
        **owner_texts(job),
        "side": line.side,
        "role": line.role,
        "part_number": line.part_number,
        "supplier": line.supplier,
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
        "note": line.own.note,
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


def _text(value: Any) -> str:
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value).strip()


def as_date(value: Any) -> date | None:
    """The day of a date field, None where none is stated."""
    return value if isinstance(value, date) else date.fromisoformat(value) if isinstance(value, str) and value else None


def left_out(report: Report) -> list[str]:
    """Lines that are needed but cannot be ordered, in words, and why."""
    return [
        f"{_named(line, line.to_order)} {_why(line)}"
        for line in report.parts
        if line.status in (ASK, NO_SOURCE)
        and not _is_bought(line)
        and (_still_lacking(line) > TINY or (line.status == ASK and line.needed <= 0))
    ]


def _still_lacking(line: Line) -> float:
    """Without what came beyond the kit's box."""
    return line.to_order - max(0.0, line.own.received - line.in_kit)


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
