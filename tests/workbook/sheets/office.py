"""LibreOffice as an outside judge: it works out every formula, and every row's height, anew."""

import re
import subprocess
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from openpyxl import Workbook, load_workbook

from tests.helpers.office import need_office, office

NOTES = rb'<Relationship [^>]*/(?:comments|vmlDrawing)"[^>]*/>'
"""What ties a sheet to its notes (ISO/IEC 29500-1, 12.3.3): opening and saving them takes a third of the time."""


def converted(source: Path, kind: str, *more: Path) -> Path:
    """The file in another format, in a folder beside it; those that lie beside it too, in one start."""
    need_office()
    folder = source.parent
    command = [*office(), "--convert-to", kind, "--outdir", str(folder / kind), str(source), *map(str, more)]
    subprocess.run(command, check=True, capture_output=True, timeout=180)
    return folder / kind / f"{source.stem}.{kind}"


def recalculated(data: bytes, folder: Path, stored: bytes = rb"(?<=</f>)<v>[^<]*</v>|") -> Workbook:
    """The workbook with what LibreOffice makes of its formulas; their stored values are taken out before, and the notes."""
    return recalculated_all([data], folder, stored)[0]


def recalculated_all(
    books: Sequence[bytes], folder: Path, stored: bytes = rb"(?<=</f>)<v>[^<]*</v>|"
) -> list[Workbook]:
    """The same of several workbooks, in one start."""
    paths = [folder / f"bare{number}.xlsx" for number in range(len(books))]
    for path, data in zip(paths, books, strict=True):
        path.write_bytes(without(stored + rb"<legacyDrawing [^>]*/>", data, NOTES))
    made = converted(paths[0], "xlsx", *paths[1:]).parent
    return [load_workbook(made / path.name, data_only=True) for path in paths]


def own_heights(data: bytes, folder: Path) -> Workbook:
    """The workbook with the row heights that LibreOffice chooses by itself; it does so when it opens an .ods."""
    (folder / "bare.xlsx").write_bytes(without(rb' ht="[^"]*" customHeight="1"', data))
    return load_workbook(converted(converted(folder / "bare.xlsx", "ods"), "xlsx"))


def without(pattern: bytes, data: bytes, links: bytes = b"(?!)") -> bytes:
    """The workbook with everything that matches taken out of its sheets, and with `links` out of what belongs to them."""
    out = BytesIO()
    with ZipFile(BytesIO(data)) as old, ZipFile(out, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            found = re.match("xl/worksheets/(_rels/)?", name)
            new.writestr(name, re.sub(links if found[1] else pattern, b"", content) if found else content)
    return out.getvalue()
