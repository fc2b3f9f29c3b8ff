"""What shops' ordering files are like: whose columns are filled, asked once, years, code pages. Common practice, no source."""

import csv
import json
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from bomcheck.io.order.append import append_rows
from bomcheck.io.order.csv_file import write_csv
from bomcheck.io.order.known import Pending
from tests.export.shop_books import parts_of, row
from tests.helpers.one_sheet import one_sheet

SINGLE = {"pack_size": 1.0, "unit": "each", "quantity_ordered": 1.0, "price_each": 3.5}
LINES = [row(n, part_number=f"N-{n}", description=f"part {n}", axle="front", **SINGLE) for n in (1, 2)]
REAR = [{**one, "axle": "rear"} for one in LINES]


def book(path: Path, heads: list[str], *lines: list[object], sheets: tuple[str, ...] = ("Orders",)) -> Path:
    made = Workbook()
    made.remove(made.active)
    for name in sheets:
        sheet = made.create_sheet(name)
        sheet.append(heads)
        for line in lines:
            sheet.append(line)
    made.save(path)
    return path


def cells(path: Path, sheet: str = "Orders") -> list[list[object]]:
    return [[cell.value for cell in line] for line in one_sheet(path, sheet).iter_rows()]


def told(path: Path, **given: object) -> str:
    said, remarks = append_rows(path, LINES, **given)  # type: ignore[arg-type]
    return "\n".join([*said, *remarks])


def test_a_formula_column_is_never_filled(tmp_path: Path) -> None:
    """ "Line" is the shop's own Qty x Net, not the name of our line; it goes on in the new rows."""
    path = book(
        tmp_path / "a.xlsx",
        ["Part", "Qty", "Net", "Line", "Job"],
        ["0001", 2, 3.5, "=B2*C2", "J-1"],
        ["0002", 1, 2, "=B3*C3", "J-1"],
    )
    said = told(path)
    assert "Your formulas, which stay: Line" in said
    assert '"Net" takes price_each' in said
    assert cells(path)[3] == ["N-1", 1, 3.5, "=B4*C4", "J-7"]


def test_running_numbers_and_order_numbers_are_left_alone(tmp_path: Path) -> None:
    """ "Item" counts, "Order no." is the shop's own; "Part" takes the number. What is not filled is said."""
    path = book(tmp_path / "a.xlsx", ["Item", "Order no.", "Part", "Qty", "Job"], [1, "P-88", "0001", 2, "J-1"])
    said = told(path)
    assert "Not filled: Item, Order no." in said
    assert cells(path)[2] == [None, None, "N-1", 1, "J-7"]


def test_it_is_asked_once_for_the_shop(tmp_path: Path) -> None:
    """Nothing is written before somebody says that the columns are right; another file with the same headings is not asked."""
    heads = ["Part no", "Qty", "Mine", "Job"]
    path = book(tmp_path / "a.xlsx", heads)
    before = path.read_bytes()
    said, remarks = append_rows(path, LINES, confirm=lambda _: False)
    assert any("Not filled: Mine" in one for one in said)
    assert [type(one) for one in remarks] == [Pending]
    assert path.read_bytes() == before
    asked: list[list[str]] = []
    append_rows(path, LINES, confirm=lambda shown: asked.append(shown) is None)
    assert len(asked) == 1
    assert len(cells(path)) == 3
    other = book(tmp_path / "b.xlsx", heads)
    append_rows(other, LINES, confirm=lambda shown: asked.append(shown) is None)
    assert len(asked) == 1
    assert len(cells(other)) == 3


def test_what_the_shop_changed_counts_for_every_file(tmp_path: Path) -> None:
    """The list is edited between the runs; a changed one waits for the word that it is right, as the README says."""
    path = book(tmp_path / "a.xlsx", ["Part no", "Qty", "Mine", "Job"])
    append_rows(path, LINES, confirm=lambda _: False)
    shop = tmp_path / "bomcheck_columns.json"
    kept = json.loads(shop.read_text("utf-8"))
    kept["columns"]["Mine"] = "description"
    shop.write_text(json.dumps(kept), "utf-8")
    before = path.read_bytes()
    _, remarks = append_rows(path, LINES, confirm=lambda _: False)
    assert "run it again with --yes" in remarks[-1]
    assert path.read_bytes() == before
    guide = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    assert "nothing is written until you say\n`--yes`. Correct `bomcheck_columns.json` first" in guide
    append_rows(path, LINES, confirm=lambda _: True)
    assert cells(path)[1] == ["N-1", 1, "part 1, front axle", "J-7"]


def test_the_newest_year_is_proposed_and_a_later_one_asked(tmp_path: Path) -> None:
    """2026 before 2025; when 2027 comes, where to is asked, and the answer kept."""
    heads = ["Part no", "Qty", "Job"]
    path = book(tmp_path / "a.xlsx", heads, sheets=("2025", "2026"))
    assert 'Ordered into the sheet "2026" of 2026, 2025' in told(path)
    assert (len(cells(path, "2025")), len(cells(path, "2026"))) == (1, 3)
    later = load_workbook(path)
    later.create_sheet("2027").append(heads)
    later.save(path)
    more = [*LINES, row(9, part_number="N-9", axle="front")]
    said, remarks = append_rows(path, more)
    assert said == []
    assert 'has a sheet "2027" now' in remarks[0]
    append_rows(path, more, sheet="2027")
    assert [line[0] for line in cells(path, "2027")] == ["Part no", "N-9"], "the others stand in 2026 already"
    assert append_rows(path, more)[0][-1].startswith("0 lines added")


def test_one_sheet_for_each_supplier_is_told(tmp_path: Path) -> None:
    """All goes into the first; those of the other supplier are named with their sheet, and moved there they are not added again."""
    lines = [{**LINES[0], "supplier": "Hill Stores"}, {**LINES[1], "supplier": "Pit Supplies"}]
    path = book(tmp_path / "a.xlsx", ["Part no", "Qty", "Job"], sheets=("Hill Stores", "PIT"))
    said = append_rows(path, lines)[0]
    assert (
        'All lines go into the sheet "Hill Stores", those of Pit Supplies (sheet "PIT") too. Move them there afterwards: they stay known'
        in said
    )
    made = load_workbook(path)
    made["PIT"].append([cell.value for cell in made["Hill Stores"][3]])
    made["Hill Stores"].delete_rows(3)
    made.save(path)
    assert append_rows(path, lines)[0][0].startswith("0 lines added")
    one = book(tmp_path / "b.xlsx", ["Part no", "Qty", "Job"], sheets=("Stock", "Orders"))
    assert "All lines go into" not in "\n".join(append_rows(one, lines)[0])


def test_nothing_is_called_kept_before_it_is(tmp_path: Path) -> None:
    """The list of columns of a file is made only once somebody says that they are right."""
    path = book(tmp_path / "a.xlsx", ["Part no", "Qty", "Job"])
    said = append_rows(path, LINES, confirm=lambda _: False)[0]
    assert "Once that is confirmed it is kept in a.xlsx.columns.json" in said[0]
    assert not (tmp_path / "a.xlsx.columns.json").exists()


def test_a_changed_price_and_note_are_pending(tmp_path: Path) -> None:
    """Named until the row says so."""
    path = book(tmp_path / "a.xlsx", ["Part no", "Qty", "Price", "Note", "Job"])
    append_rows(path, LINES)
    dearer = [{**LINES[0], "price_per_pack": 4.0, "price_each": 4.0, "note": "by air"}, LINES[1]]
    remarks = append_rows(path, dearer)[1]
    assert remarks == [
        'a.xlsx: N-1 part 1 has changed since it was ordered: price of a pack 3.5 -> 4, note none -> "by air". Change it there.'
    ]
    assert isinstance(remarks[0], Pending)
    mended = load_workbook(path)
    mended["Orders"]["C2"], mended["Orders"]["D2"] = 4, "by air"
    mended.save(path)
    assert append_rows(path, dearer)[1] == []


def test_the_rear_axle_is_ordered_without_the_list_of_columns(tmp_path: Path) -> None:
    """No axle column and the small file gone: the description tells the axles apart."""
    path = book(tmp_path / "a.xlsx", ["Part no", "Description", "Qty", "Job"])
    append_rows(path, LINES)
    (tmp_path / "a.xlsx.columns.json").unlink()
    assert append_rows(path, REAR)[0][-1].startswith("2 lines added")
    (tmp_path / "a.xlsx.columns.json").unlink()
    for lines in (LINES, REAR):
        assert append_rows(path, lines)[0][-1].startswith("0 lines added")


def test_a_row_that_may_be_either_axle_s_is_pending(tmp_path: Path) -> None:
    """Without a description nothing tells: named, and the exit status says so."""
    path = book(tmp_path / "a.xlsx", ["Part no", "Qty", "Job"])
    append_rows(path, LINES)
    (tmp_path / "a.xlsx.columns.json").unlink()
    assert any(isinstance(one, Pending) for one in append_rows(path, REAR)[1])


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-8", "cp1252"])
@pytest.mark.parametrize("divider", [";", "\t"])
def test_a_csv_in_the_shop_s_own_way(tmp_path: Path, encoding: str, divider: str) -> None:
    """Semicolons, decimal commas, old code page: what is there stays byte for byte, new lines are written alike, once."""
    path = tmp_path / "orders.csv"
    heads = divider.join(["Part no", "Text", "Qty", "Price", "Job"])
    path.write_bytes(f"{heads}\r\n0001{divider}Bremsöl{divider}2{divider}3,50{divider}J-1\r\n".encode(encoding))
    before = path.read_bytes()
    append_rows(path, LINES)
    now = path.read_bytes()
    assert now.startswith(before)
    rows = list(csv.reader(now.decode(encoding).splitlines(), delimiter=divider))
    assert rows[2] == ["N-1", "part 1, front axle", "1", "3,5", "J-7"]
    assert append_rows(path, LINES)[0][-1].startswith("0 lines added")
    assert path.read_bytes() == now


@pytest.mark.parametrize(("bom", "saved"), [(True, "cp1252"), (False, "cp1252"), (True, "utf-8")])
def test_our_csv_saved_in_the_old_code_page_does_not_double(tmp_path: Path, bom: bool, saved: str) -> None:
    """Opened and saved by a program that took its letters for the old code page, or saved it in that."""
    path, lines = tmp_path / "order.csv", [{**one, "vehicle_label": "blau, grün"} for one in LINES]
    write_csv(lines, path)
    text = path.read_bytes().decode("utf-8-sig")
    wrong = text if bom else text.encode().decode("cp1252")
    path.write_bytes(wrong.encode("cp1252") if saved == "cp1252" and bom else wrong.encode("utf-8"))
    assert write_csv(lines, path) == ()
    assert len(path.read_bytes().strip().splitlines()) == 3


def test_our_csv_with_semicolons_stays_so(tmp_path: Path) -> None:
    """Saved by a program of a country that writes 3,5: other jobs stay, ours is written alike."""
    path = tmp_path / "order.csv"
    write_csv([{**one, "job_number": "J-1"} for one in LINES], path)
    rows = list(csv.reader(path.read_bytes().decode("utf-8-sig").splitlines()))
    text = "".join(";".join(f'"{t}"' if "," in t else t.replace(".", ",") for t in one) + "\r\n" for one in rows)
    path.write_bytes(text.encode("utf-8-sig"))
    assert write_csv(LINES, path) == ("J-1, front",)
    lines = path.read_bytes().decode("utf-8-sig").splitlines()
    assert len(lines) == 5
    assert '"N-1"' in lines[3]
    assert ";3,5;" in lines[3]


def test_a_pivot_takes_the_new_lines_in_and_moves_with_its_rows(tmp_path: Path) -> None:
    """Raw parts (ISO/IEC 29500-1, 18.10): the source of a pivot over all lines grows, the pivot below the totals goes down."""
    path = book(
        tmp_path / "a.xlsx", ["Part", "Qty", "Net", "Line", "Job"], ["0001", 2, 3.5, "=B2*C2", "J-1"],
        ["0002", 1, 2, "=B3*C3", "J-1"], ["Total", None, None, "=SUM(D2:D3)", None],
    )  # fmt: skip
    kinds = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    main = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    cache, pivot = "xl/pivotCache/pivotCacheDefinition1.xml", "xl/pivotTables/pivotTable1.xml"
    more = {
        cache: f'<pivotCacheDefinition {main}><cacheSource type="worksheet"><worksheetSource ref="A1:E3" sheet="Orders"/>'
        "</cacheSource></pivotCacheDefinition>",
        pivot: f'<pivotTableDefinition {main}><location ref="A8:B11" firstDataRow="1"/></pivotTableDefinition>',
        "xl/worksheets/_rels/sheet1.xml.rels": '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        f'<Relationship Id="rId1" Type="{kinds}/pivotTable" Target="../pivotTables/pivotTable1.xml"/></Relationships>',
    }
    with zipfile.ZipFile(path, "a") as package:
        for name, content in more.items():
            package.writestr(name, content)
    assert "2 lines added" in told(path)
    found = parts_of(path)
    assert b'ref="A1:E5"' in found[cache]
    assert b'ref="A10:B13"' in found[pivot]
