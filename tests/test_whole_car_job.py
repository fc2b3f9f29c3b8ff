"""A car whose axles both get a kit: the same verdicts as two workbooks, one list of parts that is never dearer, one order.

The cars and prices are invented; what is counted once follows from the house's rules (common practice, no source).
"""

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from bomcheck.assess import assess
from bomcheck.car.checks import UNKNOWN, counts, word
from bomcheck.commands.check import STATUS, check_workbook
from bomcheck.commands.cli import main
from bomcheck.commands.order import order
from bomcheck.commands.receive import receive_slip
from bomcheck.demos import Demo, demo
from bomcheck.io.read.job import read_job
from bomcheck.model.errors import WorkbookError
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Part, Value
from bomcheck.model.line import NO_SOURCE, SURPLUS, TO_ORDER, Line
from bomcheck.model.report import Report
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict, worst
from bomcheck.paper.tick_list import tick_groups
from bomcheck.tables.fields import section_fields

TODAY = date(2026, 11, 25)
FRONTS = ("hill_climb_two_seater", "hatchback_too_strong", "camper_van")
SHARED = {field.key for section in ("job", "system") for field in section_fields(section)} - {"axle"}
NAME = "touring_coupe_both_axles"


@cache
def demo_job(name: str, folder: Path) -> Job:
    return read_job(demo(name).write(folder))[0]


@cache
def pair(name: str) -> tuple[Job, Job]:
    """A front and a rear axle that share Job sheet, System sheet and price list; nothing lies on the shelf."""
    front, rear = (read_job(Path("demo_workbooks") / f"{one}.xlsx")[0] for one in (name, "estate_rear_axle"))
    common = {key: value for key, value in front.values.items() if key in SHARED}
    prices = (*front.prices, *rear.prices)

    def of(job: Job, axle: str) -> Job:
        own = {key: value for key, value in job.values.items() if key not in SHARED}
        values = {**own, **common, "axle": Value("axle", axle)}
        box = tuple(replace(part, axle=axle) for part in job.box)
        return replace(job, values=values, box=box, prices=prices, terms=(*front.terms, *rear.terms), shelf=())

    return of(front, "front"), of(rear, "rear")


def as_one(front: Job, rear: Job) -> Job:
    """Both as one car."""
    values = {key: value for key, value in front.values.items() if key in SHARED}
    axles = tuple(replace(one, place=str(one.get("axle"))) for one in (front, rear))
    return replace(front, values=values, box=(*front.box, *rear.box), axles=axles)


def of_fit_alone(job: Job) -> Job:
    system = {field.key for field in section_fields("system")}
    return replace(job, values={key: value for key, value in job.values.items() if key not in system})


def cost(report: Report) -> float:
    assert report.buying.compared is None or report.buying.compared.plan.exact
    return 0.0 if report.buying.compared is None else report.buying.compared.plan.cost


def without(box: tuple[Part, ...], taken: frozenset[int]) -> tuple[Part, ...]:
    return tuple(part for number, part in enumerate(box) if number not in taken)


@settings(max_examples=15, deadline=None)
@given(
    st.sampled_from(FRONTS),
    st.frozensets(st.integers(0, 20), max_size=4),
    st.frozensets(st.integers(0, 20), max_size=4),
    st.floats(-0.3, 0.3),
    st.sampled_from(["both", "left"]),
)
def test_one_workbook_says_what_two_say_and_is_never_dearer(
    name: str, front_taken: frozenset[int], rear_taken: frozenset[int], larger: float, side: str
) -> None:
    """Random boxes, bores and corners in scope: every check has the same verdict, and the one purchase costs no more.

    Without the System sheet: with it two workbooks do not know of each other's kit, and the one may need another valve.
    """
    front, rear = (of_fit_alone(one) for one in pair(name))
    bore = front.values["hat_bore"]
    scope = {"corners": Value("corners", 2 if side == "both" else 1), "corner_side": Value("corner_side", side)}
    changed = {**front.values, **scope, "hat_bore": replace(bore, value=bore.value + larger)}
    front = replace(front, values=changed, box=without(front.box, front_taken))
    rear = replace(rear, values={**rear.values, **scope}, box=without(rear.box, rear_taken))
    car, alone = assess(as_one(front, rear), TODAY), [assess(one, TODAY) for one in (front, rear)]
    for axle, one in zip(car.axles, alone, strict=True):
        assert [(f.check, f.verdict, f.said) for f in axle.findings] == [
            (f.check, f.verdict, f.said) for f in one.findings
        ]
    counted = [finding.verdict for finding in car.system if counts(finding)]
    assert car.verdict is worst([*(axle.verdict for axle in car.axles), *counted])
    assert cost(car) <= sum(map(cost, alone)) + 1e-6


def needed(report: Report, role: str) -> float:
    return sum(line.needed for line in report.parts if line.role == role)


def test_what_is_for_the_whole_car_is_counted_once() -> None:
    """Two cans of cleaner a car; fluid for each axle poured from the same bottles: 2.6 L are 3 packs, not twice 2."""
    front, rear = pair("hill_climb_two_seater")
    car, alone = assess(as_one(front, rear), TODAY), [assess(one, TODAY) for one in (front, rear)]
    assert (needed(car, "cleaner"), [needed(one, "cleaner") for one in alone]) == (2, [2, 2])
    assert needed(car, "fluid") == pytest.approx(sum(needed(one, "fluid") for one in alone)) == pytest.approx(2.6)
    (fluid,) = [line for line in car.parts if line.role == "fluid"]
    assert (fluid.packs, fluid.axle) == (3, "")


def by_key(report: Report) -> Mapping[str, Line]:
    return {line.key: line for line in report.parts if line.status != SURPLUS}


@pytest.fixture(scope="module")
def coupe() -> Job:
    return read_job(Path("demo_workbooks") / f"{NAME}.xlsx")[0]


def test_each_line_of_either_box_that_is_taken_out_is_asked_for_and_nothing_else(coupe: Job) -> None:
    """Drop one over the car: the line of that part, of its own axle, and no other line changes its quantities."""
    whole = by_key(assess(coupe, TODAY))
    used = {part for part in coupe.box if part.role not in ("shim",)}
    for part in used:
        found = by_key(assess(replace(coupe, box=tuple(one for one in coupe.box if one is not part)), TODAY))
        assert found.keys() >= whole.keys()
        asked = [line for key, line in found.items() if not line.rest_of and line.to_order != whole[key].to_order]
        assert {line.role for line in asked} == {part.role}, part
        assert {line.axle for line in asked} == {part.axle}, part
        assert all(line.status in (TO_ORDER, NO_SOURCE) for line in asked), part
        assert sum(line.to_order - whole[line.key].to_order for line in asked) == part.quantity, part


def test_one_kit_s_box_serves_its_own_axle_alone(coupe: Job) -> None:
    """A rear sealing washer of the front's size lies in the rear box: the front does not take it."""
    boxed = [part for part in coupe.box if (part.role, part.axle) == ("sealing washer", "front")]
    moved = tuple(replace(part, axle="rear") if part in boxed else part for part in coupe.box)
    lines = [line for line in assess(replace(coupe, box=moved), TODAY).parts if line.role == "sealing washer"]
    assert [line.to_order > 0 for line in lines if line.axle == "front"] == [True]


def test_both_axles_are_judged_as_they_will_be(coupe: Job) -> None:
    """With the rear kit in, the front scene's rear brake is the kit's and not the present one."""
    system = {finding.title: finding for finding in assess(coupe, TODAY).system}
    alone = {finding.title: finding for finding in assess(coupe.axles[0], TODAY).system}
    title = "Front axle's share of the braking"
    assert system[title].value is not None
    assert alone[title].value is not None
    assert system[title].value.middle < alone[title].value.middle
    assert "Rear rotor after one stop" in system


def test_one_order_holds_both_axles_and_a_second_run_adds_nothing(tmp_path: Path) -> None:
    """One file, one owner; each line says where its parts go: rear seals are the rear axle's, fluid is both axles'."""
    path = demo(NAME).write(tmp_path)
    into = tmp_path / "order.csv"
    order(path, into, TODAY)
    first = into.read_text("utf-8")
    order(path, into, TODAY)
    assert into.read_text("utf-8") == first
    assert "rear hub" in first
    axles = axles_of(into)
    assert (axles["SE-5572"], axles["BF-4-1"], axles["CP-440"]) == ("rear", "front and rear", "rear")


def axles_of(table: Path) -> dict[str, str]:
    """Which axle each part number of a CSV of ours is for."""
    with table.open(encoding="utf-8-sig", newline="") as lines:
        return {row["part_number"]: row["axle"] for row in csv.DictReader(lines)}


@pytest.mark.parametrize("listed", [True, False])
@pytest.mark.parametrize("column", [True, False])
def test_each_axle_s_lines_are_known_again_in_the_shop_s_sheet(tmp_path: Path, column: bool, listed: bool) -> None:
    """With a column for the axle or by the description; with the list of what was written or without."""
    path, into, table = demo(NAME).write(tmp_path), tmp_path / "shop.xlsx", tmp_path / "order.csv"
    book = Workbook()
    book.active.append(["Part no", "Description", "Qty", "Job", *(["Axle"] if column else [])])
    book.save(into)
    order(path, table, TODAY)
    order(path, into, TODAY)
    cells = [[cell.value for cell in row] for row in load_workbook(into).active.iter_rows(min_row=2)]
    said = {row[0]: row[4] if column else row[1].split(", ")[-1].removesuffix(" axle") for row in cells}
    assert said == axles_of(table)
    if not listed:
        (tmp_path / "shop.xlsx.columns.json").unlink()
    again = order(path, into, TODAY)
    assert "0 lines added" in " ".join(again.said)
    assert not again.remarks


def test_one_slip_is_ticked_off_over_both_axles(tmp_path: Path) -> None:
    """A front ring of the box and rear seals of the order come in one parcel; booked once, and kept at the next check."""
    path, slip = demo(NAME).write(tmp_path), tmp_path / "slip.csv"
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    slip.write_text("part number,description,quantity\nTF-R330L,ring left,1\nSE-5572,shaft seal,2\n", "utf-8")
    done = receive_slip(path, slip, TODAY)
    assert "Wrong" not in done.text
    assert "1 x friction ring 330 x 28, left [TF-R330L]" in done.text.split("Still to come")[0]
    again = receive_slip(path, slip, TODAY)
    assert "booked before" in again.text
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    own = read_job(path)[0].own
    got = {key: typed["received"] for key, typed in own.items() if "received" in typed}
    assert sorted((key.split(", ")[1], count) for key, count in got.items()) == [("front", 1.0), ("rear", 2.0)]


def test_keep_files_the_kit_of_each_axle(tmp_path: Path) -> None:
    """Both kits and both corners go into the records, and a second time changes nothing."""
    path, records = demo(NAME).write(tmp_path), tmp_path / "records.xlsx"
    run = CliRunner()
    assert "rows added" in run.invoke(main, ["keep", str(path), "--in", str(records)]).stdout
    texts = {str(cell.value) for sheet in load_workbook(records) for row in sheet.iter_rows() for cell in row}
    assert {"TF-330", "front", "rear"} <= texts
    assert "holds all of this already" in run.invoke(main, ["keep", str(path), "--in", str(records)]).stdout


def test_the_workbook_has_each_axle_s_sheets_and_the_car_s_once(tmp_path: Path) -> None:
    """Compatibility for the car and for each axle; one Parts list, Quote, Fit-up and Whole car; bleeding once."""
    path = demo(NAME).write(tmp_path)
    done = check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    assert done.status == 0
    book = load_workbook(path)
    for name in ("Compatibility", "Shims", "Measure next", "Drawing", "Brake line"):
        assert {f"{name} front", f"{name} rear left", f"{name} rear right"} <= set(book.sheetnames)
    assert [name for name in book.sheetnames if name.startswith(("Parts list", "Quote", "Fit-up", "Whole car"))] == [
        "Parts list", "Quote", "Fit-up and test", "Whole car",
    ]  # fmt: skip
    steps = [str(row[1].value) for row in book["Fit-up and test"].iter_rows()]
    assert steps.count("Bleed") == 1
    assert "Rear left: put the rotor on" in steps
    labour = [str(row[0].value) for row in book["Quote"].iter_rows()]
    assert sum(text.startswith("Bleed the system") for text in labour) == 1
    again = check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    assert (again.status, len(load_workbook(path).sheetnames)) == (0, len(book.sheetnames))


def faults(made: Demo, folder: Path) -> list[str]:
    return [str(fault) for fault in read_job(made.write(folder))[0].faults]


def test_what_the_box_denies_is_named_on_its_own_axle_s_sheet(tmp_path: Path) -> None:
    """A screw's length in the rear box against the rear kit's field: the fault names "Box contents rear", a sheet that is there."""
    path = tmp_path / "car.xlsx"
    book = load_workbook(folder("demo_workbooks") / "touring_coupe_both_axles.xlsx")
    sheet = book["Box contents rear"]
    column = next(cell.column for cell in sheet[2] if str(cell.value).startswith("Length"))
    row = next(cells[0].row for cells in sheet.iter_rows(min_row=3) if cells[0].value == "bracket screw")
    sheet.cell(row, column).value = 99
    book.save(path)
    (fault,) = (one for one in read_job(path)[0].faults if "is 99 mm" in one.wrong)
    assert f"Box contents rear!{sheet.cell(row, column).coordinate}" in fault.wrong


def test_a_kit_without_its_corner_is_refused_in_one_line(tmp_path: Path) -> None:
    """Half of an axle: the sheet that is missing is named."""
    path = demo(NAME).write(tmp_path)
    book = load_workbook(path)
    del book["Corner rear"], book["Corner rear left"]
    book.save(path)
    with pytest.raises(WorkbookError) as refused:
        read_job(path)
    assert 'there is no sheet named "Corner rear"' in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_corner_of_an_axle_that_gets_no_kit_is_named_and_the_other_axle_judged(tmp_path: Path) -> None:
    """The rear kit taken out: the front is checked alone, and what was typed for the rear is said not to be used."""
    path = demo(NAME).write(tmp_path)
    book = load_workbook(path)
    del book["Kit rear"]
    book.save(path)
    job, _ = read_job(path)
    assert (job.get("axle"), job.axles) == ("front", ())
    unused = [str(fault) for fault in job.faults if "this sheet was not used" in str(fault)]
    assert len(unused) == 3
    assert all('there is no "Kit rear"' in text for text in unused)


def test_a_sheet_of_no_axle_beside_those_of_the_axles_is_named(tmp_path: Path) -> None:
    """A plain Kit sheet left in: which axle is it of?"""
    path = demo(NAME).write(tmp_path)
    book = load_workbook(path)
    book.create_sheet("Kit")
    book.save(path)
    said = [str(fault) for fault in read_job(path)[0].faults if fault.stops]
    assert len(said) == 1
    assert 'Rename it to "Kit front" or "Kit rear"' in said[0]


def test_an_axle_on_the_job_sheet_that_has_no_kit_is_named(tmp_path: Path) -> None:
    """The Job sheet says rear, but the sheets are the front's alone."""
    made = demo(NAME)
    sheets = {name: text for name, text in made.sheets.items() if "rear" not in name}
    sheets["job"] = f"{sheets['job']}axle  rear\n"
    said = faults(replace(made, sheets=sheets), tmp_path)
    assert len(said) == 1
    assert 'there is no "Kit rear"' in said[0]


def with_values(job: Job, **values: object) -> Job:
    """The same car with other values in every sheet; None for a blank."""

    def of(one: Job) -> Job:
        kept = {key: value for key, value in one.values.items() if key not in values}
        return replace(one, values={**kept, **{k: Value(k, v) for k, v in values.items() if v is not None}})

    return replace(of(job), axles=tuple(of(one) for one in job.axles))


def test_brakes_that_are_not_safe_count_in_the_verdict_and_the_exit_status(coupe: Job, tmp_path: Path) -> None:
    """A stroke that no master cylinder cures; rear wheels that lock first and braking below the rules' curve: status 1.

    Directive 71/320/EEC, annex II, for the order of locking; UN R13-H, annex 5, from memory, for the curve.
    """
    made = demo("hatchback_too_strong")
    system = re.sub(r"(?m)^(pad_clearance|master_stroke_front) .*$", "", made.sheets["system"])
    system += "\npad_clearance 0.78\nmaster_stroke_front 6\n"
    path = replace(made, sheets={**made.sheets, "system": system}).write(tmp_path)
    done = check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    assert (done.report.verdict, done.status) == (Verdict.DOES_NOT_FIT, 1)
    assert [one.check for one in done.report.deciding] == ["master_stroke"]
    front, *rears = coupe.axles
    weak = with_values(front, caliper_bores=(20.0,))
    strong = [with_values(one, caliper_bores=(50.0,), pad_friction=0.5) for one in rears]
    report = assess(replace(coupe, axles=(weak, *strong)), TODAY)
    assert {one.check for one in report.deciding} == {"lock_order", "rate_rule"}
    assert STATUS[report.verdict] == 1


@pytest.mark.parametrize("name", ["hatchback_too_strong", NAME, "camper_van"])
@pytest.mark.parametrize("grip", [True, False])
def test_a_blank_deceleration_is_judged_at_the_tyres_grip_and_said_once(name: str, grip: bool) -> None:
    """No more is open than with the stop on that grip typed in; where the grip is blank too, that of a usual road tyre."""
    job = read_job(Path("demo_workbooks") / f"{name}.xlsx")[0]
    usual = float(job.get("tyre_friction")) if grip else 0.9
    own = {} if grip else {"tyre_friction": None}
    blank = assess(with_values(job, design_deceleration=None, **own), TODAY).system
    typed = assess(with_values(job, design_deceleration=usual * 9.80665, tyre_friction=usual), TODAY).system
    asking = [one for one in blank if "design_deceleration" in one.asks]
    assert [one.check for one in asking] == ["stop_asked"]
    assert asking[0].said.startswith("Blank: the stop on all of the ")

    def unknown(found: Sequence[Finding]) -> list[str]:
        return [one.check for one in found if word(one) == UNKNOWN]

    assert unknown(blank) == unknown(typed)


def test_the_tick_list_has_each_box_for_itself(coupe: Job) -> None:
    """What lies in the front kit's box and in the rear kit's; what is bought stands once for the car."""
    report = assess(coupe, TODAY)
    groups = dict(tick_groups(report.parts))
    for axle in ("front", "rear"):
        ticks = groups[f"In the {axle} kit's box"]
        assert {one.line.axle for one in ticks} == {axle}
        assert sum(one.quantity for one in ticks) == sum(
            line.in_kit for line in report.parts if line.axle == axle and line.status != SURPLUS
        )
    assert "In the kit's box" not in groups
    assert [title for title in groups if title.startswith("From Supplier A")] == ["From Supplier A"]


def test_two_cars_of_one_customer_stand_in_one_order_file(tmp_path: Path) -> None:
    """Same customer and job number, two cars: each keeps its lines, and ordering one again changes nothing of the other."""
    made, into = demo(NAME), tmp_path / "order.csv"
    paths = []
    for name in ("Touring coupe, hers", "Touring coupe, his"):
        job = re.sub(r"(?m)^vehicle_label .*$", f"vehicle_label  {name}", made.sheets["job"])
        (tmp_path / name).mkdir()
        paths.append(replace(made, sheets={**made.sheets, "job": job}).write(tmp_path / name))
    for path in paths:
        order(path, into, TODAY)
    first = into.read_text("utf-8")
    lines = first.strip().splitlines()[1:]
    hers, his = ([line for line in lines if name in line] for name in ("hers", "his"))
    assert len(hers) == len(his) == len(lines) / 2 > 0
    order(paths[0], into, TODAY)
    assert sorted(into.read_text("utf-8").splitlines()) == sorted(first.splitlines())
    book = load_workbook(paths[0])
    next(row for row in book["On hand"].iter_rows() if row[0].value == "fluid")[3].value = 0
    book.save(paths[0])
    order(paths[0], into, TODAY)
    now = into.read_text("utf-8").strip().splitlines()[1:]
    assert sorted(line for line in now if "his" in line) == sorted(his)
    changed = [line for line in now if "hers" in line and line not in hers]
    assert [('"fluid"' in line, ",2.6," in line) for line in changed] == [(True, True)]


def test_what_is_found_on_one_corner_is_not_the_other_s(tmp_path: Path) -> None:
    """Left and right differ; the ear is measured on the left alone: the right still asks, also after the next check."""
    path = demo("hill_climb_two_seater").write(tmp_path)
    book = load_workbook(path)
    for side, ear in (("left", 65.0), ("right", 66.6)):
        sheet = book.copy_worksheet(book["Corner"])
        sheet.title = f"Corner {side}"
        for row in sheet.iter_rows(min_row=3, min_col=1, max_col=5):
            for cell in row[1:]:
                cell.value = ear if row[0].value == "Ear face position" and cell.column == 2 else None
    next(row for row in book["Corner"].iter_rows() if row[0].value == "Ear thickness")[1].value = None
    book.save(path)
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    book = load_workbook(path)
    assert {"Shims left", "Shims right", "Compatibility", "Compatibility left"} <= set(book.sheetnames)
    sheet = book["Measure next left"]
    heads = {str(cell.value): cell.column for row in sheet.iter_rows(max_row=4) for cell in row}
    (asked,) = [row[0].row for row in sheet.iter_rows() if row[heads["Line"] - 1].value == "measure left ear_thickness"]
    sheet.cell(asked, heads["Found"]).value = 14
    book.save(path)
    for _ in range(2):
        report = check_workbook(path, out=None, write=True, backup=False, today=TODAY).report
        left, right = report.axles
        assert (left.job.get("ear_thickness"), right.job.get("ear_thickness")) == (14, None)
        assert "ear_thickness" not in {one.key for one in left.questions}
        assert "ear_thickness" in {one.key for one in right.questions}
        (asked_for,) = [one.ask for one in report.questions if one.key == "ear_thickness"]
        assert asked_for.startswith("Right corner: ")


def test_what_is_the_same_on_both_corners_is_said_once(coupe: Job) -> None:
    """The rear shoes and parts of left and right: one sentence each, under both names; the front has its own."""
    report = assess(coupe, TODAY)
    titles = [one.title for one in report.deciding]
    assert titles == ["Rear left and right: parking-brake shoes in the hat", "Rear left and right: parts complete"]
    told = [one.title for one in report.told]
    assert len(told) == len(set(told))
    assert {title.split(":")[0] for title in told} >= {"Front axle", "Rear left and right"}


def test_a_corner_of_an_axle_that_gets_no_kit_is_named(tmp_path: Path) -> None:
    """In a job of one axle a sheet "Corner rear" is not read, and that is said in one line; the verdict stays what it was."""
    path = tmp_path / "job.xlsx"
    book = load_workbook(folder("demo_workbooks") / "camper_van.xlsx")
    book.copy_worksheet(book["Corner"]).title = "Corner rear"
    book.save(path)
    done = CliRunner().invoke(main, ["check", str(path), "--out", str(tmp_path / "out.xlsx")])
    assert done.exit_code == 0
    named = [line for line in done.stderr.splitlines() if "Corner rear" in line]
    assert len(named) == 1
    assert 'this sheet was not used; there is no "Kit rear"' in named[0]


def test_a_second_car_in_the_file_is_named_once(tmp_path: Path) -> None:
    """Lines of one axle and of both are one order of one car."""
    first, second, into = tmp_path / "a", tmp_path / "b", tmp_path / "order.csv"
    first.mkdir()
    second.mkdir()
    order(demo(NAME).write(first), into, TODAY)
    made = demo(NAME)
    sheets = {name: text.replace("TC-2203", "TC-2204") for name, text in made.sheets.items()}
    done = order(replace(made, sheets=sheets).write(second), into, TODAY)
    said = " ".join(done.said)
    assert said.count("TC-2203") == 1
    assert "TC-2203, front and rear" in said


def test_a_blank_car_says_that_nothing_is_filled_in(tmp_path: Path) -> None:
    """As a blank job of one axle does; not 146 checks that are not known."""
    path = tmp_path / "both.xlsx"
    assert CliRunner().invoke(main, ["new", str(path), "--both"]).exit_code == 0
    done = CliRunner().invoke(main, ["check", str(path)])
    assert done.exit_code == 4
    assert "nothing is filled in yet" in done.stderr
