"""The columns of an order: name in files, title for people, type, and what each holds."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from bomcheck.model.demand import scope_of
from bomcheck.model.job import Job
from bomcheck.model.line import ASK, NO_SOURCE, TINY, Line, cents
from bomcheck.model.records import dataclass
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
Row = dict[str, Any]


def order_rows(report: Report) -> list[Row]:
    """What is bought, a dict by column name; values are str, float, int, date or None. Quantities are what must still be
    ordered; beside the columns stand `came` [unit] and `whole_packs`, those of the whole order.

    A line without a known source is ordered once the shop has named a supplier for it; a line to ask first never is.
    """
    return [_row(line, report) for line in report.parts if line.is_bought]


def open_rows(rows: Sequence[Mapping[str, Any]]) -> list[Row]:
    """Those of which something must still be ordered."""
    return [dict(row) for row in rows if row["packs"] > 0]


def in_all(row: Mapping[str, Any]) -> Row:
    """The row with the quantities of the whole order, however much of it came."""
    came = row.get("came") or 0.0
    if not came:
        return dict(row)
    packs = row["whole_packs"]
    ordered = round(packs * row["pack_size"], 6)
    needed = round(row["quantity_needed"] + came, 6)
    return {**row, "packs": packs, "quantity_ordered": ordered, "quantity_needed": min(needed, ordered)}


def _row(line: Line, report: Report) -> Row:
    job, size = report.job, line.pack_size or 1.0
    price, packs = line.unit_price, int(line.still_packs)
    served = [one for one in report.parts if one.key == line.key or one.key in line.also_for]
    axles = {one.axle for one in served if one.axle}
    return {
        "line_key": line.key, **owner_texts(job), **({"axle": axles.pop()} if len(axles) == 1 else {}),
        "side": line.side, "role": line.role, "part_number": line.part_number, "supplier": line.supplier,
        "description": line.description or line.role, "spec": line.spec, "unit": line.unit,
        "quantity_needed": line.still_lacks, "pack_size": size, "packs": packs,
        "quantity_ordered": round(packs * size, 6), "price_each": None if price is None else round(price / size, 6),
        "price_per_pack": price, "line_total": None if price is None else cents(packs * price),
        "currency": _text(job.get("currency")), "lead_days": line.lead_days,
        "needed_by": as_date(job.get("needed_by")),
        "used_at": ", ".join(dict.fromkeys(filter(None, (f"{one.axle} {one.used_at}".strip() for one in served)))),
        "reason": line.reason, "note": line.own.note, "came": line.came, "whole_packs": line.whole_packs,
    }  # fmt: skip


def owner_texts(job: Job) -> Row:
    """Whose order it is: job_number, vehicle_label, axle."""
    stated = {key: _text(job.get(key)) for key in ("job_number", "vehicle_label")}
    return {**stated, "axle": _axle(job)}


def _axle(job: Job) -> str:
    """ "front", or "front left" where one side only is ordered for."""
    scope = scope_of(job)
    return " ".join(filter(None, (_text(job.get("axle")), *(scope.sides if scope.count == 1 else ()))))


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
        and not line.is_bought
        and (lacking(line) > TINY or (line.status == ASK and line.needed <= 0))
    ]


def lacking(line: Line) -> float:
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


def came_words(report: Report) -> list[str]:
    """Lines of the order of which something came, in words."""
    return [_came(line) for line in report.parts if line.came]


def _came(line: Line) -> str:
    unit = "" if line.unit in ("each", "") else f" {line.unit}"
    name = " ".join(filter(None, (line.part_number, line.description)))
    rest = (
        f"{line.still_lacks:g}{unit} still to come or, if sent back or lost, to be ordered again"
        if line.still_lacks
        else "nothing is left to order"
    )
    return f"Received already: {line.came:g}{unit} of {name}; {rest}."


def unpriced(rows: list[Row]) -> list[str]:
    """Descriptions of the rows without a price."""
    return [str(row["description"]) for row in rows if row["price_per_pack"] is None]
