"""Packs put together, packs shared, freight and least orders on the Parts list: LibreOffice works them out as we do, and
goes on doing so when a figure is changed."""

from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.parts_freight import PARTS
from bomcheck.io.sheets.parts_list import NAME
from bomcheck.io.sheets.quote import NAME as QUOTE
from bomcheck.io.sheets.quote_parts import TOTAL
from bomcheck.model.demand import Demand
from bomcheck.model.job import Job, Part, Terms, Value
from bomcheck.model.report import Report
from bomcheck.supply.balance import parts_list
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets.office import recalculated
from tests.workbook.sheets.test_parts_list import rows

NEEDS = (
    Demand("hat screw", 12, spec={"length": (24.0, 26.0)}, said="hat screw"),
    Demand("washer", 2, spec={"inner_diameter": (10.0, 13.0)}, said="wide"),
    Demand("washer", 2, spec={"inner_diameter": (10.0, 11.0)}, said="narrow"),
)
Entered = dict[str, dict[str, Any]]
PRICES = (
    Part("hat screw", "P10", "screws", "Yard & Sons", length=25.0, pack_size=10, unit_price=0.40, lead_days=2),
    Part("hat screw", "P1", "screw", "Yard & Sons", length=25.0, unit_price=0.60, lead_days=2),
    Part("washer", "W", "washer", 'The "Bin"', inner_diameter=10.5, pack_size=10, unit_price=0.4, lead_days=1),
)
TERMS = (Terms("yard & sons", 5.0, 12.0), Terms('The "Bin"', 3.5, 2.0))


def report(own: Entered | None = None) -> Report:
    """24 screws as two packs of ten and four single ones, four wide and four narrow washers out of one pack of ten."""
    job = Job({"corners": Value("corners", 2)}, prices=PRICES, terms=TERMS, own=own or {})
    return planned(job, NEEDS)


def planned(job: Job, needs: tuple[Demand, ...]) -> Report:
    """The job's report with a list of these needs alone."""
    lines, bought, job = parts_list(job, needs)[:3]
    return replace(assess(job), job=job, parts=lines, buying=bought)


def figures(sheet: Any) -> dict[str, tuple[Any, Any, Any]]:
    """To order, packs and total of each line; the total of each other row, by what stands first in it."""
    found = {name: tuple(sheet.cell(row, col + 1).value for col in (PARTS["to_order"], PARTS["packs"], PARTS["line_total"])) for name, row in rows(sheet).items()}  # fmt: skip
    beside = {
        str(row[0].value): (None, None, row[PARTS["line_total"]].value)
        for row in sheet.iter_rows(min_row=3)
        if row[0].value
    }
    return {**beside, **found}  # type: ignore[dict-item]


def test_by_hand(tmp_path: Path) -> None:
    """8.00 + 2.40 + 4.00 of goods; Yard & Sons is brought up from 10.40 to 12.00, and 8.50 of freight: 24.50 in all."""
    given = report()
    assert given.buying.cost == pytest.approx(24.50)
    found = figures(recalculated(build_sheets(given)[0], tmp_path)[NAME])
    stored = figures(one_sheet(BytesIO(build_sheets(given)[0]), NAME, data_only=True))
    large, single, *washers = [line.key for line in given.parts]
    assert found[large] == (24, 2, 8.0)
    assert found[single] == (4, 4, 2.4)
    assert sorted(found[key][1] for key in washers) == [0, 1]
    assert found["Freight of Yard & Sons"][2] == 5.0
    assert found["Top-up to the minimum order of Yard & Sons"][2] == pytest.approx(1.6)
    assert found['Freight of The "Bin"'][2] == 3.5
    assert found['Top-up to the minimum order of The "Bin"'][2] == 0
    assert found["Total without tax"][2] == pytest.approx(24.5)
    assert {key: value for key, value in stored.items() if value[2] is not None} == {
        key: pytest.approx(value) for key, value in found.items() if value[2] is not None
    }


@pytest.mark.parametrize(("screws", "wide", "narrow"), [(4, 0, 0), (14, 4, 0), (24, 4, 4), (23.0, 3, 2)])
def test_what_the_user_has_on_hand(screws: float, wide: float, narrow: float, tmp_path: Path) -> None:
    """Typed in the sheet and worked out by LibreOffice, it leaves to order what a second run writes; that may buy it cheaper in
    other packs, never dearer."""
    given = report()
    keys = [line.key for line in given.parts if not line.rest_of]
    typed = dict(zip(keys, (screws, wide, narrow), strict=True))
    book = load_workbook(BytesIO(build_sheets(given)[0]))
    for key, row in rows(book[NAME]).items():
        if key in typed:
            book[NAME].cell(row, PARTS["on_hand"] + 1).value = typed[key]
    out = BytesIO()
    book.save(out)
    found = recalculated(out.getvalue(), tmp_path)
    kept = {key: {"on_hand": amount} for key, amount in typed.items()}
    again = load_workbook(BytesIO(build_sheets(report(kept), kept=kept)[0]), data_only=True)
    live, written = figures(found[NAME]), figures(again[NAME])
    assert [live[key][0] for key in keys] == [written[key][0] for key in keys]
    assert (live["Total without tax"][2] or 0) >= (written.get("Total without tax", (0, 0, 0))[2] or 0) - 1e-9


def quoted(sheet: Any) -> float:
    """The parts' subtotal on the Quote."""
    return next(row[TOTAL].value for row in sheet.iter_rows(min_row=3) if str(row[0].value).startswith("Parts, sub"))  # type: ignore[no-any-return]


def follows(typed: dict[str, str], tmp_path: Path, others: tuple[Terms, ...] = ()) -> tuple[Any, Any]:
    """The Parts list with suppliers typed beside lines: as LibreOffice works it out, and as a further check writes it."""
    job = Job({"corners": Value("corners", 2)}, prices=PRICES, terms=(*TERMS, *others))
    given = planned(job, NEEDS)
    book = load_workbook(BytesIO(build_sheets(given)[0]))
    for key, row in rows(book[NAME]).items():
        if key in typed:
            book[NAME].cell(row, PARTS["own_supplier"] + 1).value = typed[key]
    out = BytesIO()
    book.save(out)
    own = {key: {"own_supplier": name} for key, name in typed.items()}
    again = build_sheets(planned(replace(job, own=own), NEEDS), kept=own)[0]
    return recalculated(out.getvalue(), tmp_path), load_workbook(BytesIO(again), data_only=True)


def test_another_supplier_typed(tmp_path: Path) -> None:
    """The single screws (2.40) from the other one: 5.00 freight and 8.00 brought up to 12.00 here, 3.50 and 6.40 there."""
    single = next(line.key for line in report().parts if line.rest_of)
    for book in follows({single: 'the  "bin" '}, tmp_path):
        found = figures(book[NAME])
        assert found["Freight of Yard & Sons"][2] == 5.0
        assert found["Top-up to the minimum order of Yard & Sons"][2] == pytest.approx(4.0)
        assert found['Freight of The "Bin"'][2] == 3.5
        assert found["Total without tax"][2] == pytest.approx(8.0 + 2.4 + 4.0 + 5.0 + 4.0 + 3.5)


def test_nothing_left_for_a_supplier(tmp_path: Path) -> None:
    """All from Yard & Sons: the other asks for no freight and no least order. Checked again, washers that he does not list have
    no price, and a third pack of ten screws (12.00) costs no more than bringing 10.40 up to his least order."""
    washers = [line.key for line in report().parts if line.role == "washer"]
    books = follows(dict.fromkeys(washers, "YARD & SONS"), tmp_path)
    for book in books:
        found = figures(book[NAME])
        assert [
            found.get(words, (0, 0, 0))[2]
            for words in ('Freight of The "Bin"', 'Top-up to the minimum order of The "Bin"')
        ] == [0, 0]
        assert found["Freight of Yard & Sons"][2] == 5.0
        assert found["Top-up to the minimum order of Yard & Sons"][2] == 0
    assert quoted(books[0][QUOTE]) == pytest.approx(8.0 + 2.4 + 4.0 + 5.0)
    assert quoted(books[1][QUOTE]) == pytest.approx(12.0 + 5.0)


def test_a_supplier_of_whom_nothing_was_bought(tmp_path: Path) -> None:
    """Typed beside the single screws he asks for 2.00 and 30.00 at least: 29.60 more, in LibreOffice at once."""
    single = next(line.key for line in report().parts if line.rest_of)
    later = (Terms("Corner shop", 2.0, 30.0), Terms("Another", 9.0, 0.0))
    live, again = follows({single: "corner shop"}, tmp_path, later)
    assert figures(live[NAME])["Other suppliers, freight and minimum orders"][2] == pytest.approx(29.6)
    written = figures(again[NAME])
    assert written["Freight of Corner shop"][2] == 2.0
    assert written["Top-up to the minimum order of Corner shop"][2] == pytest.approx(27.6)
    assert written["Other suppliers, freight and minimum orders"][2] == 0
    assert figures(live[NAME])["Total without tax"][2] == pytest.approx(written["Total without tax"][2])
    assert quoted(live[QUOTE]) == pytest.approx(quoted(again[QUOTE]))


def test_a_part_without_a_source_from_a_known_supplier(tmp_path: Path) -> None:
    """Three bolts that nobody lists, typed at 1.50 from The "Bin": they count toward his least order."""
    job = Job({"corners": Value("corners", 2)}, prices=PRICES, terms=TERMS)
    needs = (*NEEDS[:1], Demand("bracket bolt", 3, said="bolt"))
    bolt = next(line.key for line in planned(job, needs).parts if line.role == "bracket bolt")
    kept: Entered = {bolt: {"own_supplier": 'The "Bin"', "own_price": 0.2}}
    data = build_sheets(planned(replace(job, own=kept), needs), kept=kept)[0]
    for book in (load_workbook(BytesIO(data), data_only=True), recalculated(data, tmp_path)):
        found = figures(book[NAME])
        assert found['Freight of The "Bin"'][2] == 3.5
        assert found['Top-up to the minimum order of The "Bin"'][2] == pytest.approx(2.0 - 6 * 0.2)
