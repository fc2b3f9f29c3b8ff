"""Looks of our sheets after another program saved the workbook, and after it was checked again.

Outside judges: LibreOffice Calc and openpyxl save; openpyxl reads. What openpyxl drops by its own account (vector shapes) must
be back after the next check.
"""

from functools import cache
from pathlib import Path
from shutil import copy
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.commands.check import check_workbook
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import open_package
from tests.workbook.every_workbook import DEMOS, TODAY, file_name

LOST: dict[str, set[str]] = {"LibreOffice": {"freeze panes"}, "openpyxl": set()}
"""Without a window LibreOffice saves no panes, the user's own neither; the next check freezes ours again."""
Looks = dict[str, object]


def looks_of(sheet: Worksheet) -> Looks:
    """What a reader has of a sheet besides its cells."""
    pane = sheet.sheet_view.pane
    links = {one.ref.split(":")[0]: str(one.location).replace("$", "").replace("'", "") for one in sheet._hyperlinks}
    checked = sorted(
        (str(one.sqref), one.type, one.formula1, one.formula2) for one in sheet.data_validations.dataValidation
    )
    return {
        "freeze panes": pane and (pane.xSplit or 0, pane.ySplit or 0, pane.state),
        "filter": sheet.auto_filter.ref,
        "print titles": sheet.print_title_rows,
        "print area": str(sheet.print_area).replace("$", ""),
        "breaks": [one.id for one in sheet.row_breaks.brk],
        "links": links,
        "validations": checked,
        "one page wide": (sheet.sheet_properties.pageSetUpPr.fitToPage, sheet.page_setup.fitToWidth or 1),
        "paper": (sheet.page_setup.orientation, sheet.page_setup.paperSize),
        "coloured by": sorted(str(one.sqref) for one in sheet.conditional_formatting),
        "hidden": sheet.sheet_state,
    }


def all_looks(path: Path) -> dict[str, Looks]:
    """Of all sheets of ours, by name."""
    book, ours = load_workbook(path), marked_sheets(open_package(path)).values()
    return {name: looks_of(book[name]) for name in book.sheetnames if name in ours}


@cache
def first_looks(path: Path) -> dict[str, Looks]:
    """The same of a workbook that nobody changes."""
    return all_looks(path)


def drawn(path: Path) -> dict[str, tuple[int, int]]:
    """Of each drawing of ours how many outlines and words stand in it, and how many charts."""
    with ZipFile(path) as package:
        parts = {
            name: package.read(name)
            for name in package.namelist()
            if "bomcheck_drawing" in name and name.endswith("xml")
        }
    return {
        name: (part.count(b"<a:custGeom>") + part.count(b"<a:t>"), part.count(b"<c:chart "))
        for name, part in parts.items()
    }


def by_openpyxl(path: Path) -> None:
    load_workbook(path).save(path)


@pytest.mark.parametrize("program", ["LibreOffice", "openpyxl"])
@pytest.mark.parametrize("demo", DEMOS, ids=[demo.stem for demo in DEMOS])
def test_looks_survive_and_are_right_after_a_check(
    demo: Path, program: str, as_written: Path, worked_out: Path, tmp_path: Path
) -> None:
    """Panes, filters, titles, links and validations are still there in what the other program saved; after one more check all
    is as the first check wrote it, the drawings with every outline."""
    name = file_name(f"result of {demo.stem}")
    wanted, path = first_looks(as_written / name), tmp_path / demo.name
    copy(worked_out / name if program == "LibreOffice" else as_written / name, path)
    if program == "openpyxl":
        by_openpyxl(path)
    kept = {"freeze panes", "filter", "print titles", "links", "validations", "hidden"} - LOST[program]
    saved = load_workbook(path)
    lost = {
        (sheet, key) for sheet, looks in wanted.items() for key in kept if looks_of(saved[sheet])[key] != looks[key]
    }
    assert lost == set()
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    found = all_looks(path)
    assert list(found) == list(wanted)
    assert {
        (sheet, key) for sheet in wanted for key in wanted[sheet] if found[sheet][key] != wanted[sheet][key]
    } == set()
    assert sorted(drawn(path).values()) == sorted(drawn(as_written / name).values())
    assert sum(shapes for shapes, _ in drawn(path).values()) > 100
