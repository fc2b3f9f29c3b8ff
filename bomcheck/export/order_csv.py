"""Order lines as CSV (RFC 4180, UTF-8) with a Data Package 2 beside it that describes the columns."""

import csv
import io
import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from bomcheck.export.order_rows import COLUMNS
from bomcheck.workbook.replace_file import write_whole

DANGEROUS = ("=", "+", "-", "@", "\t", "\r")
PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"


def safe_text(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe goes before = + - @ at the beginning.

    >>> safe_text("=1+1"), safe_text("10-1")
    ("'=1+1", '10-1')
    """
    return f"'{text}" if text.startswith(DANGEROUS) else text


def as_csv(rows: Sequence[dict[str, Any]]) -> bytes:
    """One header and one line a row, CRLF, decimal point, no thousands mark, ISO dates; blank where nothing is known."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([column.name for column in COLUMNS])
    writer.writerows([_text(row[column.name]) for column in COLUMNS] for row in rows)
    return out.getvalue().encode("utf-8")


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float | int):
        return str(int(value)) if float(value).is_integer() else repr(float(value))
    return safe_text(str(value))


def data_package(name: str) -> bytes:
    """Describes the CSV of this file name: delimiter, encoding, a Table Schema of the columns."""
    fields = [
        {"name": c.name, "title": c.title, "type": c.type, "description": c.description} for c in COLUMNS
    ]  # fmt: skip
    resource = {
        "name": "order-lines",
        "path": name,
        "type": "table",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "quoteChar": '"', "doubleQuote": True, "lineTerminator": "\r\n", "header": True},
        "schema": {"fields": fields, "primaryKey": ["line_key"], "missingValues": [""]},
    }
    package = {"$schema": PROFILE, "name": "order", "title": "Order lines of one job", "resources": [resource]}
    return (json.dumps(package, ensure_ascii=False, indent=2) + "\n").encode("utf-8")


def write_csv(rows: Sequence[dict[str, Any]], target: Path) -> None:
    """The CSV and `datapackage.json` beside it, each whole or not at all."""
    write_whole(target, as_csv(rows))
    write_whole(target.with_name("datapackage.json"), data_package(target.name))
