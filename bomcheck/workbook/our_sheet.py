"""A sheet that was made in a workbook of its own, fitted to the user's: texts inline, styles and tab names renumbered.

The input comes from XlsxWriter, whose output is plain: no comments, no CDATA, attributes in double quotes.
"""

import re
from collections.abc import Mapping, Sequence
from html import escape, unescape

from bomcheck.workbook.sheet_names import rename_in_formula

_CELL = re.compile(rb"<c ([^<>]*?)(/?)>(?:<v>(\d+)</v></c>)?")
_STYLE = re.compile(rb' s="(\d+)"')
_ROW = re.compile(rb'(<row [^<>]*? s=")(\d+)"')
_COLUMN = re.compile(rb'(<col [^<>]*? style=")(\d+)"')
_CONDITION = re.compile(rb'(<[^<>]* dxfId=")(\d+)"')
_SELECTED = re.compile(rb' tabSelected="\d"')
_VIEW = re.compile(rb"<sheetView ")
_NEEDS_METADATA = re.compile(rb"<c [^<>]* [cv]m=")
_STRING = re.compile(rb"<si>(.*?)</si>", re.DOTALL)
_FORMULA = re.compile(rb"(<(?:\w+:)?(?:f|formula|formula1|formula2)(?: [^<>]*)?>)([^<>]+)(?=<)")
_LOCATION = re.compile(rb'( location=")([^"]*)(?=")')


def inner_strings(shared: bytes) -> list[bytes]:
    """What stands inside each shared text, ready to stand inline in a cell."""
    return _STRING.findall(shared)


def fit_sheet(
    sheet: bytes,
    strings: Sequence[bytes],
    cells: Sequence[int],
    conditions: Sequence[int],
    names: Mapping[str, str],
    *,
    selected: bool,
) -> bytes:
    """The sheet's part for the user's workbook.

    cells, conditions: the user's index for each of our cell formats and conditional formats. names: tabs that have
    another name there. selected: True if it is the tab on show.
    """
    if _NEEDS_METADATA.search(sheet):
        raise ValueError("sheets of ours may not hold dynamic arrays, checkboxes or pictures in cells")
    sheet = _CELL.sub(lambda found: _cell(found, strings, cells), sheet)
    for pattern, known in ((_ROW, cells), (_COLUMN, cells), (_CONDITION, conditions)):
        sheet = _renumber(sheet, pattern, known)
    sheet = _SELECTED.sub(b"", sheet)
    if selected:
        sheet = _VIEW.sub(b'<sheetView tabSelected="1" ', sheet, count=1)
    return rename_tabs(sheet, names)


def _renumber(sheet: bytes, pattern: re.Pattern[bytes], known: Sequence[int]) -> bytes:
    return pattern.sub(lambda found: found[1] + b'%d"' % known[int(found[2])], sheet)


def _cell(found: re.Match[bytes], strings: Sequence[bytes], cells: Sequence[int]) -> bytes:
    """One cell's tag, with its number if it has nothing else."""
    given, empty, number = b" " + found[1].rstrip(), found[2], found[3]
    style = _STYLE.search(given)
    index = b' s="%d"' % cells[int(style[1]) if style else 0]
    given = _STYLE.sub(index, given) if style else given + index
    if number is None:
        return b"<c" + given + empty + b">"
    if b' t="s"' not in given:
        return b"<c" + given + b"><v>" + number + b"</v></c>"
    inline = given.replace(b' t="s"', b' t="inlineStr"')
    return b"<c" + inline + b"><is>" + strings[int(number)] + b"</is></c>"


def rename_tabs(part: bytes, names: Mapping[str, str]) -> bytes:
    """A sheet, chart or drawing with its references to tabs renamed."""
    if not names:
        return part

    def renamed(found: re.Match[bytes]) -> bytes:
        text = rename_in_formula(unescape(found[2].decode()), names)
        return found[1] + escape(text, quote=found[1].endswith(b'"')).encode()

    return _LOCATION.sub(renamed, _FORMULA.sub(renamed, part))
