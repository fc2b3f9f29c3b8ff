"""Which rows of the Quote have no price, live: a formula that names them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from bomcheck.workbook.sheets.page import address
from bomcheck.workbook.sheets.quote_columns import TOTAL, Value
from bomcheck.workbook.sheets.quote_figures import Figure

LONGEST = 7500  # characters of names; a formula holds 8192 at most
OTHERS = "and more"


@dataclass(frozen=True, slots=True)
class Row:
    """A row that is summed. row: 0-based. value: its total, "" for none. name: what it is called where it has none, ""
    where it always has a total. by: the name as a formula says it; what a user typed is referred to, never written into it.
    """

    row: int
    value: Value
    name: str = ""
    by: str = ""


def missing(rows: Sequence[Row], unless: Figure | None = None, whole: str = "") -> tuple[str, str]:
    """A formula, without "=", and its value: ", the kit, Banjo screw", "" where every row has a total.

    unless: a figure without which no row counts; `whole` is then named in their place.
    """
    named = [row for row in rows if row.name]
    pieces = [f'IF(ISNUMBER({address(one.row, TOTAL)}),"",", "&{one.by})' for one in named]
    count = sum(length <= LONGEST for length in accumulate(len(one) + 1 for one in pieces))
    pieces, first, rest = pieces[:count], named[:count], named[count:]
    words = [f", {escaped(one.name)}" for one in first if one.value == ""]
    if rest:
        area = f"{address(rest[0].row, TOTAL)}:{address(rest[-1].row, TOTAL)}"
        pieces.append(f'IF(COUNT({area})={rest[-1].row - rest[0].row + 1},"",", {OTHERS}")')
        words += [f", {OTHERS}"] if any(one.value == "" for one in rest) else []
    formula = "&".join(pieces) or '""'
    if unless is None:
        return formula, "".join(words)
    lacking = f", {whole}" if unless.value == "" else "".join(words)
    return f"IF(ISNUMBER({unless.at}),{formula},{quoted(f', {whole}')})", lacking


def quoted(words: str) -> str:
    """As a text inside a formula, in one line and without the control characters that no formula may hold.

    >>> quoted('8 "fine" screws')
    '"8 ""fine"" screws"'
    """
    printable = "".join(one if one.isprintable() else " " for one in words).rstrip()
    return f'"{printable.replace(chr(34), chr(34) * 2)}"'


def escaped(words: str) -> str:
    """A formula's value as it stands in the file (ISO/IEC 29500-1, 22.9.2.19, ST_Xstring); XlsxWriter does so for texts
    alone.

    >>> escaped("bell \\x07, _x0007_")
    'bell _x0007_, _x005F_x0007_'
    """
    kept = re.sub(r"(?=_x[0-9a-fA-F]{4}_)", "_x005F", words)
    return re.sub(r"[\x00-\x08\x0b-\x1f]", lambda one: f"_x{ord(one[0]):04X}_", kept)
