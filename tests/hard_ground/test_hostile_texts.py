"""Texts and numbers that a workbook can hold and no sober person types: what is taken, what is refused, and that nothing falls."""

import io
import re
import zipfile
from datetime import date, timedelta
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from openpyxl import Workbook, load_workbook

from bomcheck import notation
from bomcheck.commands.cli import main
from bomcheck.io.cells import unescape
from bomcheck.io.order.append import append_rows
from bomcheck.io.order.csv_file import owner_of, safe_text, write_csv
from bomcheck.io.package import open_package
from bomcheck.io.read.job import read_job
from bomcheck.io.xml import escaped
from bomcheck.model.errors import Fault, Place, Unreadable, WorkbookError
from bomcheck.model.shipped import folder
from tests.export.shop_books import row, shop_book
from tests.hard_ground.running import demo, job_with
from tests.helpers.one_sheet import one_sheet

MARKS = ("²", "³", "¹", "⁰", "⁷", "₂", "①", "⑴", "⒈", "❷"[:0] or "②")


@pytest.mark.parametrize("mark", MARKS)
@pytest.mark.parametrize("before", ["8", "66.5", "66.5 ", "M12x1.5", "5x114.3"])
def test_footnote_marks_are_never_figures(before: str, mark: str) -> None:
    """Behind a figure, with or without a space, for every way of reading."""
    for read in (
        lambda text: notation.read_quantity(text, "mm", "mm"),
        notation.read_count,
        notation.read_thread,
        notation.read_bolt_circle,
    ):
        with pytest.raises(Unreadable):
            read(before + mark)


@pytest.mark.parametrize(
    ("text", "unit", "value"), [("9 m/s²", "m/s²", 9.0), ("250 mm³", "mm³", 250.0), ("0.25 cm³", "mm³", 250.0)]
)
def test_powers_in_units_stay(text: str, unit: str, value: float) -> None:
    """A raised figure in a unit has a meaning."""
    assert notation.read_quantity(text, unit) == pytest.approx(value)


@pytest.mark.parametrize("look", ['<vertAlign val="superscript"/>', '<vertAlign val="subscript"/>', "<strike/>"])
@pytest.mark.parametrize("shared", [True, False])
def test_raised_and_struck_runs_of_a_cell(tmp_path: Path, look: str, shared: bool) -> None:
    """66.5 with a raised 1 in a run of its own is refused where it stands, never 66.51."""
    job = job_with(tmp_path / "job.xlsx", note="THE NOTE")
    runs = f"<r><t>66.5</t></r><r><rPr>{look}</rPr><t>1</t></r>".encode()
    made = io.BytesIO()
    with zipfile.ZipFile(job) as old, zipfile.ZipFile(made, "w") as new:
        for info in old.infolist():
            data = old.read(info)
            if info.filename == "xl/sharedStrings.xml" and shared:
                data = re.sub(rb"<si><t[^>]*>THE NOTE</t></si>", b"<si>" + runs + b"</si>", data)
            new.writestr(info, data)
    job.write_bytes(made.getvalue())
    package = open_package(job)
    if shared:
        texts = package.strings
    else:
        from bomcheck.io.cells import CellReader

        sheet = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" t="inlineStr"><is>%s</is></c></row></sheetData></worksheet>'
        cells = CellReader("f", "s", [], package.dated).read(sheet % runs, "p")
        texts = [cells["A1"].text]
    shown = next(text for text in texts if text.startswith("66.5"))
    assert shown != "66.51"
    with pytest.raises(Unreadable):
        notation.read_quantity(shown, "mm", "mm")


@pytest.mark.parametrize("text", ["~66.5", "about 66.5 mm", "66.5 approx.", "ca. 66.5", "≈66.5"])
def test_about_is_asked_unless_its_own_margin_stands_beside_it(tmp_path: Path, text: str) -> None:
    """Without a ± of its own it is refused by name; with one it is the size with that ±."""
    from bomcheck.demos import demo as demo_of
    from bomcheck.io.blank.template import build_job_workbook

    filled = demo_of("hill_climb_two_seater").filled
    corner = {**filled["corner"], "hub_pilot_diameter": text}
    bare = {**filled, "corner": corner, "plus_minus": {**filled["plus_minus"]}}
    bare["plus_minus"].pop("hub_pilot_diameter", None)
    build_job_workbook("metric", bare, tmp_path / "a.xlsx")
    job, _ = read_job(tmp_path / "a.xlsx")
    assert "hub_pilot_diameter" not in job.values
    assert any("about right" in str(fault) for fault in job.faults)
    with_own = {**bare, "plus_minus": {**bare["plus_minus"], "hub_pilot_diameter": 0.4}}
    build_job_workbook("metric", with_own, tmp_path / "b.xlsx")
    value = read_job(tmp_path / "b.xlsx")[0].values["hub_pilot_diameter"]
    assert (value.value, value.plus_minus) == (66.5, 0.4)


@pytest.mark.parametrize("day", [date.today() - timedelta(days=1), date(2020, 2, 29)])
def test_a_day_that_is_past_is_said_and_rules_nothing_out(tmp_path: Path, day: date) -> None:
    """The hose is found as without a day, and one line names the day."""
    job = job_with(tmp_path / "job.xlsx", needed_by=day.isoformat())
    done = CliRunner().invoke(main, ["check", str(job), "--out", str(tmp_path / "out.xlsx")])
    plain = CliRunner().invoke(main, ["check", str(demo(tmp_path / "d.xlsx")), "--out", str(tmp_path / "out2.xlsx")])
    assert (done.exit_code, plain.exit_code) == (0, 0)
    assert "is past" in done.stderr
    assert "no source" not in done.stdout


@pytest.mark.parametrize("text", ["1 Oct 226", "0226-10-01", "1.10.1026", "9999-01-01"])
def test_a_year_that_cannot_be_meant(text: str) -> None:
    """Three figures, or another age."""
    with pytest.raises(Unreadable):
        notation.read_date(text)


NUMBERS = (
    "J\x01-7",
    "J_x0041_7",
    "=J7",
    "'=J7",
    "''=J7",
    "＝J7",
    "'＋7",
    "+7",
    "@7",
    "-7",
    "\u202eJ7",
    "J\t7",
    "_xD800_",
    "🚗7",
)


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_a_job_of_any_number_is_known_again(tmp_path: Path, number: str, ending: str) -> None:
    """The second run adds nothing, whatever the number holds."""
    lines = [row(n, job_number=number, part_number=f"P{n}") for n in (1, 2)]
    book = tmp_path / f"orders{ending}"
    if ending == ".csv":
        write_csv(lines, book)
        write_csv([row(3, job_number="other")], book)
        write_csv(lines, book)
        assert book.read_bytes().count(b"\r\n") == 4
        return
    shop_book(book)
    append_rows(book, lines)
    (tmp_path / "orders.xlsx.columns.json").unlink()
    said, _ = append_rows(book, lines)
    assert "0 lines added" in " ".join(said)


def test_texts_come_back_as_they_were() -> None:
    """What is written in a cell is read as it was; half a sign becomes the sign for what is not known."""
    for text in ("J_x0041_", "\x01\x1f", "_x005F_x0041_", "ab", "🚗", "_x_"):
        assert unescape(escaped(text)) == text
    assert unescape("_xD83D__xDE97_") == "🚗"
    assert unescape("_xD800_") == "\ufffd"
    assert safe_text("'=1") == "''=1"
    assert owner_of({"job_number": "J\x017"}) == owner_of({"job_number": "J7"})


def test_every_fault_is_one_line() -> None:
    """Whatever was typed."""
    assert "\n" not in str(Fault("file", Place("a\nb"), "x\u2028y", "wrong\r\n", "do"))


HUGE = "9" * 5000


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (rb'sheetId="1"', f'sheetId="{HUGE}"'.encode()), (rb"<workbookView ", f'<workbookView activeTab="{HUGE}" '.encode()),
        (rb"<definedNames>", f'<definedNames><definedName name="a" localSheetId="{HUGE}">1</definedName>'.encode()),
        (rb'sheetId="1"', b'sheetId="65534"'),
    ],
)  # fmt: skip
def test_numbers_of_any_length_inside_a_workbook(tmp_path: Path, old: bytes, new: bytes) -> None:
    """Checked as any other; ids of new sheets stay within what programs take."""
    job, made = demo(tmp_path / "job.xlsx"), io.BytesIO()
    with zipfile.ZipFile(job) as book, zipfile.ZipFile(made, "w") as other:
        for info in book.infolist():
            data = book.read(info)
            if info.filename == "xl/workbook.xml":
                assert old in data
                data = data.replace(old, new, 1)
            other.writestr(info, data)
    job.write_bytes(made.getvalue())
    done = CliRunner().invoke(main, ["check", str(job)])
    assert done.exit_code == 0, done.stderr
    with zipfile.ZipFile(job) as book:
        ids = re.findall(rb'sheetId="(\d{1,9})"', book.read("xl/workbook.xml"))
    assert max(map(int, ids)) < 65_535
    assert len(set(ids)) == len(ids)


def test_a_tab_whose_name_ends_in_an_apostrophe(tmp_path: Path) -> None:
    """Named so by the user: kept, and every formula of ours still leads there."""
    job = demo(tmp_path / "job.xlsx")
    assert CliRunner().invoke(main, ["check", str(job)]).exit_code == 0
    made = io.BytesIO()
    with zipfile.ZipFile(job) as book, zipfile.ZipFile(made, "w") as other:
        for info in book.infolist():
            data = book.read(info)
            if info.filename == "xl/workbook.xml":
                data = data.replace(b'name="Parts list"', b'name="Parts list\'"').replace(
                    b"'Parts list'!", b"'Parts list'''!"
                )
            elif info.filename.endswith(".xml"):
                data = data.replace(b"'Parts list'!", b"'Parts list'''!")
            other.writestr(info, data)
    job.write_bytes(made.getvalue())
    before = open_package(job).sheet_names
    assert "Parts list'" in before
    assert CliRunner().invoke(main, ["check", str(job)]).exit_code == 0
    assert open_package(job).sheet_names == before
    with zipfile.ZipFile(job) as book:
        whole = b"".join(book.read(name) for name in book.namelist() if name.endswith(".xml"))
    assert b"'Parts list'!" not in whole


@pytest.mark.parametrize("name", ["a" * 250, "é" * 125, "車" * 83])
def test_names_of_almost_255_bytes(tmp_path: Path, name: str) -> None:
    """Checked, kept, ordered into, or one line; never a fault of the program."""
    job = demo(tmp_path / f"{name[:-2]}.xlsx")
    orders = tmp_path / f"{name[1:-2]}.xlsx"
    shop_book(orders)
    for words in (
        ["check", job, "--backup"],
        ["order", job, "--into", orders, "--yes"],
        ["order", job, "--into", tmp_path / f"{name[2:-2]}.csv"],
    ):
        done = CliRunner().invoke(main, [str(word) for word in words])
        assert done.exit_code == 0, done.stderr


def test_namespaces_and_rows_beyond_every_bound_are_one_line(tmp_path: Path) -> None:
    """100,000 namespaces, a slip of 100,000 short lines, one of half a million commas, an order file of 1.1 million cells."""
    job, made = demo(tmp_path / "job.xlsx"), io.BytesIO()
    many = b"".join(b'<a%d xmlns:n%d="u%d"/>' % (n, n, n) for n in range(100_000))
    with zipfile.ZipFile(job) as book, zipfile.ZipFile(made, "w") as other:
        for info in book.infolist():
            data = book.read(info)
            if info.filename == "xl/workbook.xml":
                data = data.replace(b"</workbook>", b"<extLst>" + many + b"</extLst></workbook>")
            other.writestr(info, data)
    (tmp_path / "many.xlsx").write_bytes(made.getvalue())
    done = CliRunner().invoke(main, ["check", str(tmp_path / "many.xlsx")])
    assert done.exit_code == 4
    assert "namespaces" in done.stderr
    rows, commas, orders = (tmp_path / f"{name}.csv" for name in ("rows", "commas", "orders"))
    rows.write_text("Part no,Qty\n" + "A,1\n" * 100_000)
    commas.write_text("," * 500_000)
    orders.write_text("Part no,Qty\n" + "A,1\n" * 550_000)
    for words in (("receive", job, rows), ("receive", job, commas), ("order", job, "--into", orders, "--yes")):
        done = CliRunner().invoke(main, [str(word) for word in words])
        assert done.exit_code == 4
        assert "more" in done.stderr
        assert len(done.stderr.splitlines()) == 1


def test_a_table_of_nothing_but_troubles(tmp_path: Path) -> None:
    """150,000 rows of one name: one line says how many are named at most, and the first."""
    corners, kits = tmp_path / "c.csv", tmp_path / "k.csv"
    corners.write_text("Vehicle,Hub pilot diameter\n,mm\nA,66.5\n")
    kits.write_text("Kit number,Rotor diameter\n,mm\n" + "K1,330\n" * 150_000)
    done = CliRunner().invoke(main, ["screen", str(corners), str(kits)])
    assert (done.exit_code, done.stdout, len(done.stderr.splitlines())) == (4, "", 1)
    assert "more than 100,000 entries" in done.stderr
    assert "row 4" in done.stderr


def test_format_only_cells_are_no_cells(tmp_path: Path) -> None:
    """A sheet on which 500,000 empty cells carry a format is read."""
    book = Workbook()
    book.active["A1"] = "x"
    book.save(tmp_path / "a.xlsx")
    made = io.BytesIO()
    empty = b"".join(
        b'<row r="%d">%s</row>' % (r, b"".join(b'<c r="%s%d" s="0"/>' % (c, r) for c in (b"A", b"B", b"C", b"D", b"E")))
        for r in range(2, 100_002)
    )
    with zipfile.ZipFile(tmp_path / "a.xlsx") as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            data = old.read(info)
            if info.filename == "xl/worksheets/sheet1.xml":
                data = data.replace(b"</sheetData>", empty + b"</sheetData>")
            new.writestr(info, data)
    (tmp_path / "a.xlsx").write_bytes(made.getvalue())
    assert list(open_package(tmp_path / "a.xlsx").cells("Sheet")) == ["A1"]


def test_a_day_before_1900_goes_in_as_text(tmp_path: Path) -> None:
    """No spreadsheet counts days before 1900."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, [row(1, needed_by=date(1226, 10, 1))])
    values = [cell.value for line in one_sheet(book, "Orders").iter_rows() for cell in line]
    assert not any(isinstance(value, float | int) and value < 0 for value in values)


def test_the_error_is_still_an_error() -> None:
    """A workbook error is told as one line."""
    with pytest.raises(WorkbookError):
        open_package(Path("/dev/null"))


@pytest.mark.parametrize("demo", ["camper_van", "touring_coupe_both_axles"])
def test_every_part_is_sound_whatever_a_label_holds(tmp_path: Path, demo: str) -> None:
    """A steering character, half a pair of letters, quotes and marks in the car's name: each XML part of the result is read."""
    path, out = tmp_path / "job.xlsx", tmp_path / "out.xlsx"
    book = load_workbook(folder("demo_workbooks") / f"{demo}.xlsx")
    label = next(row[1] for row in book["Job"].iter_rows() if row[0].value == "Vehicle")
    label.value = "NAME"
    book.save(path)
    with zipfile.ZipFile(path) as old:
        content = {name: old.read(name) for name in old.namelist()}
    with zipfile.ZipFile(path, "w") as new:
        for name, data in content.items():
            new.writestr(name, data.replace(b">NAME<", b">_x0001_ _xD800_ @ &quot;a&quot; &amp; &lt;b&gt; 'c'<"))
    assert CliRunner().invoke(main, ["check", str(path), "--out", str(out)]).exit_code == 0
    with zipfile.ZipFile(out) as made:
        for name in made.namelist():
            if name.endswith((".xml", ".rels", ".vml")):
                ElementTree.fromstring(made.read(name))
