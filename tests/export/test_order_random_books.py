"""Thirty shops' spreadsheets at random: every foreign part and cell stays, every formula is right, lines are in once.

The spreadsheets come from a generator that shares nothing with the package; LibreOffice works them out.
"""

import random
import zipfile
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook
from openxml_audit import OpenXmlValidator

from bomcheck.io.order.append import append_rows
from tests.export.random_shop_books import HEADS, Made, shop_book
from tests.export.shop_books import row
from tests.workbook.recalculate import recalculate

COUNT = 30


def new_lines(dice: random.Random) -> list[dict[str, object]]:
    """Lines with packs and prices; some of packs of five."""
    made = []
    for number in range(dice.randint(1, 5)):
        size, packs, price = dice.choice([1.0, 5.0]), dice.randint(1, 4), dice.randint(100, 5000) / 100
        figures = {"pack_size": size, "packs": packs, "quantity_ordered": size * packs, "price_per_pack": price}
        one = {"price_each": price / size, "unit": "each", "line_total": packs * price, **figures}
        made.append(row(number, part_number=f"N-{number}", description=f"new {number}", **one))
    return made


def parts(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as book:
        return {name: book.read(name) for name in book.namelist()}


def look(cell: object) -> tuple[object, ...]:
    """Everything of a cell's style."""
    return tuple(repr(getattr(cell, name)) for name in ("font", "fill", "border", "number_format", "alignment"))


def orders(book: Workbook) -> str:
    """The sheet with the lines."""
    return next(
        name for name in book.sheetnames if any(cell.value == HEADS[0] for r in book[name].iter_rows() for cell in r)
    )


def check_cells(before: Workbook, after: Workbook, made: Made, more: int) -> None:
    """What was there is there, below the lines so many rows further down; formulas are judged by what they come to."""
    for name in before.sheetnames:
        down = more if name == orders(before) and made.below else 0
        for cells in before[name].iter_rows():
            for cell in cells:
                at = cell.row + (down if cell.row > made.last and name == orders(before) else 0)
                now = after[name].cell(at, cell.column)
                if cell.value is None and cell.row > made.last:
                    continue
                if not str(cell.value).startswith("="):
                    assert now.value == cell.value, (name, cell.coordinate)
                assert look(now) == look(cell), (name, cell.coordinate)
                assert (now.comment and now.comment.text) == (cell.comment and cell.comment.text)


def check_ranges(before: Workbook, after: Workbook, made: Made, more: int) -> None:
    """Choices, colours and the print area reach the new lines, which look like the last one."""
    old, new = before[orders(before)], after[orders(after)]
    end = made.last + more
    if old.data_validations.dataValidation:
        assert str(new.data_validations.dataValidation[0].sqref) == f"G{made.first}:G{end}"
    for area in new.conditional_formatting:
        assert str(area.sqref) == f"C{made.first}:C{end}"
    if old.print_area:
        assert new.print_area.split("$")[-1] == str(int(old.print_area.split("$")[-1]) + more)
    for number in range(made.last + 1, end + 1):
        for column in range(1, len(HEADS) + 1):
            assert look(new.cell(number, column)) == look(old.cell(made.last, column)), (number, column)
    merged = {str(one) for one in new.merged_cells.ranges}
    for one in old.merged_cells.ranges:
        down = more if one.min_row > made.last else 0
        assert any(text.endswith(f"D{one.max_row + down}") for text in merged)
    assert len(merged) == len(old.merged_cells.ranges)
    for column, text in charted(after):
        assert text.endswith(f"!${column}${made.first}:${column}${end}"), text
    assert len(charted(after)) == len(charted(before))
    for table in old.tables.values():
        now = new.tables[table.name]
        assert now.ref == table.ref.replace(f"G{made.last + made.below}", f"G{end + made.below}")
        assert now.autoFilter is None or now.autoFilter.ref.endswith(f"G{end}")


def charted(book: Workbook) -> list[tuple[str, str]]:
    """(column, area) of what the charts show: sums of the lines, and their names."""
    series = [one for sheet in book.worksheets for chart in sheet._charts for one in chart.series]
    return [("E", one.val.numRef.f) for one in series] + [("B", one.cat.numRef.f) for one in series]


def wrongs(path: Path) -> set[str]:
    """What the validator says, but for texts that stand in their cells: openpyxl writes some, and so do we."""
    return {one.description for one in OpenXmlValidator().validate(str(path)).errors if "inline" not in one.description}


def moved(made: Made, cell: str, sheet: str, name: str, more: int) -> str:
    number = int("".join(sign for sign in cell if sign.isdigit()))
    return f"{cell[0]}{number + more}" if sheet == name and number > made.last else cell


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Made, Workbook, Path, int, Path]]:
    """(what was made, as it was, with new lines, how many, worked out by LibreOffice)."""
    folder = tmp_path_factory.mktemp("shops")
    found = []
    for seed in range(COUNT):
        dice = random.Random(seed)
        home = folder / f"home{seed}"
        home.mkdir()
        made = shop_book(home / f"book{seed}.xlsx", dice)
        before, old = load_workbook(made.path), parts(made.path)
        made.path.with_suffix(".was.xlsx").write_bytes(made.path.read_bytes())
        lines = new_lines(dice)
        said, _ = append_rows(made.path, lines)
        assert f"{len(lines)} line{'' if len(lines) == 1 else 's'} added" in " ".join(said), said
        once = made.path.read_bytes()
        assert "0 lines added" in " ".join(append_rows(made.path, lines)[0])
        assert made.path.read_bytes() == once
        new = parts(made.path)
        assert old.keys() == new.keys()
        for name in ("xl/styles.xml", "xl/sharedStrings.xml", "xl/worksheets/sheet1.xml", "docProps/core.xml"):
            assert old.get(name) == new.get(name), name
        found.append((made, before, made.path, len(lines), folder / "out" / made.path.name))
    recalculate([one[2] for one in found], folder / "out")
    return found


@pytest.mark.parametrize("seed", range(COUNT))
def test_a_random_shop_book(books: list[tuple[Made, Workbook, Path, int, Path]], seed: int) -> None:
    """Cells, looks, ranges, sums, and each line once."""
    made, before, path, more, out = books[seed]
    after, values = load_workbook(path), load_workbook(out, data_only=True)
    check_cells(before, after, made, more)
    check_ranges(before, after, made, more)
    assert wrongs(path) <= wrongs(path.with_suffix(".was.xlsx"))
    name, total = orders(before), 0.0
    sheet = values[name]
    numbers = [sheet.cell(r, 1).value for r in range(made.first, made.last + more + 1)]
    assert len(set(numbers)) == len(numbers)
    assert {f"N-{n}" for n in range(more)} <= set(numbers)
    for r in range(made.first, made.last + more + 1):
        line = sheet.cell(r, 5).value
        assert line == pytest.approx(sheet.cell(r, 3).value * sheet.cell(r, 4).value), f"row {r}"
        total += line
    for where, cell in made.sums:
        at = moved(made, cell, where, name, more)
        assert values[where][at].value == pytest.approx(total), (where, cell, at)
        below = int(cell[1:])
        if where == name and made.below == 3 and below > made.last:
            assert sheet[f"E{below + more + 1}"].value == pytest.approx(total * 0.2)
            assert sheet[f"E{below + more + 2}"].value == pytest.approx(total * 1.2)
        if where == "Sums":
            assert values[where]["B4"].value == pytest.approx(total * 2)
            assert values[where]["A9"].value == len(numbers)
