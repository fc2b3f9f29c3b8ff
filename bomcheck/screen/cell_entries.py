"""What stands in one cell of a sheet, from the bytes between its tags."""

import re
from math import isfinite

from bomcheck.io.cells import Cell, shortest, unescape
from bomcheck.io.package import Package
from bomcheck.screen.entries import Entry

MARK = re.compile(r"&(?:(lt|gt|quot|apos|amp)|#([0-9]{1,7})|#x([0-9A-Fa-f]{1,6}));")
NAMED = {"lt": "<", "gt": ">", "quot": '"', "apos": "'", "amp": "&"}
NO_TEXT = re.compile(r"[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")
EXACT = 15  # digits of a figure that is the same however it is rounded
Bytes = bytes | None


class CellEntries:
    """Contents of cells as entries. Raises LookupError or ValueError for whatever a sound workbook does not hold.

    figures: those that were read, by their bytes. dated: styles that show a date.
    """

    def __init__(self, package: Package) -> None:
        self.package = package
        self.dated = {style.encode() for style in package.dated.styles}
        self.figures: dict[bytes, float] = {}
        self.texts: dict[bytes, str] = {}

    def figure(self, value: bytes) -> float:
        """A figure to the 15 digits that spreadsheet programs show."""
        if value not in self.figures:
            figure = float(value)
            if not isfinite(figure):
                raise ValueError
            self.figures[value] = figure if len(value) <= EXACT else float(shortest(figure))
        return self.figures[value]

    def entry(self, kind: Bytes, style: Bytes, value: Bytes, inline: Bytes, formula: Bytes) -> Entry:
        """Any cell, "" for a blank. kind, style: its attributes. value, inline, formula: between its tags, None for none."""
        if kind == b"inlineStr":
            return "" if inline is None else self._text(inline)
        if inline is not None:
            raise ValueError
        if kind == b"str":
            return self._text(value or b"")
        if value is None or not value.strip():
            return "" if formula is None else Cell("", 0, 0, "formula without value", None, "")
        if kind == b"s":
            return self._shared(value)
        return self._figure_or_date(value, style) if kind in (None, b"n") else self._said(kind, self._text(value))

    def _shared(self, value: bytes) -> str:
        if not value.isdigit():
            raise ValueError
        return self.package.strings[int(value)]

    def _figure_or_date(self, value: bytes, style: Bytes) -> Entry:
        figure = self.figure(value)
        iso = self.package.dated.iso(style.decode(), float(value)) if style in self.dated and style else ""
        return Cell("", 0, 0, "date", iso, iso) if iso else figure

    def _said(self, kind: Bytes, text: str) -> Cell:
        if kind == b"b":
            is_true = text.strip() in ("1", "true")
            return Cell("", 0, 0, "bool", is_true, "TRUE" if is_true else "FALSE")
        return Cell("", 0, 0, {b"e": "error", b"d": "date"}[kind or b""], text, text)

    def _text(self, data: bytes) -> str:
        """A text as it stands between its tags."""
        if data not in self.texts:
            text = data.decode()
            if text.count("&") != len(MARK.findall(text)):
                raise ValueError
            text = MARK.sub(_unmarked, text)
            if NO_TEXT.search(text):
                raise ValueError
            self.texts[data] = unescape(text)
        return self.texts[data]


def _unmarked(found: re.Match[str]) -> str:
    return NAMED[found[1]] if found[1] else chr(int(found[2]) if found[2] else int(found[3], 16))
