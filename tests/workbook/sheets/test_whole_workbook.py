"""Our sheets as a whole: valid for an outside judge, set up for print, and at home in the user's workbook."""

from io import BytesIO
from pathlib import Path
from shutil import copy

import pytest
from openpyxl import load_workbook
from openxml_audit import OpenXmlValidator

from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package, open_package
from bomcheck.io.read.own import read_kept
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.splice import write_back
from bomcheck.model.shipped import folder
from tests.workbook.sheets.conftest import Built, build

KINDS = {
    "Compatibility": "compatibility",
    "Parts list": "parts",
    "Quote": "quote",
    "Tick list": "tick list",
    "Brake line": "line",
    "Shims": "shims",
    "Measure next": "measure",
    "Drawing": "drawing",
    "Fit-up and test": "fit-up",
    "Whole car": "system",
    "What if": "what if",
    "Proof": "proof",
    "Sizes": "sizes",
}


def errors_of(path: Path) -> list[str]:
    """What the validator of ISO/IEC 29500 finds."""
    return [f"{error.part_uri}: {error.description}" for error in OpenXmlValidator().validate(str(path)).errors]


def test_every_sheet_is_written_and_known_again(built: Built) -> None:
    """What is written has a kind, without which it never reaches the workbook; what has a kind is written."""
    written, known = set(built.formulas.sheetnames), set(built.kinds)
    assert not written - known, f"name the module in MODULES of bomcheck/io/sheets/build.py: {sorted(written - known)}"
    assert not known - written, f"write it in _write_pages of bomcheck/io/sheets/build.py: {sorted(known - written)}"
    assert known == set(KINDS), (
        f"add to KINDS here, or strike out, in the order of the tabs: {sorted(known ^ set(KINDS))}"
    )


def test_valid(built: Built, tmp_path: Path) -> None:
    """openxml-audit, an ISO/IEC 29500 validator, finds no error."""
    (tmp_path / "ours.xlsx").write_bytes(built.data)
    assert errors_of(tmp_path / "ours.xlsx") == []
    assert built.kinds == KINDS


def test_print_setup(built: Built) -> None:
    """Each sheet prints one page wide with its title repeated, numbered pages and the caution, and keeps its top in view."""
    for sheet in (one for one in built.formulas if one.sheet_state == "visible"):
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth or 1) == 1
        assert sheet.page_setup.fitToHeight in ((0, None, 1) if sheet.title == "Quote" else (0,))
        assert str(sheet.print_title_rows).startswith("$1:") or sheet.title == "Compatibility"
        assert "page &P of &N" in str(sheet.oddFooter.right.text)
        assert "certifies nothing" in str(sheet.oddFooter.left.text)
        assert sheet.freeze_panes == "A2" if sheet.title == "Compatibility" else sheet.freeze_panes[0] == "B"
        assert sheet.print_area


@pytest.mark.parametrize("name", ["Parts list", "Proof"])
def test_filters(built: Built, name: str) -> None:
    """The tables can be filtered from their headings on."""
    assert built.formulas[name].auto_filter.ref.startswith("A2:")


def test_the_list_of_checks_is_filtered_and_titled_from_its_headings(built: Built) -> None:
    """They stand below the first page, and are repeated on the pages after it, with job number and car above them."""
    sheet = built.formulas["Compatibility"]
    row = next(cell.row for cell in sheet["A"] if cell.value == "Check")
    assert sheet.auto_filter.ref.startswith(f"A{row}:")
    first, last = str(sheet.print_title_rows).replace("$", "").split(":")
    assert int(last) == row
    job = built.report.job
    number = f"Job {job.get('job_number')}" if job.get("job_number") else ""
    whose = ", ".join(filter(None, (number, str(job.get("vehicle_label") or ""))))
    assert len(whose) > 3
    assert str(sheet[f"A{first}"].value).startswith(whose)
    for one in (it for it in built.formulas if it.sheet_state == "visible" and it.title != "Compatibility"):
        assert any(str(cell.value).startswith(whose) for line in one["1:2"] for cell in line), one.title


def test_same_report_same_bytes() -> None:
    """The sheets depend on nothing but the report and what is given besides: no clock, no order of a set."""
    report = build("fitting").report
    sheets = [Package(Path("ours.xlsx"), build_sheets(report)[0]) for _ in range(2)]
    for name in sheets[0].archive.members:
        if not name.startswith("docProps"):
            assert sheets[0].archive.read(name) == sheets[1].archive.read(name)


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_in_the_user_s_workbook(system: str, tmp_path: Path) -> None:
    """Written into a job workbook, twice: valid, all six sheets are there once, and the typed cells are kept."""
    path = tmp_path / "job.xlsx"
    copy(folder("templates_xlsx") / f"job_{system}.xlsx", path)
    report, line = build("failing").report, build("failing").report.parts[0]
    kept = {line.key: {"on_hand": 1.0, "own_note": "top shelf"}}
    for _ in range(2):
        data, kinds = build_sheets(report, kept=kept, system=system)
        write_back(open_package(path), data, kinds, path)
        package = open_package(path)
        assert sorted(marked_sheets(package)) == sorted(KINDS.values())
        kept = read_kept(package.cells("Parts list"))
        assert kept == {line.key: {"on_hand": 1.0, "own_note": "top shelf"}}
    assert errors_of(path) == []
    assert [name for name in load_workbook(BytesIO(path.read_bytes())).sheetnames if name in KINDS] == list(KINDS)
