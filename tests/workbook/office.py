"""LibreOffice as a judge: it opens what we write, and reads the user's sheets as before."""

import subprocess
from pathlib import Path

from tests.helpers.office import need_office, office

EVERY_SHEET = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1"
XLSX = "xlsx:Calc MS Excel 2007 XML"


def convert(source: Path, to: str, folder: Path, opened_as: str = "") -> Path:
    """Convert a workbook with LibreOffice into `folder`, with a profile of its own; skips where it is not installed.

    opened_as: the filter that reads it, "" for the usual one.
    """
    need_office()
    folder.mkdir(parents=True, exist_ok=True)
    reading = [f"--infilter={opened_as}"] if opened_as else []
    command = [*office(), *reading, "--convert-to", to, "--outdir", str(folder), str(source)]
    done = subprocess.run(command, capture_output=True, timeout=120, check=False)
    assert list(folder.iterdir()), done.stderr.decode()
    return folder


def sheets_as_csv(source: Path, folder: Path) -> dict[str, bytes]:
    """Every sheet of a workbook as LibreOffice shows it, as CSV by the sheet's name."""
    prefix = f"{source.stem}-"
    return {
        path.stem.removeprefix(prefix): path.read_bytes() for path in convert(source, EVERY_SHEET, folder).iterdir()
    }


def saved_by_libreoffice(source: Path, folder: Path) -> Path:
    """The same workbook, opened and saved by LibreOffice as .xlsx."""
    return convert(source, XLSX, folder) / f"{source.stem}.xlsx"
