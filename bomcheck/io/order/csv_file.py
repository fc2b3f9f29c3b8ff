"""Whose order a line is: job, axle, side and car, as far as they are stated."""

import csv
import io
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from bomcheck.io.disk import only_writer, read_ordinary, require_free
from bomcheck.io.refusal import refuse
from bomcheck.io.replace_file import Draft, write_files
from bomcheck.io.xml import BAD_IN_XML
from bomcheck.model.errors import WorkbookError
from bomcheck.model.records import dataclass
from bomcheck.paper.order_rows import COLUMNS
from bomcheck.tables.fields import plain

SIDES, BOTH = ("left", "right"), "frontandrear"
LARGEST, CELLS = 50_000_000, 1_000_000
"""Largest order file and data package that lines are added to [bytes]; most cells of a CSV."""


@dataclass(frozen=True, slots=True)
class Owner:
    """side: "left" or "right" where the order is for one of them only; "" where nothing is stated."""

    job: str
    axle: str = ""
    side: str = ""
    vehicle: str = ""

    def may_be(self, other: "Owner") -> bool:
        """The same job, and nothing that both state differs; what is for both axles may be for one.

        >>> Owner("J-7", "front").may_be(Owner("J-7", "rear")), Owner("J-7", BOTH).may_be(Owner("J-7", "rear"))
        (False, True)
        """
        axle = self.axle if BOTH in (self.axle, other.axle) else other.axle
        pairs = ((self.axle, axle), (self.side, other.side), (self.vehicle, other.vehicle))
        return self.job == other.job and all(not one or not two or one == two for one, two in pairs)


def owner_of(row: Mapping[str, Any]) -> Owner:
    """Of an order line, or of what a row of a sheet says: job_number, axle ("front", "front left"), vehicle_label. A line
    whose key names its axle is of a job for both: `owner_of({"axle": "rear", "line_key": "hub seal @ hub, rear"})`.
    """
    words = _text(row, "axle").casefold().split()
    side = next((word for word in words if word in SIDES), "")
    axle = plain("".join(word for word in words if word not in (*SIDES, "axle")))
    axle = BOTH if axle in _text(row, "line_key").split(", ")[1:] else axle
    return Owner(_text(row, "job_number").casefold(), axle, side, plain(_text(row, "vehicle_label")))


def named(row: Mapping[str, Any]) -> str:
    """ "J-7, front, blue coupe"."""
    return ", ".join(filter(None, (_text(row, key) for key in ("job_number", "axle", "vehicle_label"))))


def _text(row: Mapping[str, Any], key: str) -> str:
    value = row.get(key)
    return "" if value is None else " ".join(BAD_IN_XML.sub("", str(value)).split())


@dataclass(frozen=True)
class Dialect:
    """How a CSV is written. text: its contents. bom: whether it begins with a byte-order mark."""

    text: str = ""
    encoding: str = "utf-8"
    delimiter: str = ","
    decimal: str = "."
    newline: str = "\r\n"
    bom: bool = True

    def number(self, text: str) -> float | None:
        """A figure in its own way of writing; None for what is none."""
        found = re.fullmatch(rf"-?\d+(?:{re.escape(self.decimal)}\d+)?", text)
        return float(text.replace(self.decimal, ".")) if found else None


def dialect_of(name: str, data: bytes) -> Dialect:
    """Of a file that is there: letters of UTF-8 or of the old code page, comma, semicolon or tab, decimal point or comma."""
    bom = data.startswith(b"\xef\xbb\xbf")
    if b"\0" in data:
        raise refuse("file", name, "this is no CSV in UTF-8 or in the usual code page", "Save it as CSV UTF-8")
    try:
        text, encoding = data.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        text, encoding = data.decode("cp1252", "replace"), "cp1252"
    lines = text.splitlines()[:40]
    counts = {sign: max((line.count(sign) for line in lines), default=0) for sign in ";,\t"}
    delimiter = max(counts, key=lambda sign: counts[sign]) if any(counts.values()) else ","
    divided = re.escape(delimiter)
    commas, points = (
        len(re.findall(rf'(?:^|{divided})"?-?\d+{sign}\d+"?(?={divided}|$)', text, re.MULTILINE))
        for sign in (",", r"\.")
    )
    decimal = "," if delimiter != "," and commas >= points and (commas or delimiter == ";") else "."
    newline = "\r\n" if "\r\n" in text else "\n" if "\n" in text else "\r\n"
    if text.count(delimiter) + text.count("\n") > CELLS:
        raise refuse("file", name, f"it has more than {CELLS:,} cells, the most that are read", "Begin a new file")
    return Dialect(text, encoding, delimiter, decimal, newline, bom)


def mended(text: str) -> str:
    """Letters of UTF-8 that a program took for the old code page and saved as such."""
    try:
        return text.encode("cp1252").decode("utf-8")
    except UnicodeError:
        return text


@dataclass(frozen=True)
class Others:
    """raw: their lines as they stand, each with its end. names: whose they are, in words."""

    raw: bytes = b""
    names: tuple[str, ...] = ()


def others_in(target: Path, dialect: Dialect | None, ours: Mapping[str, Any], columns: Sequence[str]) -> Others:
    """The lines of others than this job, axle and car. Raises WorkbookError for a CSV that is not as it was written.

    dialect: of what it holds, None where it is not there.
    """
    if dialect is None:
        return Others()
    mine, raw, names = owner_of(ours), list[str](), dict[Owner, str]()
    for text, row in _records(target, dialect, columns):
        owner = owner_of(row)
        if owner != mine:
            raw.append(text)
            whole = {**row, "axle": "front and rear"} if owner.axle == BOTH else row
            names.setdefault(owner, named(whole) or "a job without a number")
        elif not mine.job and not mine.vehicle:
            wrong = "it holds the order of a job without a number, which may be another one"
            raise refuse("file", target.name, wrong, "Type a job number on the Job sheet, or give another name")
    return Others("".join(raw).encode(dialect.encoding), tuple(dict.fromkeys(names.values())))


def _records(target: Path, dialect: Dialect, columns: Sequence[str]) -> Iterator[tuple[str, dict[str, str]]]:
    """(the record as it stands, with the file's own end of line, its fields)."""
    try:
        lines = _joined(dialect.text.splitlines(keepends=True))
        reader, at = csv.reader(lines, strict=True, delimiter=dialect.delimiter), 0
        for number, fields in enumerate(reader):
            text, at = "".join(lines[at : reader.line_num]), reader.line_num
            if not any(fields):
                continue
            if len(fields) != len(columns) or (number == 0 and fields != list(columns)):
                raise _altered(target)
            if number:
                kept = (f[1:] if f.startswith("'") and f.lstrip("'").startswith(DANGEROUS) else f for f in fields)
                read = [mended(text) for text in kept]  # without the apostrophe that keeps a text from being a formula
                yield text.rstrip("\r\n") + dialect.newline, dict(zip(columns, read, strict=True))
    except csv.Error:
        raise _altered(target) from None


def _joined(lines: Sequence[str]) -> list[str]:
    """Only CR, LF and both end a line of a CSV; other signs that end lines elsewhere do not."""
    joined: list[str] = []
    for line in lines:
        if joined and not joined[-1].endswith(("\n", "\r")):
            joined[-1] += line
        else:
            joined.append(line)
    return joined


def _altered(target: Path) -> WorkbookError:
    wrong = "there is an order in it whose columns are not those of today's, so its lines could be lost"
    return refuse("file", target.name, wrong, "Give another name")


DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
UNIQUE = ["job_number", "axle", "vehicle_label", "line_key"]


def safe_text(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe goes before = + - @ at the beginning.

    >>> safe_text("=1+1"), safe_text("10-1")
    ("'=1+1", '10-1')
    """
    return f"'{text}" if text.lstrip("'").startswith(DANGEROUS) else text


def as_csv(rows: Sequence[Mapping[str, Any]], dialect: Dialect = Dialect()) -> bytes:
    """One header and one line a row, no thousands mark, ISO dates; blank where nothing is known.

    Texts stand in quotes, figures do not: programs that ask can keep "00123" and "1E5" as the texts that they are.
    """
    head = dialect.delimiter.join(column.name for column in COLUMNS)
    lines = [
        head,
        *(dialect.delimiter.join(_field(row.get(column.name), dialect) for column in COLUMNS) for row in rows),
    ]
    return "".join(f"{line}{dialect.newline}" for line in lines).encode(dialect.encoding, "replace")


def _field(value: Any, dialect: Dialect) -> str:
    if value is None or value == "":
        return ""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float | int):
        return str(int(value)) if float(value).is_integer() else repr(float(value)).replace(".", dialect.decimal)
    doubled = safe_text(str(value)).replace('"', '""')
    return f'"{doubled}"'


def resource(csv_name: str, dialect: Dialect = Dialect()) -> dict[str, Any]:
    """Describes the CSV of this file name: delimiter, encoding, a Table Schema of the columns."""
    fields: list[dict[str, Any]] = [
        {"name": c.name, "title": c.title, "type": c.type, "description": c.description} for c in COLUMNS
    ]
    if dialect.decimal != ".":
        fields = [{**one, "decimalChar": dialect.decimal} if one["type"] == "number" else one for one in fields]
    return {
        "name": "".join(sign if sign.isalnum() or sign in "._-" else "-" for sign in csv_name.lower()),
        "path": csv_name,
        "type": "table",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8-sig" if dialect.bom and dialect.encoding == "utf-8" else dialect.encoding,
        "dialect": {
            "delimiter": dialect.delimiter,
            "quoteChar": '"',
            "doubleQuote": True,
            "lineTerminator": dialect.newline,
            "header": True,
        },
        "schema": {"fields": fields, "uniqueKeys": [UNIQUE], "missingValues": [""]},
    }


def data_package(csv_name: str, before: Mapping[str, Any] | None = None, dialect: Dialect = Dialect()) -> bytes:
    """The data package of a folder: `before` with this CSV's resource in it, others left as they are."""
    start = {"$schema": PROFILE, "name": "orders", "title": "Order lines of brake jobs", "resources": []}
    package = dict(before or start)
    others = [one for one in package.get("resources", []) if one.get("path") != csv_name]
    package["resources"] = [*others, resource(csv_name, dialect)]
    return (json.dumps(package, ensure_ascii=False, indent=2) + "\n").encode("utf-8")


def write_csv(rows: Sequence[Mapping[str, Any]], target: Path, job: Mapping[str, Any] | None = None) -> tuple[str, ...]:
    """The CSV and `datapackage.json` beside it, both or none. Lines of other jobs, axles and cars stay; returns whose.

    job: job_number, axle and vehicle_label, where there may be no row; None: those of the first row. Raises WorkbookError,
    also for a CSV that is no order.
    """
    described = target.with_name("datapackage.json")
    with only_writer(target, described):
        require_free(target)
        require_free(described)
        there, about = (read_ordinary(one, LARGEST, "a CSV") if one.exists() else None for one in (target, described))
        if there is not None and not is_ours(target, there):
            raise refuse(
                "file", target.name, "there is another CSV of this name, which is no order", "Give another name"
            )
        dialect = None if there is None else dialect_of(target.name, there)
        package = data_package(target.name, _package_there(described, about), dialect or Dialect())
        others = others_in(target, dialect, job or (rows[0] if rows else {}), [column.name for column in COLUMNS])
        made = dialect or Dialect()
        end = made.newline.encode()
        head, ours = as_csv(rows, made).split(end, 1)
        mark = b"\xef\xbb\xbf" if made.bom else b""
        write_files(Draft(described, [package], about), Draft(target, [mark, head, end, others.raw, ours], there))
    return others.names


def is_ours(target: Path, data: bytes) -> bool:
    """Whether it is an order that was written before; a CSV of the shop's own is added to, in its own columns."""
    dialect = dialect_of(target.name, data)
    names = next(csv.reader(io.StringIO(dialect.text.partition("\n")[0]), delimiter=dialect.delimiter), [])
    return {"line_key", "part_number"} <= set(names)


def _package_there(described: Path, data: bytes | None) -> dict[str, Any] | None:
    if data is None:
        return None
    try:
        read = json.loads(data)
        sound = isinstance(read, dict) and all(isinstance(one, dict) for one in read.get("resources", []))
    except (ValueError, RecursionError):
        sound = False
    if not sound:
        raise refuse(
            "file", described.name, "there is a file of this name that describes no tables", "Use another folder"
        )
    return dict(read)
