"""Order lines as CSV (RFC 4180, UTF-8) with a Data Package 2 beside it that describes the columns."""

import csv
import io
import json
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from bomcheck.export.order_columns import COLUMNS
from bomcheck.export.order_csv_merge import others_in
from bomcheck.export.order_write import require_free, write_together
from bomcheck.workbook.refusal import refuse

DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
UNIQUE = ["job_number", "axle", "vehicle_label", "line_key"]
HEADER = ",".join(column.name for column in COLUMNS)


def safe_text(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe goes before = + - @ at the beginning.

    >>> safe_text("=1+1"), safe_text("10-1")
    ("'=1+1", '10-1')
    """
    return f"'{text}" if text.startswith(DANGEROUS) else text


def as_csv(rows: Sequence[Mapping[str, Any]]) -> bytes:
    """One header and one line a row, CRLF, decimal point, no thousands mark, ISO dates; blank where nothing is known.

    Texts stand in quotes, figures do not: programs that ask can keep "00123" and "1E5" as the texts that they are.
    """
    lines = [HEADER, *(",".join(_field(row.get(column.name)) for column in COLUMNS) for row in rows)]
    return "".join(f"{line}\r\n" for line in lines).encode("utf-8")


def _field(value: Any) -> str:
    if value is None or value == "":
        return ""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float | int):
        return str(int(value)) if float(value).is_integer() else repr(float(value))
    doubled = safe_text(str(value)).replace('"', '""')
    return f'"{doubled}"'


def resource(csv_name: str) -> dict[str, Any]:
    """Describes the CSV of this file name: delimiter, encoding, a Table Schema of the columns."""
    fields = [{"name": c.name, "title": c.title, "type": c.type, "description": c.description} for c in COLUMNS]
    return {
        "name": "".join(sign if sign.isalnum() or sign in "._-" else "-" for sign in csv_name.lower()),
        "path": csv_name,
        "type": "table",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "quoteChar": '"', "doubleQuote": True, "lineTerminator": "\r\n", "header": True},
        "schema": {"fields": fields, "uniqueKeys": [UNIQUE], "missingValues": [""]},
    }


def data_package(csv_name: str, before: Mapping[str, Any] | None = None) -> bytes:
    """The data package of a folder: `before` with this CSV's resource in it, others left as they are."""
    start = {"$schema": PROFILE, "name": "orders", "title": "Order lines of brake jobs", "resources": []}
    package = dict(before or start)
    others = [one for one in package.get("resources", []) if one.get("path") != csv_name]
    package["resources"] = [*others, resource(csv_name)]
    return (json.dumps(package, ensure_ascii=False, indent=2) + "\n").encode("utf-8")


def write_csv(rows: Sequence[Mapping[str, Any]], target: Path, job: Mapping[str, Any] | None = None) -> tuple[str, ...]:
    """The CSV and `datapackage.json` beside it, both or none. Lines of other jobs, axles and cars stay; returns whose.

    job: job_number, axle and vehicle_label, where there may be no row; None: those of the first row. Raises WorkbookError,
    also for a CSV that is no order.
    """
    described = target.with_name("datapackage.json")
    require_free(target)
    require_free(described)
    _require_ours(target)
    before = _package_there(described)
    others = others_in(target, job or (rows[0] if rows else {}), [column.name for column in COLUMNS])
    head, ours = as_csv(rows).split(b"\r\n", 1)
    content = head + b"\r\n" + others.raw + ours
    write_together({described: data_package(target.name, before), target: content})
    return others.names


def _require_ours(target: Path) -> None:
    """An order that was written before may be written again; a CSV of somebody else's is left alone."""
    if not target.exists():
        return
    first = target.read_bytes()[:2000].decode("utf-8-sig", "replace").partition("\n")[0]
    names = next(csv.reader(io.StringIO(first)), [])
    if not {"line_key", "part_number"} <= set(names):
        raise refuse("file", target.name, "there is another CSV of this name, which is no order", "Give another name")


def _package_there(described: Path) -> dict[str, Any] | None:
    if not described.exists():
        return None
    try:
        read = json.loads(described.read_text("utf-8"))
        sound = isinstance(read, dict) and all(isinstance(one, dict) for one in read.get("resources", []))
    except ValueError:
        sound = False
    if not sound:
        raise refuse(
            "file", described.name, "there is a file of this name that describes no tables", "Use another folder"
        )
    return dict(read)
