"""LibreOffice as an outside judge: it works out every formula, and every row's height, anew."""

import re
import subprocess
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from openpyxl import Workbook, load_workbook

from tests.helpers.office import need_office, office


def converted(source: Path, kind: str) -> Path:
    """The file in another format, in a folder beside it."""
    need_office()
    folder = source.parent
    command = [*office(), "--convert-to", kind, "--outdir", str(folder / kind), str(source)]
    subprocess.run(command, check=True, capture_output=True, timeout=180)
    return folder / kind / f"{source.stem}.{kind}"


def recalculated(data: bytes, folder: Path) -> Workbook:
    """The workbook with what LibreOffice makes of its formulas; their stored values are taken out before."""
    (folder / "bare.xlsx").write_bytes(without(rb"(?<=</f>)<v>[^<]*</v>", data))
    return load_workbook(converted(folder / "bare.xlsx", "xlsx"), data_only=True)


def own_heights(data: bytes, folder: Path) -> Workbook:
    """The workbook with the row heights that LibreOffice chooses by itself; it does so when it opens an .ods."""
    (folder / "bare.xlsx").write_bytes(without(rb' ht="[^"]*" customHeight="1"', data))
    return load_workbook(converted(converted(folder / "bare.xlsx", "ods"), "xlsx"))


def without(pattern: bytes, data: bytes) -> bytes:
    """The workbook with everything that matches taken out of its sheets."""
    out = BytesIO()
    with ZipFile(BytesIO(data)) as old, ZipFile(out, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            new.writestr(name, re.sub(pattern, b"", content) if name.startswith("xl/worksheets/sheet") else content)
    return out.getvalue()
