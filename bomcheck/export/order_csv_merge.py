"""Order lines of other jobs and axles that stand in a CSV already: they stay, letter for letter."""

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bomcheck.errors import WorkbookError
from bomcheck.export.order_owner import named, owner_of
from bomcheck.workbook import files
from bomcheck.workbook.refusal import refuse


@dataclass(frozen=True)
class Others:
    """raw: their lines as they stand, each with its end. names: whose they are, in words."""

    raw: bytes = b""
    names: tuple[str, ...] = ()


def others_in(target: Path, ours: Mapping[str, Any], columns: Sequence[str]) -> Others:
    """The lines of others than this job, axle and car. Raises WorkbookError for a CSV that is not as it was written."""
    if not target.exists():
        return Others()
    mine, raw, names = owner_of(ours), [], []
    for text, row in _records(target, columns):
        if owner_of(row) != mine:
            raw.append(text)
            names.append(named(row) or "a job without a number")
        elif not mine.job and not mine.vehicle:
            wrong = "it holds the order of a job without a number, which may be another one"
            raise refuse("file", target.name, wrong, "Type a job number on the Job sheet, or give another name")
    return Others("".join(raw).encode(), tuple(dict.fromkeys(names)))


def _records(target: Path, columns: Sequence[str]) -> Iterator[tuple[str, dict[str, str]]]:
    """(the record as it stands, ended by CRLF, its fields)."""
    try:
        lines = files.read(target).decode("utf-8-sig").splitlines(keepends=True)
        lines = _joined(lines)
        reader, at = csv.reader(lines, strict=True), 0
        for number, fields in enumerate(reader):
            text, at = "".join(lines[at : reader.line_num]), reader.line_num
            if not fields:
                continue
            if len(fields) != len(columns) or (number == 0 and fields != list(columns)):
                raise _altered(target)
            if number:
                yield text.rstrip("\r\n") + "\r\n", dict(zip(columns, _unquoted(fields), strict=True))
    except (UnicodeDecodeError, csv.Error):
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


def _unquoted(fields: Sequence[str]) -> list[str]:
    """Without the apostrophe that keeps a text from being a formula."""
    return [text[1:] if text[:1] == "'" and text[1:2] in ("=", "+", "-", "@") else text for text in fields]


def _altered(target: Path) -> WorkbookError:
    wrong = "there is an order in it whose columns are not those of today's, so its lines could be lost"
    return refuse("file", target.name, wrong, "Give another name")
