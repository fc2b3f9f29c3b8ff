"""Demo workbooks with some cells typed otherwise, and with figures typed into the Parts list."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from bomcheck.assess import assess
from bomcheck.demos import demo
from bomcheck.io.read.job import read_job
from bomcheck.io.sheets.build import write_result
from bomcheck.model.report import Report

TODAY = date(2026, 11, 25)


def hill_climb(folder: Path, changes: Mapping[str, str] | None = None) -> Path:
    """The hill-climb job in a folder. changes: pieces of its texts to be replaced."""
    made = demo("hill_climb_two_seater")
    sheets = dict(made.sheets)
    for old, new in (changes or {}).items():
        sheets = {name: text.replace(old, new) for name, text in sheets.items()}
    return replace(made, sheets=sheets).write(folder)


@cache
def _quoted() -> bytes:
    with TemporaryDirectory() as folder:
        path = hill_climb(Path(folder))
        checked(path)
        return path.read_bytes()


def quoted_hill_climb(folder: Path) -> Path:
    """The hill-climb job in a folder after a check; that is done once in a process."""
    path = folder / "hill_climb_two_seater.xlsx"
    path.write_bytes(_quoted())
    return path


def checked(path: Path, kept: Mapping[str, Mapping[str, Any]] | None = None) -> Report:
    """Checks a job in place; kept: what the shop types into the Parts list and the Quote, by line."""
    job, package = read_job(path)
    report = assess(replace(job, own=kept or {}), TODAY)
    write_result(report, package, path, False, TODAY)
    return report
