"""The shop's records: typed once, joined with what is measured later, never silently replaced."""

import csv
import os
import random
import signal
import subprocess
import time
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner

from bomcheck.assess import assess
from bomcheck.commands.cli import main
from bomcheck.io.blank.template import build_job_workbook
from bomcheck.io.read.job import read_job
from bomcheck.io.records.keep import keep
from bomcheck.io.records.start import filled_from
from bomcheck.io.records.tables import CORNERS, KITS, NOT_AGREED, open_records
from bomcheck.model.errors import WorkbookError
from bomcheck.model.job import Job, Terms, Value
from bomcheck.model.shipped import folder
from bomcheck.model.types import BoltCircle, LineEnd, Thread
from tests.hard_ground.running import command, environment, run
from tests.hard_ground.running import demo as demo_file
from tests.helpers.one_sheet import one_sheet

DEMOS = sorted(path.name for path in folder("demo_workbooks").glob("*.xlsx") if "both_axles" not in path.name)
DAY = date(2026, 3, 2)


def demo(name: str) -> Job:
    return read_job(folder("demo_workbooks") / name)[0]


def started(records: Path, tmp_path: Path, job: Job) -> Job:
    """A new job out of the records, by the names of this one."""
    made = BytesIO()
    chosen = {
        "kit": f"{job.get('kit_number')} {job.get('kit_revision') or ''}".strip(),
        "car": str(job.get("vehicle_label")),
    }
    build_job_workbook("metric", filled_from(records, axle=str(job.get("axle")), **chosen), made)
    path = tmp_path / "started.xlsx"
    path.write_bytes(made.getvalue())
    return read_job(path)[0]


@pytest.mark.parametrize("name", DEMOS)
def test_what_is_kept_comes_back(name: str, tmp_path: Path) -> None:
    """Kit, corner, wheel and box of every demo: the same values, ±, box and verdict."""
    job, records = demo(name), tmp_path / "records.xlsx"
    keep(job, records, DAY)
    again = started(records, tmp_path, job)
    assert not [fault for fault in again.faults if fault.stops]
    for key, value in again.values.items():
        if isinstance(value.value, float):
            assert value.value == pytest.approx(job.values[key].value, rel=1e-4, abs=1e-3), key
            assert value.plus_minus == pytest.approx(job.values[key].plus_minus, rel=1e-3, abs=1e-4), key
        elif isinstance(value.value, Thread | LineEnd | BoltCircle):
            assert value.value.name == job.values[key].value.name
    assert [(part.role, part.part_number, part.quantity) for part in again.box] == [
        (part.role, part.part_number, part.quantity) for part in job.box
    ]
    assert [(one.supplier, one.freight, one.minimum) for one in again.terms] == [
        (one.supplier, one.freight, one.minimum) for one in job.terms
    ]
    assert assess(again).verdict is assess(job).verdict


def test_other_terms_of_a_supplier_are_named_and_not_taken(tmp_path: Path) -> None:
    """Freight of 9.50 is kept; a job that says 12 is told so, and the least order that was blank stays blank."""
    job, records = demo("hill_climb_two_seater.xlsx"), tmp_path / "records.xlsx"
    keep(replace(job, terms=(Terms("Supplier A", 9.5),)), records, DAY)
    said = keep(replace(job, terms=(Terms("Supplier A", 12.0, 40.0),)), records, DAY).said
    assert said[0].startswith("Supplier terms, Supplier A: ")
    assert "9.5 is kept, the job says 12" in said[0]
    assert [(one.supplier, one.freight, one.minimum) for one in started(records, tmp_path, job).terms] == [
        ("Supplier A", 9.5, 0.0)
    ]


@pytest.mark.parametrize("name", DEMOS)
def test_twice_changes_no_byte(name: str, tmp_path: Path) -> None:
    """Filing the same job again writes nothing and says nothing."""
    records = tmp_path / "records.xlsx"
    keep(demo(name), records, DAY)
    before = records.read_bytes()
    kept = keep(demo(name), records, date(2026, 3, 3))
    assert (kept.added, kept.changed, kept.said) == (0, 0, [])
    assert records.read_bytes() == before


def with_size(job: Job, key: str, value: float, half: float) -> Job:
    return replace(job, values={**job.values, key: replace(job.values[key], value=value, plus_minus=half)})


def test_two_measurements_that_agree_narrow_the_size(tmp_path: Path) -> None:
    """16.0 ±0.2 and 16.15 ±0.1 can both be true from 16.05 to 16.20: 16.125 ±0.075."""
    job, records = demo(DEMOS[0]), tmp_path / "records.xlsx"
    keep(with_size(job, "ear_thickness", 16.0, 0.2), records, DAY)
    kept = keep(with_size(job, "ear_thickness", 16.15, 0.1), records, DAY)
    row = open_records(records).rows[CORNERS][0]
    assert (row.cells["Ear thickness"], row.cells["Ear thickness ±"]) == (16.125, 0.075)
    assert len(kept.said) == 1
    assert "was 16 ±0.2" in kept.said[0]


def test_two_measurements_that_do_not_agree_are_both_shown(tmp_path: Path) -> None:
    """The older one stays; the row says what the job said."""
    job, records = demo(DEMOS[0]), tmp_path / "records.xlsx"
    keep(with_size(job, "ear_thickness", 16.0, 0.1), records, DAY)
    kept = keep(with_size(job, "ear_thickness", 18.0, 0.1), records, DAY)
    row = open_records(records).rows[CORNERS][0]
    assert row.cells["Ear thickness"] == 16.0
    assert "16 ±0.1 is kept, the job says 18 ±0.1" in row.text(NOT_AGREED)
    assert len(kept.said) == 1


def test_a_kits_revision_is_part_of_its_name(tmp_path: Path) -> None:
    """Another revision is another row."""
    job, records = demo(DEMOS[0]), tmp_path / "records.xlsx"
    keep(job, records, DAY)
    newer = replace(job.values["kit_number"], key="kit_revision", value="Z9", typed="Z9")
    kept = keep(replace(job, values={**job.values, "kit_revision": newer}), records, DAY)
    was = job.get("kit_revision") or "none stated"
    assert f"the job's revision is Z9, kept was {was}; both are kept" in kept.said[0]
    assert len(open_records(records).rows[KITS]) == 2
    with pytest.raises(WorkbookError) as twice:
        filled_from(records, kit=str(job.get("kit_number")))
    assert "times" in str(twice.value)


def test_a_name_that_is_not_there_is_answered_with_those_that_are(tmp_path: Path) -> None:
    """One line, exit status 4."""
    records = tmp_path / "records.xlsx"
    keep(demo(DEMOS[0]), records, DAY)
    done = CliRunner().invoke(main, ["new", str(tmp_path / "n.xlsx"), "--from", str(records), "--kit", "none such"])
    assert done.exit_code == 4
    assert str(demo(DEMOS[0]).get("kit_number")) in done.output
    assert not (tmp_path / "n.xlsx").exists()


def test_two_rows_of_one_kit_are_named(tmp_path: Path) -> None:
    """Number and revision twice: nobody guesses which of the two is right; nothing is written, whoever asks."""
    records, job = tmp_path / "records.xlsx", demo(DEMOS[0])
    keep(job, records, DAY)
    book = openpyxl.load_workbook(records)
    last = [cell.value for cell in book["Kits"][book["Kits"].max_row]]
    book["Kits"].append(last)
    book.save(records)
    before = records.read_bytes()
    for read in (lambda: filled_from(records, kit=str(job.get("kit_number"))), lambda: keep(job, records, DAY)):
        with pytest.raises(WorkbookError) as twice:
            read()
        assert str(twice.value).count("\n") == 0
        assert "Make one row of the two" in str(twice.value)
    assert records.read_bytes() == before


def test_two_rows_of_the_shop_are_named(tmp_path: Path) -> None:
    """Another hourly rate in a second row: neither is taken, one line names both; the same again, and a blank, are no doubt."""
    job, records = demo("camper_van.xlsx"), tmp_path / "records.xlsx"
    own = {"currency": "EUR", "labour_rate": 95.0}
    keep(replace(job, values={**job.values, **{k: Value(k, v, 0.0, f"{v}") for k, v in own.items()}}), records, DAY)
    book = openpyxl.load_workbook(records)
    heads = [cell.value for cell in book["Shop"][1]]
    rate = next(at for at, one in enumerate(heads, start=1) if one and "rate" in str(one).lower())
    book["Shop"].append(["95" if at == rate else None for at, _ in enumerate(heads, start=1)])
    book.save(records)
    assert filled_from(records)["job"]["labour_rate"] in (95.0, "95")
    book["Shop"].append([110.0 if at == rate else None for at, _ in enumerate(heads, start=1)])
    book.save(records)
    with pytest.raises(WorkbookError) as twice:
        filled_from(records)
    assert str(twice.value).startswith(
        f"records.xlsx: Shop: {heads[rate - 1]} stands there 2 times: 95, 110. Keep one row there"
    )
    run = CliRunner().invoke(main, ["new", str(tmp_path / "n.xlsx"), "--from", str(records)])
    assert run.exit_code == 4
    assert not (tmp_path / "n.xlsx").exists()


def test_own_columns_rows_and_sheets_stay(tmp_path: Path) -> None:
    """A column and a sheet of the shop's own, and a row typed by hand."""
    records = tmp_path / "records.xlsx"
    keep(demo(DEMOS[0]), records, DAY)
    book = openpyxl.load_workbook(records)
    kits = book["Kits"]
    kits.cell(1, kits.max_column + 1).value = "Shelf"
    kits.cell(3, kits.max_column).value = "B 12"
    kits.cell(4, 1).value = "TYPED-1"
    book.create_sheet("Notes")["A1"] = "ours"
    book.save(records)
    keep(demo(DEMOS[1]), records, DAY)
    after = open_records(records)
    assert after.rows[KITS][0].text("Shelf") == "B 12"
    assert [row.text("Kit number") for row in after.rows[KITS]][1] == "TYPED-1"
    assert one_sheet(records, "Notes")["A1"].value == "ours"


def test_a_job_without_names_is_refused(tmp_path: Path) -> None:
    """Records are found again by kit number, car and axle."""
    job = demo(DEMOS[0])
    values = {key: value for key, value in job.values.items() if key != "kit_number"}
    with pytest.raises(WorkbookError) as bad:
        keep(replace(job, values=values), tmp_path / "records.xlsx", DAY)
    assert "Kit number" in str(bad.value)
    assert not (tmp_path / "records.xlsx").exists()


def test_all_demos_in_one_file(tmp_path: Path) -> None:
    """Many kits and cars; each starts its own job."""
    records = tmp_path / "records.xlsx"
    for name in DEMOS:
        keep(demo(name), records, DAY)
    for name in DEMOS:
        job = demo(name)
        assert started(records, tmp_path, job).get("kit_number") == job.get("kit_number")


def test_screening_reads_the_records(tmp_path: Path) -> None:
    """One file for both tables: every kept car's axle against every kept kit, with the verdict that `check` gives the job
    with its box."""
    records, out = tmp_path / "records.xlsx", tmp_path / "out.csv"
    names = ("camper_van", "estate_rear_axle", "half_measured_coupe")
    jobs = [demo(f"{name}.xlsx") for name in names]
    for job in (*jobs, replace(jobs[1], values={**jobs[1].values, "axle": Value("axle", "front")})):
        keep(job, records, DAY)
    done = CliRunner().invoke(main, ["screen", str(records), str(records), "--out", str(out)])
    assert done.exit_code == 0
    assert done.stderr.startswith("12 pairs: ")
    rows = list(csv.DictReader(out.read_text("utf-8-sig").splitlines()))
    assert len(rows) == 4 * 3
    label = str(jobs[1].get("vehicle_label"))
    assert {row["corner"] for row in rows} >= {f"{label}, front", f"{label}, rear"}
    for job in jobs:
        named = {str(job.get("vehicle_label")), f"{job.get('vehicle_label')}, {job.get('axle')}"}
        (row,) = (one for one in rows if one["corner"] in named and one["kit"] == job.get("kit_number"))
        kept = assess(started(records, tmp_path, job))
        assert row["verdict"] == str(kept.verdict)


def test_the_letterhead_is_typed_once(tmp_path: Path) -> None:
    """Head, currency, tax and hourly rate of the shop begin the next job, and head its quote; another figure is named, not taken."""
    job, records, path = demo("camper_van.xlsx"), tmp_path / "records.xlsx", tmp_path / "next.xlsx"
    own = {"shop_letterhead": "Hill Works, 3 Pit Lane", "currency": "EUR", "tax_percent": 19.0, "labour_rate": 95.0}
    values = {**job.values, **{key: Value(key, value, 0.0, f"{value}") for key, value in own.items()}}
    keep(replace(job, values=values), records, DAY)
    other = {**values, "labour_rate": Value("labour_rate", 110.0, 0.0, "110")}
    (said,) = keep(replace(job, values=other), records, DAY).said
    assert said.startswith("Shop: ")
    assert "95" in said
    assert "110" in said
    run = CliRunner().invoke(main, ["new", str(path), "--from", str(records), "--kit", str(job.get("kit_number"))])
    assert run.exit_code == 0, run.output
    assert {key: read_job(path)[0].get(key) for key in own} == own
    CliRunner().invoke(main, ["check", str(path)])
    assert "Hill Works" in str(list(one_sheet(path, "Quote").iter_rows(max_row=3, values_only=True)))


def test_twenty_kits_and_cars_are_kept_and_used_again(tmp_path: Path) -> None:
    """Twenty of each in one file: every pair begins a job with that car's and that kit's own sizes; kept again, no byte changes."""
    records, base = tmp_path / "records.xlsx", demo("camper_van.xlsx")
    jobs = []
    for number in range(20):
        named = {"kit_number": f"TK-{number:02}", "vehicle_label": f"Van {number}, trial"}
        sizes = {"hat_bore": 66.0 + number / 100, "ear_thickness": 14.0 + number / 10}
        values = {key: Value(key, text, 0.0, text) for key, text in named.items()}
        values |= {key: replace(base.values[key], value=size, typed=f"{size:g}") for key, size in sizes.items()}
        jobs.append(replace(base, values={**base.values, **values}))
        keep(jobs[-1], records, DAY)
    before = records.read_bytes()
    for job in jobs:
        assert (keep(job, records, DAY).added, keep(job, records, DAY).changed) == (0, 0)
    assert records.read_bytes() == before
    for number in range(20):
        kit, car = jobs[number], jobs[(number * 7 + 3) % 20]
        values = {**car.values, "kit_number": kit.values["kit_number"]}
        begun = started(records, tmp_path, replace(car, values=values))
        assert begun.get("hat_bore") == pytest.approx(kit.get("hat_bore"))
        assert begun.get("ear_thickness") == pytest.approx(car.get("ear_thickness"))


def test_several_kits_of_the_records_begin_a_job_that_compares_them(tmp_path: Path) -> None:
    """What `keep` filed of three kits comes back as three kits, each with its box; the car as it was."""
    records, path = tmp_path / "records.xlsx", tmp_path / "next.xlsx"
    job = demo("hatchback_which_kit.xlsx")
    for one in (job, *job.kits):
        keep(one, records, DAY)
    numbers = ["BK-330-6", "BK-330-4", "BK-345-4"]
    asked = [text for number in numbers for text in ("--kit", number)]
    car = str(job.get("vehicle_label"))
    run = CliRunner().invoke(main, ["new", str(path), "--from", str(records), "--car", car, *asked])
    assert run.exit_code == 0, run.output
    again = read_job(path)[0]
    found = {one.get("kit_number"): one for one in (again, *again.kits)}
    assert list(found) == numbers
    for one in (job, *job.kits):
        other = found[one.get("kit_number")]
        assert len(other.box) == len(one.box)
        assert other.get("caliper_bores") == one.get("caliper_bores")
        assert other.get("kit_price") == one.get("kit_price")


WRITES = int(os.environ.get("BOMCHECK_WRITES", "6"))


@pytest.mark.skipif(os.name == "nt", reason="there is no kill -9 on Windows")
def test_interrupted_writes_lose_nothing(tmp_path: Path) -> None:
    """Killed at any moment, the records hold every row of before, and those of the new job or none; once more does the rest.

    BOMCHECK_WRITES says how often; the ordinary run kills a few.
    """
    moments, records = random.Random(5), tmp_path / "records.xlsx"
    keep(demo(DEMOS[0]), records, DAY)
    before, job = records.read_bytes(), demo_file(tmp_path / "job.xlsx", DEMOS[1].removesuffix(".xlsx"))
    rows = {sheet: len(of) for sheet, of in open_records(records).rows.items()}
    began = time.monotonic()
    assert run("keep", job, "--in", records).returncode == 0
    whole, cut = time.monotonic() - began, 0
    for _ in range(WRITES):
        records.write_bytes(before)
        child = subprocess.Popen(command("keep", job, "--in", records), env=environment(), stdout=subprocess.DEVNULL)
        time.sleep(moments.uniform(0.1, 0.9) * whole)
        child.send_signal(signal.SIGKILL)
        cut += child.wait() != 0
        found = {sheet: len(of) for sheet, of in open_records(records).rows.items()}
        assert records.read_bytes() == before or all(found[sheet] >= rows[sheet] for sheet in rows)
        assert run("keep", job, "--in", records).returncode == 0
        assert all(len(of) >= rows[sheet] for sheet, of in open_records(records).rows.items())
        left = {one.suffix for one in tmp_path.iterdir() if one.name.startswith(".bomcheck")}
        assert left <= {
            ".lock"
        }  # of a dead process, where nothing was left to write; the next that writes takes it away
    assert cut


def test_both_axles_are_not_begun_from_the_records(tmp_path: Path) -> None:
    """Front and rear kit would be set side by side as rivals for one axle: refused in words, and nothing is made."""
    made = tmp_path / "car.xlsx"
    done = CliRunner().invoke(
        main, ["new", str(made), "--both", "--kit", "A", "--from", str(tmp_path / "records.xlsx")]
    )
    assert done.exit_code == 2
    assert "a job of one axle" in done.stderr
    assert not made.exists()
