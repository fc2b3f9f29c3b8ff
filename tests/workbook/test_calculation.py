"""After a run the workbook asks for every formula to be worked out anew, and nothing else of its own part changes."""

import io
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest
import xlsxwriter
from openxml_audit import OpenXmlValidator, ValidationSeverity

from bomcheck.io.mark import calculation_edits, is_from_libreoffice
from bomcheck.io.package import Package, open_package
from bomcheck.io.splice import write_back
from bomcheck.io.xml import apply, tree
from tests.workbook.office import saved_by_libreoffice
from tests.workbook.our_sheets import KINDS, our_sheets
from tests.workbook.packages import MAIN, minimal, workbook, zipped

SHEETS = '<sheets><sheet name="Corner" sheetId="1" r:id="rId1"/></sheets>'
NAMES = '<definedNames><definedName name="a">Corner!$A$1</definedName></definedNames>'
AFTER = '<oleSize ref="A1"/><customWorkbookViews/><extLst/>'
SEQUENCE = [
    "fileVersion",
    "fileSharing",
    "workbookPr",
    "workbookProtection",
    "bookViews",
    "sheets",
    "functionGroups",
    "externalReferences",
    "definedNames",
    "calcPr",
    "oleSize",
    "customWorkbookViews",
    "pivotCaches",
    "smartTagPr",
    "smartTagTypes",
    "webPublishing",
    "fileRecoveryPr",
    "webPublishObjects",
    "extLst",
]
"""Order of the elements: CT_Workbook of ISO/IEC 29500-1, annex A.2, from memory; openxml-audit judges it too."""


def edited(inner: str) -> tuple[bytes, bytes]:
    """The workbook part before and after."""
    package = Package(Path("job.xlsx"), zipped(minimal(), {"xl/workbook.xml": workbook(inner)}))
    return package.workbook_xml, apply(package.workbook_xml, calculation_edits(package))


@pytest.mark.parametrize(
    "inner",
    [
        SHEETS,
        SHEETS + NAMES,
        SHEETS + "<definedNames/>",
        SHEETS + AFTER,
        SHEETS + "<functionGroups/><externalReferences/>" + NAMES + AFTER,
        SHEETS + '<externalReferences><externalReference r:id="rId7"/></externalReferences>' + AFTER,
    ],
)
def test_the_element_is_put_in_its_place(inner: str) -> None:
    """One calcPr, where the standard has it; with it taken out again the part is the old one, byte for byte."""
    before, after = edited(inner)
    names = [node.name for node in tree(after).children]
    assert names == sorted(names, key=SEQUENCE.index)
    assert names.count("calcPr") == 1
    assert after.replace(b'<calcPr fullCalcOnLoad="1"/>', b"") == before


@pytest.mark.parametrize(
    ("given", "wanted"),
    [
        ('<calcPr calcId="191029"/>', '<calcPr calcId="191029" fullCalcOnLoad="1"/>'),
        ('<calcPr calcMode="manual" fullCalcOnLoad="0"/>', '<calcPr calcMode="manual" fullCalcOnLoad="1"/>'),
        (
            "<calcPr fullCalcOnLoad = 'false' calcId='9'></calcPr>",
            "<calcPr fullCalcOnLoad = \"1\" calcId='9'></calcPr>",
        ),
    ],
)
def test_only_the_attribute_is_set(given: str, wanted: str) -> None:
    before, after = edited(SHEETS + NAMES + given + AFTER)
    assert after == before.replace(given.encode(), wanted.encode())


@pytest.mark.parametrize("said", ["1", "true"])
def test_what_asks_already_is_left_alone(said: str) -> None:
    before, after = edited(f'{SHEETS}<calcPr calcId="191029" fullCalcOnLoad="{said}"/>')
    assert after == before


@pytest.mark.parametrize("settings", ["", '<calcPr calcId="191029"/>', '<calcPr calcId="191029" fullCalcOnLoad="0"/>'])
def test_a_checked_workbook_asks_for_it(tmp_path: Path, settings: str) -> None:
    """Whatever its settings were; valid by openxml-audit; a second run changes no byte."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(zipped(parts_of_user(settings)))
    assert asked(path) != "1"
    write_back(open_package(path), our_sheets(), KINDS, path)
    assert asked(path) == "1"
    found = OpenXmlValidator().validate(str(path)).errors
    assert [str(one) for one in found if one.severity == ValidationSeverity.ERROR] == []
    once = path.read_bytes()
    write_back(open_package(path), our_sheets(), KINDS, path)
    assert path.read_bytes() == once


def asked(path: Path) -> str | None:
    """The attribute as the standard library's reader of XML sees it."""
    with zipfile.ZipFile(path) as archive:
        settings = ElementTree.fromstring(archive.read("xl/workbook.xml")).find(f"{{{MAIN}}}calcPr")
    return None if settings is None else settings.get("fullCalcOnLoad")


def parts_of_user(settings: str) -> dict[str, bytes]:
    """A workbook whose own sums look at a sheet of ours, as a spreadsheet program saves it: `settings` for calcPr."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream)
    book.add_worksheet("Corner").write("B2", 64.1)
    book.add_worksheet("Sums").write_formula("A1", "=Corner!B2*2", None, 128.2)
    book.close()
    package = Package(Path("job.xlsx"), stream.getvalue())
    parts = {name: package.archive.read(name) for name in package.archive.members}
    parts["xl/workbook.xml"] = re.sub(rb"<calcPr[^>]*/>", settings.encode(), parts["xl/workbook.xml"])
    return parts


def test_who_saved_it(tmp_path: Path) -> None:
    """LibreOffice is known by what it writes itself."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(zipped(parts_of_user("")))
    assert not is_from_libreoffice(open_package(path))
    assert is_from_libreoffice(open_package(saved_by_libreoffice(path, tmp_path / "saved")))
    assert not is_from_libreoffice(Package(Path("job.xlsx"), zipped(minimal())))
    spoilt = zipped(parts_of_user(""), {"docProps/app.xml": "<Properties><Application>LibreOffice"})
    assert not is_from_libreoffice(Package(Path("job.xlsx"), spoilt))
