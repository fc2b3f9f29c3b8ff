"""Our sheets in the user's workbook: names, styles, links and tabs are right, and an older run leaves nothing behind."""

import io
import os
import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from openpyxl.worksheet.worksheet import Worksheet
from openxml_audit import OpenXmlValidator, ValidationSeverity

from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package, open_package
from bomcheck.io.splice import Written, write_back
from bomcheck.model.errors import WorkbookError
from tests.helpers.one_sheet import one_sheet
from tests.workbook.kitchen_sink import kitchen_sink
from tests.workbook.our_sheets import KINDS, our_sheets
from tests.workbook.packages import MAIN, OFFICE, minimal, relations, sheet, types, workbook, zipped

pytestmark = pytest.mark.filterwarnings("ignore::UserWarning:openpyxl")


def check(path: Path, **given: object) -> Written:
    """One run in place with the sheets of KINDS."""
    return write_back(open_package(path), our_sheets(**given), KINDS, path)  # type: ignore[arg-type]


def job(path: Path, *names: str) -> Path:
    """A plain workbook with these tabs and the number 64.1 in each B2."""
    book = xlsxwriter.Workbook(path)
    for name in names or ("Corner", "Notes"):
        book.add_worksheet(name).write("B2", 64.1)
    book.close()
    return path


def part(path: Path, name: str) -> str:
    with zipfile.ZipFile(path) as archive:
        return archive.read(name).decode()


def errors(path: Path) -> list[str]:
    """What the ISO/IEC 29500 validator openxml-audit calls an error; its hints about habits of Excel are left out."""
    found = OpenXmlValidator().validate(str(path)).errors
    return [str(one) for one in found if one.severity == ValidationSeverity.ERROR]


def links(tab: Worksheet) -> list[str]:
    """Where the jump links of a sheet lead to."""
    return [cell.hyperlink.location for row in tab.iter_rows() for cell in row if cell.hyperlink]


def test_our_sheets_come_last_and_are_marked(tmp_path: Path) -> None:
    path = job(tmp_path / "job.xlsx")
    assert check(path) == Written(path)
    package = open_package(path)
    assert package.sheet_names == ("Corner", "Notes", "Compatibility", "Parts list")
    assert marked_sheets(package) == {"compatibility": "Compatibility", "parts list": "Parts list"}


def test_everything_in_our_sheets_arrives(tmp_path: Path) -> None:
    """openpyxl reads the formulas, links, notes, rules, drop-down, chart, panes, filter, titles and widths."""
    path = job(tmp_path / "job.xlsx")
    check(path)
    book, values = openpyxl.load_workbook(path, rich_text=True), openpyxl.load_workbook(path, data_only=True)
    tab = book["Compatibility"]
    assert (tab["B2"].value, values["Compatibility"]["B2"].value) == ("='Parts list'!B2*2", 84)
    assert (tab["B2"].number_format, tab["B2"].font.bold, tab["B2"].fill.fgColor.rgb) == ('0.00 "mm"', True, "FFFFCC00")
    assert str(tab["A4"].value) == "a red word"
    assert tab["A2"].value == "plain text with ü, <, & and '"
    assert links(tab) == ["'Parts list'!B2", "'Corner'!B2"]
    assert tab["A1"].comment.text == "how it was reckoned"
    assert book["Parts list"]["B1"].comment.text == "count them"
    assert {rule.type for rules in tab.conditional_formatting for rule in rules.rules} == {"dataBar", "expression"}
    rule = next(rule for rules in tab.conditional_formatting for rule in rules.rules if rule.type == "expression")
    assert rule.dxf.font.color.rgb == "FFD55E00"
    assert tab.data_validations.dataValidation[0].formula1 == "'Parts list'!$B$1:$B$3"
    assert (tab.freeze_panes, tab.auto_filter.ref, tab.print_title_rows) == ("A2", "A1:C9", "$1:$1")
    assert tab.print_area == "'Compatibility'!$A$1:$D$9"
    assert round(tab.column_dimensions["A"].width) == 31
    assert len(tab._charts) == 1
    assert tab._charts[0].series[0].yVal.numRef.f == "'Parts list'!$B$2:$B$3"
    assert "x14:dataBar" in part(path, "xl/worksheets/bomcheck_sheet1.xml")


def test_no_parts_names_or_styles_are_left_behind(tmp_path: Path) -> None:
    """Five runs with other results: the archive holds what one run alone would have made."""
    path, once = job(tmp_path / "job.xlsx"), job(tmp_path / "once.xlsx")
    for verdict in ("fits", "does not fit", "not known", "needs machining", "fits with parts"):
        check(path, verdict=verdict)
    check(once, verdict="fits with parts")
    assert path.read_bytes() == once.read_bytes()


def test_replaced_tabs_keep_their_place_and_name(tmp_path: Path) -> None:
    """The user moved our tabs to the front and renamed one: they are filled again where they are."""
    path = job(tmp_path / "job.xlsx")
    check(path)
    _reorder(path, ["Parts list", "Corner", "Compatibility", "Notes"], {"Compatibility": "Result of Monday"})
    assert marked_sheets(open_package(path)) == {"parts list": "Parts list", "compatibility": "Result of Monday"}
    check(path, verdict="does not fit")
    package = open_package(path)
    assert package.sheet_names == ("Parts list", "Corner", "Result of Monday", "Notes")
    assert package.cells("Result of Monday")["A1"].text == "does not fit"
    book = openpyxl.load_workbook(path)
    assert book["Result of Monday"].print_area == "'Result of Monday'!$A$1:$D$9"
    assert errors(path) == []


def _reorder(path: Path, order: list[str], rename: dict[str, str]) -> None:
    """What a spreadsheet program does to the list of tabs: here by the letter of the workbook part."""
    import re

    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    text = parts["xl/workbook.xml"].decode()
    tabs = {re.search(' name="([^"]*)"', one)[1]: one for one in re.findall("<sheet .*?/>", text)}  # type: ignore[index]
    old = list(tabs)
    listed = "".join(tabs[name] for name in order)
    text = re.sub("<sheets>.*</sheets>", f"<sheets>{listed}</sheets>", text)
    text = re.sub('localSheetId="(\\d+)"', lambda m: f'localSheetId="{order.index(old[int(m[1])])}"', text)
    for before, after in rename.items():
        text = text.replace(f'name="{before}"', f'name="{after}"').replace(f">{before}!", f">'{after}'!")
    parts["xl/workbook.xml"] = text.encode()
    path.write_bytes(zipped(parts))


def test_a_copied_tab_belongs_to_the_user(tmp_path: Path) -> None:
    """A copy takes our mark along; it is kept, and the sheet that kept its name is the one that is replaced."""
    path = job(tmp_path / "job.xlsx")
    check(path)
    text = part(path, "xl/workbook.xml")
    text = text.replace("<sheets>", '<sheets><sheet name="Compatibility (kept)" sheetId="99" r:id="rId1"/>')
    for index in (3, 2):
        text = text.replace(f'localSheetId="{index}"', f'localSheetId="{index + 1}"')
    mark = '<definedName name="bomcheck_sheet" hidden="1" localSheetId="0">"compatibility|Compatibility"</definedName>'
    text = text.replace("<definedNames>", f"<definedNames>{mark}")
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    path.write_bytes(zipped(parts, {"xl/workbook.xml": text}))
    check(path, verdict="does not fit")
    package = open_package(path)
    assert package.sheet_names == ("Compatibility (kept)", "Corner", "Notes", "Compatibility", "Parts list")
    assert package.cells("Compatibility (kept)")["B2"].value == 64.1
    assert package.cells("Compatibility")["A1"].text == "does not fit"


def test_a_name_that_the_user_has_already(tmp_path: Path) -> None:
    """Ours gets another name, and every reference inside ours follows; the text "Compatibility!A1" does not."""
    path = job(tmp_path / "job.xlsx", "Corner", "COMPATIBILITY", "Parts list")
    for verdict in ("fits", "does not fit"):
        check(path, verdict=verdict)
        package = open_package(path)
        assert package.sheet_names[3:] == ("Compatibility (2)", "Parts list (2)")
        assert package.cells("COMPATIBILITY")["B2"].value == 64.1
    tab = one_sheet(path, "Compatibility (2)")
    assert tab["B2"].value == "='Parts list (2)'!B2*2"
    assert tab["B3"].value == '="see Compatibility!A1"&Corner!B2'
    assert links(tab) == ["'Parts list (2)'!B2", "'Corner'!B2"]
    assert tab.data_validations.dataValidation[0].formula1 == "'Parts list (2)'!$B$1:$B$3"
    assert tab.print_area == "'Compatibility (2)'!$A$1:$D$9"
    assert tab.auto_filter.ref == "A1:C9"
    series = tab._charts[0].series[0]
    assert series.yVal.numRef.f == "'Parts list (2)'!$B$2:$B$3"
    assert series.xVal.strRef.f == "'Compatibility (2)'!$B$2:$B$3"
    assert errors(path) == []


def test_fewer_sheets_than_before(tmp_path: Path) -> None:
    """A kind that this run does not write is taken out with all its parts; the user's local names move along."""
    path = kitchen_sink(tmp_path / "job.xlsx")
    check(path)
    _reorder(
        path, ["Compatibility", "Corner", "Prices & more".replace("&", "&amp;"), "Parts list", "Diary", "Hidden"], {}
    )
    write_back(open_package(path), our_sheets(), {"Parts list": "parts list"}, path)
    package = open_package(path)
    assert package.sheet_names == ("Corner", "Prices & more", "Parts list", "Diary", "Hidden")
    assert not [name for name in package.archive.members if "bomcheck_sheet1" in name or "bomcheck_chart" in name]
    names = one_sheet(path, "Diary").defined_names
    assert list(names) == ["local_name"]
    assert errors(path) == []


def test_the_tab_on_show_stays(tmp_path: Path) -> None:
    """Only one tab is selected: two selected tabs would be edited together."""
    path = job(tmp_path / "job.xlsx")
    check(path)
    book = openpyxl.load_workbook(path)
    assert book.active.title == "Corner"
    assert [tab.title for tab in book if tab.sheet_view.tabSelected] == ["Corner"]


def test_order_of_calculation_is_dropped_only_if_it_names_our_sheets(tmp_path: Path) -> None:
    path = kitchen_sink(tmp_path / "job.xlsx")
    check(path)
    check(path)
    chain = part(path, "xl/calcChain.xml")
    ours = next(s.sheet_id for s in open_package(path).sheets if s.name == "Compatibility")
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    path.write_bytes(zipped(parts, {"xl/calcChain.xml": chain.replace('i="4"', f'i="{ours}"')}))
    check(path)
    assert "xl/calcChain.xml" not in open_package(path).archive.members
    assert "calcChain" not in part(path, "[Content_Types].xml") + part(path, "xl/_rels/workbook.xml.rels")
    assert errors(path) == []


def prefixed() -> bytes:
    """A workbook whose parts carry prefixes, with absolute part names, an empty group of styles, and no shared texts."""
    return zipped(
        {
            "[Content_Types].xml": types(more=f'<Override PartName="/xl/styles.xml" ContentType="{SPREADSHEET}.styles+xml"/>'),
            "_rels/.rels": relations(("a", "officeDocument", "/xl/workbook.xml")),
            "xl/workbook.xml": f'<x:workbook xmlns:x="{MAIN}" xmlns:q="{OFFICE}"><x:sheets><x:sheet name="Corner" sheetId="1" q:id="b"/></x:sheets></x:workbook>',
            "xl/_rels/workbook.xml.rels": relations(("b", "worksheet", "/xl/worksheets/sheet1.xml"), ("c", "styles", "/xl/styles.xml")),
            "xl/styles.xml": f'<x:styleSheet xmlns:x="{MAIN}"><x:fonts count="1"><x:font><x:sz val="10"/></x:font></x:fonts><x:fills count="2"><x:fill><x:patternFill patternType="none"/></x:fill><x:fill><x:patternFill patternType="gray125"/></x:fill></x:fills><x:borders count="1"><x:border/></x:borders><x:cellXfs count="1"><x:xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></x:cellXfs><x:dxfs count="0"/></x:styleSheet>',
            "xl/worksheets/sheet1.xml": f'<x:worksheet xmlns:x="{MAIN}"><x:sheetData><x:row r="2"><x:c r="B2"><x:v>64.1</x:v></x:c></x:row></x:sheetData></x:worksheet>',
        }
    )  # fmt: skip


SPREADSHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml"
ODD: dict[str, bytes] = {
    "prefixes": prefixed(),
    "no styles": zipped(minimal()),
    "UTF-16": zipped(minimal(), {"xl/workbook.xml": workbook().replace("UTF-8", "UTF-16").encode("utf-16")}),
    "Latin-1": zipped(minimal(), {"xl/workbook.xml": workbook('<sheets><sheet name="Corner" sheetId="1" r:id="rId1"/><sheet name="Fl\xe4che" sheetId="2" r:id="rId1"/></sheets>').replace("UTF-8", "ISO-8859-1").encode("latin-1")}),
    "names of its own": zipped(minimal(), {"xl/workbook.xml": workbook('<sheets><sheet name="Corner" sheetId="1" r:id="rId1"/></sheets><definedNames/>')}),
    "a part named as ours": zipped(minimal(), {"xl/worksheets/BOMCHECK_sheet1.xml": sheet()}),
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_workbooks_of_other_producers(tmp_path: Path, name: str) -> None:
    """Twice in place: openpyxl reads both the user's cell and ours, bold and in its number format."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(ODD[name])
    first = Package(path, ODD[name])
    for verdict in ("fits", "does not fit"):
        check(path, verdict=verdict)
        package = open_package(path)
        assert package.sheet_names == (*first.sheet_names, "Compatibility", "Parts list")
        assert package.cells("Corner") == first.cells("Corner")
        if name == "Latin-1":
            continue
        book = openpyxl.load_workbook(path)
        assert book["Compatibility"]["A1"].value == verdict
        assert (book["Compatibility"]["B2"].number_format, book["Compatibility"]["B2"].font.bold) == ('0.00 "mm"', True)
        assert book["Corner"]["B2"].font.bold is False
    size = len(package.archive.read("xl/styles.xml"))
    check(path)
    assert len(open_package(path).archive.read("xl/styles.xml")) == size


def test_saved_by_openpyxl(tmp_path: Path) -> None:
    """The validator has nothing to say that it did not say before."""
    path = tmp_path / "job.xlsx"
    book = openpyxl.Workbook()
    book.active.title = "Corner"
    book["Corner"]["B2"] = "=1+1"
    book.save(path)
    before = errors(path)
    check(path)
    assert open_package(path).cells("Corner")["B2"].kind == "formula without value"
    assert errors(path) == before


def test_macros_stay(tmp_path: Path) -> None:
    path = kitchen_sink(tmp_path / "job.xlsm", macros=True)
    before = open_package(path).archive.read("xl/vbaProject.bin")
    check(path)
    package = open_package(path)
    assert package.archive.read("xl/vbaProject.bin") == before
    assert "macroEnabled" in package.types.of(package.workbook_part)


def test_a_copy_with_the_wrong_ending(tmp_path: Path) -> None:
    """Excel does not open a workbook with macros that is named .xlsx."""
    package = open_package(kitchen_sink(tmp_path / "job.xlsm", macros=True))
    with pytest.raises(WorkbookError, match=r"out.xlsx: the workbook has macros, .* Give it the ending .xlsm"):
        write_back(package, our_sheets(), KINDS, tmp_path / "out.xlsx")


def test_through_a_symbolic_link(tmp_path: Path) -> None:
    """The real file is replaced and the link stays a link; the same for a folder that is a link."""
    real = tmp_path / "store"
    real.mkdir()
    path = job(real / "job.xlsx")
    (tmp_path / "job.xlsx").symlink_to(path)
    (tmp_path / "folder").symlink_to(real)
    for given in (tmp_path / "job.xlsx", tmp_path / "folder" / "job.xlsx"):
        assert check(given).path == given
        assert marked_sheets(open_package(path))
    assert (tmp_path / "job.xlsx").is_symlink()
    assert os.listdir(real) == ["job.xlsx"]


def test_a_copy_leaves_the_source_alone(tmp_path: Path) -> None:
    path = job(tmp_path / "job.xlsx")
    before = path.read_bytes()
    result = write_back(open_package(path), our_sheets(), KINDS, tmp_path / "out.xlsx")
    assert result == Written(tmp_path / "out.xlsx")
    assert path.read_bytes() == before
    assert marked_sheets(open_package(result.path))


@pytest.mark.skipif(os.name == "nt", reason="hard links are rare on Windows")
@pytest.mark.parametrize(
    ("others", "says"),
    [
        (1, "job.xlsx has another name (a hard link), which keeps the old content"),
        (2, "job.xlsx has 2 other names (hard links), which keep the old content"),
    ],
)
def test_another_name_of_the_file_is_told(tmp_path: Path, others: int, says: str) -> None:
    """The replaced file is a new one, so a hard link shows the old content: the message says so, nothing is refused."""
    path = job(tmp_path / "job.xlsx")
    before = path.read_bytes()
    links = [tmp_path / f"other {number}.xlsx" for number in range(others)]
    for link in links:
        os.link(path, link)
    assert check(path) == Written(path, f"The result is in job.xlsx. {says}")
    assert [link.read_bytes() for link in links] == [before] * others
    assert marked_sheets(open_package(path))
    assert check(path, verdict="does not fit").message is None
    os.link(path, tmp_path / "late.xlsx")
    assert write_back(open_package(path), our_sheets(), KINDS, tmp_path / "out.xlsx").message is None


def test_a_sheet_that_has_another_name_now(tmp_path: Path) -> None:
    """One checked under the sheet's former name: it is replaced where it stands, under the name that formulas know."""
    path = job(tmp_path / "job.xlsx")
    former = {"Line": "line", "Parts list": "parts"}
    write_back(open_package(path), our_sheets(names=("Line", "Parts list")), former, path)
    kinds = {"Brake line": "line", "Parts list": "parts"}
    write_back(open_package(path), our_sheets("does not fit", names=("Brake line", "Parts list")), kinds, path)
    package = open_package(path)
    assert package.sheet_names == ("Corner", "Notes", "Line", "Parts list")
    assert package.cells("Line")["A1"].text == "does not fit"
    assert one_sheet(path, "Line").print_area == "'Line'!$A$1:$D$9"
    assert errors(path) == []


def test_names_of_ours_must_be_local(tmp_path: Path) -> None:
    """A name for the whole workbook could clash with one of the user's; it is a mistake of ours, not of theirs."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream)
    book.add_worksheet("Compatibility").write("A1", 1)
    book.define_name("limit", "=Compatibility!$A$1")
    book.close()
    path = job(tmp_path / "job.xlsx")
    with pytest.raises(ValueError, match="must be local"):
        write_back(open_package(path), stream.getvalue(), KINDS, path)


def test_refusals_name_the_workbook(tmp_path: Path) -> None:
    path = job(tmp_path / "job.xlsx")
    with pytest.raises(WorkbookError, match=r'job.xlsx: there is no sheet named "Kit"'):
        open_package(path).cells("Kit")
