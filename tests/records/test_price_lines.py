"""Price lines of another file in a job's own Price list: each once, in the job's unit, everything else as it was."""

import io
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from bomcheck.commands.cli import main
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import open_package
from bomcheck.io.read.job import read_job
from bomcheck.model.shipped import folder
from tests.helpers.one_sheet import one_sheet

HEAD = "Supplier;Part number;Role;Description;Price of one;Pack size;Lead time in days;Length [mm]\n"
TWO = HEAD + "Supplier Q;HQ-381;hose;Hose, 381 mm;41,50;;3;381\nSupplier Q;CQ-1;cleaner;Brake cleaner, can;4,5;;2;\n"


def copy_of(source: Path, path: Path) -> Path:
    path.write_bytes(source.read_bytes())
    return path


def job(tmp_path: Path, demo: str = "half_measured_coupe") -> Path:
    return copy_of(folder("demo_workbooks") / f"{demo}.xlsx", tmp_path / "job.xlsx")


def listed(tmp_path: Path, text: str = TWO, name: str = "supplier_q.csv") -> Path:
    path = tmp_path / name
    path.write_text(text)
    return path


def check(path: Path, source: Path) -> Result:
    return CliRunner().invoke(main, ["check", str(path), "--prices-from", str(source)])


def prices(path: Path, supplier: str = "Supplier Q") -> dict[str, tuple[float | None, float | None]]:
    """(price, length [mm]) by part number."""
    return {
        one.part_number: (one.unit_price, one.length) for one in read_job(path)[0].prices if one.supplier == supplier
    }


def test_a_suppliers_csv_goes_in_once(tmp_path: Path) -> None:
    """Semicolons and decimal commas; the second time nothing is added, and the sheet stays byte for byte."""
    path, source = job(tmp_path), listed(tmp_path)
    before = len(read_job(path)[0].prices)
    assert check(path, source).stdout.startswith("2 price lines of supplier_q.csv added to job.xlsx.\n")
    assert prices(path) == {"HQ-381": (41.5, 381.0), "CQ-1": (4.5, None)}
    assert len(read_job(path)[0].prices) == before + 2
    once = path.read_bytes()
    assert check(path, source).stdout.startswith("0 price lines")
    assert path.read_bytes() == once


def test_in_an_inch_job_lengths_are_inches(tmp_path: Path) -> None:
    """381 mm is 15.000 in exactly (1 in = 25.4 mm, ISO 31-1); read again it is 381 mm."""
    path = job(tmp_path, "inch_pickup")
    check(path, listed(tmp_path))
    assert prices(path)["HQ-381"] == (41.5, pytest.approx(381.0))
    sheet = one_sheet(path, "Price list")
    row = next(row for row in sheet.iter_rows() if any(cell.value == "HQ-381" for cell in row))
    assert 15.0 in [cell.value for cell in row]


def test_of_another_job_and_of_the_records(tmp_path: Path) -> None:
    """Whatever one job has, another takes over, straight and by way of the shop's records."""
    path, source = job(tmp_path), listed(tmp_path)
    check(path, source)
    other = copy_of(folder("demo_workbooks") / "camper_van.xlsx", tmp_path / "van.xlsx")
    assert check(other, path).exit_code in (0, 1, 3)
    assert prices(other) == prices(path)
    records, third = tmp_path / "records.xlsx", tmp_path / "third.xlsx"
    assert CliRunner().invoke(main, ["keep", str(path), "--in", str(records)]).exit_code == 0
    copy_of(folder("demo_workbooks") / "estate_rear_axle.xlsx", third)
    assert check(third, records).exit_code in (0, 1, 3)
    assert prices(third) == prices(path)


def test_another_price_is_named_and_the_jobs_stays(tmp_path: Path) -> None:
    """The shop's own figure is never replaced without a word."""
    path = job(tmp_path)
    check(path, listed(tmp_path))
    told = check(path, listed(tmp_path, TWO.replace("41,50", "43,00"), "dearer.csv"))
    assert "HQ-381: the job says 41.5, dearer.csv 43; the job's line stays" in told.stderr
    assert prices(path)["HQ-381"][0] == 41.5


def test_nothing_else_changes(tmp_path: Path) -> None:
    """Every part of the workbook but the Price list and the sheets of the result is the same bytes."""
    path = job(tmp_path)
    CliRunner().invoke(main, ["check", str(path)])
    before, old_values = parts(path), values(path)["Price list"]
    check(path, listed(tmp_path))
    after = parts(path)
    assert [name for name in before if before[name] != after[name]] == ["Price list"]
    assert {at: value for at, value in values(path)["Price list"].items() if at in old_values} == old_values


def parts(path: Path) -> dict[str, bytes]:
    """The bytes of each sheet of the user's, by its name."""
    package = open_package(path)
    ours = set(marked_sheets(package).values())
    return {one.name: package.archive.read(one.part) for one in package.sheets if one.name not in ours}


def values(path: Path) -> dict[str, dict[str, object]]:
    book = load_workbook(io.BytesIO(path.read_bytes()))
    return {
        one.title: {cell.coordinate: cell.value for row in one.iter_rows() for cell in row if cell.value is not None}
        for one in book
    }


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("empty.csv", "", "the file is empty"),
        ("heads.csv", "Part,Amount\nA,1\n", "no price line could be read in it"),
        ("roles.csv", HEAD + "S;A-1;;x;1;;;\n", "this line has no role"),
        ("kits.xlsx", "", "no sheet"),
        ("gone.csv", None, "no such file"),
    ],
)
def test_a_file_without_prices_is_one_line(tmp_path: Path, name: str, text: str | None, says: str) -> None:
    """Named, with what to give instead; the job stays byte for byte and is not checked."""
    path, source = job(tmp_path), tmp_path / name
    if name.endswith(".xlsx"):
        assert CliRunner().invoke(main, ["new", "--kits", str(source)]).exit_code == 0
    elif text is not None:
        source.write_text(text)
    before = path.read_bytes()
    done = check(path, source)
    assert done.exit_code == 4
    assert says in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert path.read_bytes() == before


def test_a_line_that_cannot_be_read_is_named_and_the_others_go_in(tmp_path: Path) -> None:
    """Cell and what to type instead; the status is that of the check."""
    done = check(job(tmp_path), listed(tmp_path, TWO + "Supplier Q;X;hose;x;cheap;;;\n"))
    assert "supplier_q.csv: E4" in done.stderr
    assert done.stdout.startswith("3 price lines")


def test_not_with_a_copy_or_json(tmp_path: Path) -> None:
    """It writes into the job itself: wrong use is status 2."""
    done = CliRunner().invoke(main, ["check", str(job(tmp_path)), "--json", "--prices-from", str(listed(tmp_path))])
    assert done.exit_code == 2


def test_what_took_the_lines_is_told_first(tmp_path: Path) -> None:
    """A role that is none comes before a column that is merely not used; "Price" is told what it should be."""
    strange = "Role;Part number;Price;Currency\nfluidum;BF-9;4,5;EUR\n"
    said = check(job(tmp_path), listed(tmp_path, strange)).stderr
    assert len(said.splitlines()) == 1
    assert 'A2: "fluidum"' in said
    said = check(job(tmp_path), listed(tmp_path, strange.replace("fluidum", "cleaner"))).stderr
    assert 'Did you mean "Price of one"?' in said
    many = check(job(tmp_path), listed(tmp_path, TWO + "Supplier Q;X;cleaner;;1;;;\n" * 5_000)).stderr
    assert many.startswith("supplier_q.csv: a price list of at most 5,000 rows")
