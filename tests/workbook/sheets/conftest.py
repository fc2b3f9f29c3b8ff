"""The sheets of each sample report, built once, as other readers see them."""

from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property
from io import BytesIO

import pytest
from openpyxl import Workbook, load_workbook

from bomcheck.io.sheets.build import build_sheets
from bomcheck.model.report import Report
from tests.workbook.sheets.sample_reports import SAMPLES
from tests.workbook.sheets.source_book import in_source


@dataclass(frozen=True)
class Built:
    """A report and the workbook of its sheets."""

    name: str
    report: Report
    data: bytes
    kinds: dict[str, str]

    @cached_property
    def formulas(self) -> Workbook:
        """With formulas as text."""
        return load_workbook(BytesIO(self.data), rich_text=False)

    @cached_property
    def values(self) -> Workbook:
        """With the stored values of the formulas."""
        return load_workbook(BytesIO(self.data), data_only=True)

    @cached_property
    def in_source(self) -> bytes:
        """Our sheets in the workbook that the report was read from, so that formulas find the typed cells."""
        return in_source(self.report, self.data, self.kinds)

    @property
    def system(self) -> str:
        return str(self.report.job.get("units"))


@cache
def build(name: str) -> Built:
    """The sheets of a sample."""
    report = SAMPLES[name]()
    system = str(report.job.get("units"))
    return Built(name, report, *build_sheets(report, system=system, version="0.1", now=date(2026, 1, 9)))


@pytest.fixture(params=SAMPLES)
def built(request: pytest.FixtureRequest) -> Built:
    return build(str(request.param))
