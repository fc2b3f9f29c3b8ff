"""LibreOffice as an outside judge: it works out every formula anew."""

import os
import re
import shutil
import subprocess
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from openpyxl import Workbook, load_workbook


def recalculated(data: bytes, folder: Path) -> Workbook:
    """The workbook with what LibreOffice makes of its formulas; their stored values are taken out before."""
    if shutil.which("soffice") is None:
        if os.environ.get("CI"):
            pytest.fail("LibreOffice is not installed, and in CI it must be")
        pytest.skip("LibreOffice is not installed")
    source, into = folder / "bare.xlsx", folder / "out"
    source.write_bytes(without_values(data))
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = ["soffice", profile, "--headless", "--convert-to", "xlsx", "--outdir", str(into), str(source)]
    subprocess.run(command, check=True, capture_output=True, timeout=180)
    return load_workbook(into / "bare.xlsx", data_only=True)


def without_values(data: bytes) -> bytes:
    """The workbook without any stored value of a formula."""
    out = BytesIO()
    with ZipFile(BytesIO(data)) as old, ZipFile(out, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name.startswith("xl/worksheets/sheet"):
                content = re.sub(rb"(</f>)<v>[^<]*</v>", rb"\1", content)
            new.writestr(name, content)
    return out.getvalue()
