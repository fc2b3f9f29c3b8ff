"""A table in a text file: CSV with commas, semicolons or tabs."""

import csv
import io
from pathlib import Path

from bomcheck.screen.entries import Entries
from bomcheck.screen.faults import refuse
from bomcheck.screen.grids import BEGIN, WAYS, Grid, heading_texts, require_columns, too_long

QUOTE = '"'
LONGEST_CELL = 131_072  # characters, the csv module's own limit unless another library has changed it


def from_text(path: Path) -> Grid:
    """The table in a CSV file. Raises WorkbookError."""
    text = _decoded(path, path.read_bytes())
    dividing = _dividing_sign(text)
    lines = _plain_lines(text, dividing) or _quoted_lines(path.name, text, dividing)
    return _grid(path.name, lines)


def _decoded(path: Path, data: bytes) -> str:
    if data[:4] in (b"PK\x03\x04", b"PAR1"):
        wrong, instead = (
            "this is no text table, whatever its name says",
            "Give it the ending that it has: .xlsx or .parquet",
        )
        raise refuse("file", path.name, wrong, instead)
    if not data.strip():
        raise refuse("nothing filled in", path.name, "the file is empty", BEGIN)
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        text = data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        wrong = "the text is not in UTF-8"
        raise refuse("file", path.name, wrong, "Save it again as CSV UTF-8", f"row {line}") from None
    if "\0" in text:
        raise refuse("file", path.name, "this is no text table", WAYS)
    return text


def _dividing_sign(text: str) -> str:
    head = text[: text.find("\n") + 1] or text
    return max(",;\t", key=head.count)


def _plain_lines(text: str, dividing: str) -> list[list[str]]:
    """The lines of a text without a quote, which needs no CSV reader; empty where that would not do."""
    if QUOTE in text:
        return []
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if not lines[-1]:
        lines.pop()
    if max(map(len, lines), default=0) > LONGEST_CELL:
        return []
    return [line.split(dividing) if line else [] for line in lines]


def _quoted_lines(file: str, text: str, dividing: str) -> list[list[str]]:
    before = csv.field_size_limit(LONGEST_CELL)
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=dividing, strict=True))
    except csv.Error as error:
        raise refuse("damaged", file, f"this is no sound CSV table: {error}", WAYS) from None
    finally:
        csv.field_size_limit(before)


def _grid(file: str, lines: list[list[str]]) -> Grid:
    if not lines:
        raise refuse("nothing filled in", file, "the file is empty", BEGIN)
    width = len(lines[0])
    numbers = [number for number, line in enumerate(lines, 1) if number > 1 and _filled(line)]
    require_columns(file, width, len(numbers))
    full = []
    for number in numbers:
        line = lines[number - 1]
        if len(line) > width and _filled(line[width:]):
            raise too_long(file, width, number)
        full.append(line if len(line) == width else [*line, *[""] * (width - len(line))][:width])
    columns: list[Entries] = [list(column) for column in zip(*full, strict=True)] or [[] for _ in range(width)]
    return Grid(file, heading_texts(lines[0]), columns, numbers)


def _filled(line: list[str]) -> bool:
    return any(map(str.strip, line))
