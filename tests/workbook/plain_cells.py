"""The cells of a workbook straight from its XML, as far as a comparison needs them; no library of the project's is used."""

import posixpath
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path
from zipfile import ZipFile

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
REL = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
KINDS = {"s": "text", "str": "text", "inlineStr": "text", "n": "number", "b": "truth", "e": "error", "d": "date"}
"""Types of a cell: ISO/IEC 29500-1, 18.18.11."""


@dataclass(frozen=True)
class Plain:
    """One cell that holds something. kind: of KINDS. formula: as written, None where there is none."""

    kind: str
    value: float | str
    formula: str | None


Sheet = dict[tuple[int, str], Plain]
"""By row number and column letters."""


def plain_cells(path: Path) -> dict[str, Sheet]:
    """The cells of every sheet that hold a value or a formula, by the sheet's name in the workbook's order."""
    with ZipFile(path) as package:
        shared = _shared(package)
        return {name: _sheet(package.read(part), shared) for name, part in _parts(package)}


def _parts(package: ZipFile) -> list[tuple[str, str]]:
    """(name, part) of every sheet."""
    rels = ET.fromstring(package.read("xl/_rels/workbook.xml.rels"))
    targets = {one.get("Id"): posixpath.normpath(posixpath.join("/xl", str(one.get("Target"))))[1:] for one in rels}
    book = ET.fromstring(package.read("xl/workbook.xml"))
    return [(str(one.get("name")), targets[one.get(REL)]) for one in book.iter(f"{MAIN}sheet")]


def _shared(package: ZipFile) -> list[str]:
    if "xl/sharedStrings.xml" not in package.namelist():
        return []
    return [_text(one) for one in ET.fromstring(package.read("xl/sharedStrings.xml"))]


def _text(item: ET.Element) -> str:
    """A plain or a rich text; its characters that XML cannot hold are written as _x000D_ (ISO/IEC 29500-1, 22.9.2.19)."""
    words = "".join(one.text or "" for one in item.iter(f"{MAIN}t"))
    return re.sub("_x([0-9A-F]{4})_", lambda found: chr(int(found[1], 16)), words)


def _sheet(part: bytes, shared: list[str]) -> Sheet:
    found = {}
    for cell in ET.fromstring(part).iter(f"{MAIN}c"):
        plain = _plain(cell, shared)
        place = re.fullmatch(r"([A-Z]+)(\d+)", str(cell.get("r")))
        assert place is not None
        if plain is not None:
            found[int(place[2]), place[1]] = plain
    return found


def _plain(cell: ET.Element, shared: list[str]) -> Plain | None:
    kind, formula, inline = KINDS[cell.get("t", "n")], cell.find(f"{MAIN}f"), cell.find(f"{MAIN}is")
    stored = cell.findtext(f"{MAIN}v") or ""
    if inline is not None:
        stored = _text(inline)
    elif cell.get("t") == "s":
        stored = shared[int(stored)]
    if formula is None and not stored:
        return None
    value = float(stored) if kind in ("number", "truth") and stored else stored
    return Plain(kind if stored else "text", value, None if formula is None else formula.text or "")
