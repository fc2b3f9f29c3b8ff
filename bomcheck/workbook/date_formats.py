"""Which number formats show a date, and the date that a number then stands for.

Built-in formats after ISO/IEC 29500-1 18.8.30 (numFmt); day numbers after 18.17.4 (dates).
"""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from bomcheck.workbook.xml_tree import Node

BUILT_IN_DATES = frozenset((*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)))
_NO_LETTERS = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.IGNORECASE)
_LAST_DAY = 2_958_465


@dataclass(frozen=True, slots=True)
class Dated:
    """styles: indexes, as text, of the cell styles that show a date. since_1904: the old Macintosh day count."""

    styles: frozenset[str]
    since_1904: bool

    def iso(self, style: str, number: float) -> str:
        """ISO text of a cell's date, its time if it has one: "2026-10-01", "2026-10-01T08:30:00", "08:30:00"; or ""."""
        if style not in self.styles or not 0 <= number <= _LAST_DAY:
            return ""
        days, seconds = divmod(round(number * 86_400), 86_400)
        clock = f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
        if days == 0 and not self.since_1904:
            return clock
        day = self._day(days).date().isoformat()
        return f"{day}T{clock}" if seconds else day

    def _day(self, days: int) -> datetime:
        """Day 60 of the 1900 count is a 29 February that never was."""
        if self.since_1904:
            return datetime(1904, 1, 1) + timedelta(min(days, _LAST_DAY - 1462))
        return datetime(1899, 12, 31 if days < 60 else 30) + timedelta(days)


def shows_date(code: str) -> bool:
    """True for a format such as "dd/mm/yyyy" or "[h]:mm"; false for "0.00", "General" or '0 "days"'."""
    first = _NO_LETTERS.sub("", code).split(";")[0].lower()
    return "general" not in first and any(letter in first for letter in "dmyhs")


def dated_styles(styles: Node | None, since_1904: bool) -> Dated:
    """Read a styles part (None: the workbook has none)."""
    if styles is None:
        return Dated(frozenset(), since_1904)
    custom = {
        node.attributes.get("numFmtId", ""): node.attributes.get("formatCode", "") for node in _in(styles, "numFmts")
    }
    formats = [node.attributes.get("numFmtId", "0") for node in _in(styles, "cellXfs")]
    return Dated(frozenset(str(i) for i, one in enumerate(formats) if _is_date(one, custom)), since_1904)


def _in(styles: Node, group: str) -> list[Node]:
    found = styles.child(group)
    return found.children if found else []


def _is_date(number: str, custom: dict[str, str]) -> bool:
    if number in custom:
        return shows_date(custom[number])
    return number.isdecimal() and int(number) in BUILT_IN_DATES
