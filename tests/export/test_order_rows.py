"""Which lines are ordered, and how what the shop typed in its Parts list counts. Hand counts on the hill-climb job."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from bomcheck.assess import assess
from bomcheck.commands.order import order
from bomcheck.commands.receive import receive_slip
from bomcheck.io.read.job import read_job
from bomcheck.model.line import ASK, NO_SOURCE, TO_ORDER
from bomcheck.model.report import Report
from bomcheck.paper.order_rows import left_out, order_rows, unpriced
from bomcheck.paper.parts_columns import IN_FILE
from tests.helpers.demo_jobs import TODAY, checked, hill_climb

HOSE, CLIP, FLUID = "hose @ brake line", "line clip @ line in its tab", "fluid @ job"


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return checked(hill_climb(tmp_path_factory.mktemp("job")))


def by_key(report: Report, kept: dict[str, dict[str, object]]) -> dict[str, dict[str, object]]:
    """What is ordered with these cells typed in the list, once the job is checked again."""
    return {str(one["line_key"]): one for one in order_rows(typed(report, kept))}


def typed(report: Report, kept: dict[str, dict[str, object]]) -> Report:
    """The report of the job with these cells typed in the list."""
    return assess(replace(report.job, own=kept), TODAY)


def test_only_what_is_bought_is_a_row(report: Report) -> None:
    """One row for each line to order, in their order; nothing of the kit, the car or the shelf."""
    assert [one["line_key"] for one in order_rows(report)] == [
        line.key for line in report.parts if line.status == TO_ORDER
    ]


def test_every_column_has_its_value(report: Report) -> None:
    """A column of the order file is filled from the row, blank or not."""
    row = {"job_number", "vehicle_label", "axle", *order_rows(report)[0]}
    lacking = [column.order for column in IN_FILE if column.order not in row]
    assert not lacking, f"give _row of bomcheck/paper/order_rows.py a value for each of {lacking}"


def test_packs_by_hand(report: Report) -> None:
    """Two clips come as one pack of four at 0.95 each: 3.80; 1.3 L of fluid as two litres at 12.60: 25.20."""
    found = by_key(report, {})
    clip, fluid = found[CLIP], found[FLUID]
    assert [clip[k] for k in ("quantity_needed", "packs", "quantity_ordered", "price_each", "line_total")] == [
        2,
        1,
        4,
        0.95,
        3.8,
    ]
    assert [fluid[k] for k in ("quantity_needed", "packs", "quantity_ordered", "line_total")] == [1.3, 2, 2, 25.2]


def test_what_is_on_hand_counts(report: Report) -> None:
    """0.4 L on hand leaves 0.9 L, one litre; two clips on hand leave nothing to order."""
    found = by_key(report, {FLUID: {"on_hand": 0.4}, CLIP: {"on_hand": "2"}})
    assert [found[FLUID][key] for key in ("quantity_needed", "packs")] == [0.9, 1]
    assert CLIP not in found


def test_own_price_and_note_rule(report: Report) -> None:
    """The price is that of a pack; the note is the shop's own."""
    found = by_key(report, {CLIP: {"own_price": 3.0, "own_price_per": "pack of 4", "own_note": "=call first"}})[CLIP]
    assert [found[key] for key in ("price_per_pack", "price_each", "line_total", "note")] == [
        3.0,
        0.75,
        3.0,
        "=call first",
    ]


def test_a_chosen_supplier_brings_his_own_number_and_price(report: Report) -> None:
    """Supplier A sells the same pads under another number for 118.50; capitals and spaces do not count."""
    pads = next(line.key for line in report.parts if line.role == "pad set" and line.status == TO_ORDER)
    assert by_key(report, {})[pads]["part_number"] == "P44-F2"
    found = by_key(report, {pads: {"own_supplier": "supplier  a"}})[pads]
    assert [found[key] for key in ("part_number", "price_per_pack", "lead_days")] == ["P44-F2-A", 118.5, 1]


def test_a_supplier_who_is_not_listed_gets_no_number_of_another(report: Report) -> None:
    """His number and price are not known; the line says what the part must be."""
    found = by_key(report, {HOSE: {"own_supplier": "The shop next door"}})[HOSE]
    assert [found[key] for key in ("part_number", "supplier", "price_per_pack")] == ["", "The shop next door", None]
    assert "M10x1.0 bubble female" in str(found["spec"])
    assert unpriced([found]) == ["braided hose, swivel nut, 430 mm"]


def test_no_source_is_named_until_a_supplier_is_typed(tmp_path: Path) -> None:
    """Without clips in the price list the line is left out by name; with a supplier of the shop's own it is ordered."""
    job = hill_climb(
        tmp_path,
        {"line clip      | LC-1      | spring clip for a line tab | Supplier A | 0.95 | pack_size 4 | lead_days 1": ""},
    )
    report = checked(job)
    line = next(one for one in report.parts if one.key == CLIP)
    assert line.status == NO_SOURCE
    assert [text for text in left_out(report) if text.startswith("2 x clip for the line's tab: no source known")]
    kept = {CLIP: {"own_supplier": "Corner shop", "own_price": 1.2}}
    again = typed(report, kept)
    assert next(one.status for one in again.parts if one.key == CLIP) == TO_ORDER
    assert left_out(again) == []
    found = by_key(report, kept)[CLIP]
    assert [found[key] for key in ("supplier", "packs", "line_total")] == ["Corner shop", 2, 2.4]


def test_what_must_be_asked_is_never_ordered(tmp_path: Path) -> None:
    """A line with an open question is named, also when a supplier stands beside it."""
    report = checked(hill_climb(tmp_path, {"line_end                10x1 bubble male\n": ""}))
    asked = [line for line in report.parts if line.status == ASK]
    assert asked
    kept = {line.key: {"own_supplier": "X"} for line in asked}
    assert not {line.key for line in asked} & set(by_key(report, kept))
    assert len(left_out(typed(report, kept))) >= len([line for line in asked if line.to_order])


def test_what_was_ordered_stays_ordered_while_days_pass(tmp_path: Path) -> None:
    """Needed in four days the three-day hose is bought. Two days later nothing of that kind could come in time any more: with
    the day of the order stated it is still the one that is waited for, and its slip is ticked off; without, another is bought."""
    needed = {"currency                EUR": "currency  EUR\nneeded_by  2026-11-29"}
    path = hill_climb(tmp_path, needed)
    first, later = date(2026, 11, 25), date(2026, 11, 27)
    job = read_job(path)[0]
    bought = [row["part_number"] for row in order_rows(assess(job, first))]
    assert "HS-BU-3-430" in bought
    assert [row["part_number"] for row in order_rows(assess(job, later))] != bought
    assert any("type 2026-11-25 under Ordered on" in one for one in order(path, tmp_path / "o.csv", first).remarks)
    stated = {"currency                EUR": "currency  EUR\nneeded_by  2026-11-29\nordered_on  2026-11-25"}
    path = hill_climb(tmp_path, stated)
    for day in (later, date(2026, 12, 3)):
        report = assess(read_job(path)[0], day)
        assert [row["part_number"] for row in order_rows(report)] == bought
        assert not [fault for fault in report.job.faults if fault.key == "needed_by"]
    (tmp_path / "slip.csv").write_text("Part no,Description,Qty\nHS-BU-3-430,hose,2\n")
    came = receive_slip(path, tmp_path / "slip.csv", later).text
    assert "Unknown" not in came
    assert "2 x braided hose" in came.split("Still to come")[0]


def test_the_needed_by_day_is_a_day(tmp_path: Path) -> None:
    """The Job sheet's day goes into every row."""
    report = checked(hill_climb(tmp_path, {"currency                EUR": "currency  EUR\nneeded_by  2026-12-24"}))
    assert {one["needed_by"] for one in order_rows(report)} == {date(2026, 12, 24)}
