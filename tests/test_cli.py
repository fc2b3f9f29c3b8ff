"""The commands as a person types them: what they print, where, and how they end."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from bomcheck.car.checks import car_checks
from bomcheck.commands.cli import main
from bomcheck.model.shipped import folder
from bomcheck.rules import all_checks

DEMOS = {path.stem: path for path in folder("demo_workbooks").glob("*.xlsx")}


def run(*words: object):
    """One command in this process, standard error apart."""
    return CliRunner().invoke(main, [str(word) for word in words])


def test_every_command_ends_its_help_with_an_example() -> None:
    """--help of each command works and shows an example."""
    for name in main.commands:
        done = run(name, "--help")
        assert done.exit_code == 0
        assert "Example:" in done.stdout, name


def test_new_makes_a_workbook_and_never_overwrites(tmp_path: Path) -> None:
    """`new` writes the template; a second `new` on the same name is wrong use and changes nothing."""
    made = tmp_path / "job.xlsx"
    assert run("new", made).exit_code == 0
    before = made.read_bytes()
    assert before == (folder("templates_xlsx") / "job_metric.xlsx").read_bytes()
    again = run("new", made, "--inch")
    assert again.exit_code == 2
    assert "is there already" in again.stderr
    assert made.read_bytes() == before


def test_new_inch_is_the_inch_template(tmp_path: Path) -> None:
    """`new --inch` gives the inch template."""
    made = tmp_path / "job.xlsx"
    assert run("new", made, "--inch").exit_code == 0
    assert made.read_bytes() == (folder("templates_xlsx") / "job_inch.xlsx").read_bytes()


@pytest.mark.parametrize(
    ("name", "more"), [("x.txt", ()), ("x", ()), ("x.xlsm", ()), ("x.csv", ()), ("x.txt", ("--kits",))]
)
def test_new_refuses_other_endings(tmp_path: Path, name: str, more: tuple[str, ...]) -> None:
    """A job is .xlsx, a table .xlsx or .csv; nothing is made."""
    done = run("new", tmp_path / name, *more)
    assert done.exit_code in (2, 4)
    assert ".xlsx" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_new_takes_capitals_and_csv_for_a_table(tmp_path: Path) -> None:
    """.XLSX is the same ending."""
    assert run("new", tmp_path / "A.XLSX").exit_code == 0
    assert run("new", tmp_path / "kits.csv", "--kits").exit_code == 0


@pytest.mark.parametrize("name", ["pilot_fit", "Pilot fit", "pilot-fit", "pilot_fitt"])
def test_explain_finds_a_check_by_name_or_title(name: str) -> None:
    """The name, the title, or a near miss."""
    done = run("explain", name)
    assert done.exit_code == 0
    assert "0.02 to 0.20 mm" in done.stdout


def test_explain_covers_every_check() -> None:
    """Every check has all headings of its manual page and is in the list."""
    listed = run("explain").stdout
    for name, check in all_checks().items():
        assert name in listed
        page = run("explain", name).stdout
        for heading in ("Must be true", "Why", "Remedy", "Source"):
            assert check.section(heading), f"{name} has no {heading}"
            assert f"{heading}:" in page


def test_explain_shows_the_example_as_a_sentence_with_numbers() -> None:
    """What goes in by its label and what comes out; no page has a prompt or a program's words in it."""
    assert "With hat bore 66.70 mm and hub pilot diameter 66.60 mm: 0.10 mm." in run("explain", "pilot_fit").stdout
    for name in all_checks():
        page = run("explain", name).stdout
        assert not [sign for sign in (">>>", "round(", "read_thread", ".same", "True", "False") if sign in page], name
        assert "Example:\n  " in page


def test_explain_covers_every_check_of_the_whole_car() -> None:
    """Each is listed with a title that has no gap in it; its page says why, what a failure means and where it comes from."""
    listed = run("explain").stdout
    for name in car_checks():
        assert f"  {name} " in listed
        page = run("explain", name).stdout
        for heading in ("Must be true", "Why", "What a failure means", "Remedy", "Source"):
            assert f"{heading}:\n  " in page, (name, heading)
    assert "{" not in listed
    assert "It counts in the verdict" in run("explain", "lock_order").stdout
    assert "Grip that the" in run("explain", "grip_rear").stdout


def test_explain_an_unknown_check_is_wrong_use() -> None:
    """Exit status 2 and one line."""
    done = run("explain", "zzzz")
    assert done.exit_code == 2
    assert 'no check is called "zzzz"' in done.stderr


def test_fields_can_be_searched() -> None:
    """`fields ear_spacing` shows its unit, ± and range."""
    done = run("fields", "ear_spacing")
    assert "ear_spacing; mm; usual ±0.2" in done.stdout
    assert run("fields", "zzzz").exit_code == 2


def test_check_writes_a_copy_and_leaves_the_source(tmp_path: Path) -> None:
    """--out: the source keeps its bytes, the copy has our sheets."""
    from bomcheck.io.package import open_package

    source = tmp_path / "job.xlsx"
    source.write_bytes(DEMOS["hill_climb_two_seater"].read_bytes())
    before = source.read_bytes()
    done = run("check", source, "--out", tmp_path / "out.xlsx")
    assert done.exit_code == 0, done.output
    assert done.stdout.startswith("FITS WITH PARTS")
    assert source.read_bytes() == before
    names = open_package(tmp_path / "out.xlsx").sheet_names
    assert {"Compatibility", "Parts list"} <= set(names)


def test_check_twice_in_place_adds_no_second_sheet(tmp_path: Path) -> None:
    """A second run replaces our sheets."""
    from bomcheck.io.package import open_package

    source = tmp_path / "job.xlsx"
    source.write_bytes(DEMOS["hill_climb_two_seater"].read_bytes())
    assert run("check", source).exit_code == 0
    once = open_package(source).sheet_names
    assert run("check", source).exit_code == 0
    assert open_package(source).sheet_names == once


def test_json_is_alone_on_standard_output(tmp_path: Path) -> None:
    """--json prints nothing else there and writes no workbook."""
    source = tmp_path / "job.xlsx"
    source.write_bytes(DEMOS["half_measured_coupe"].read_bytes())
    before = source.read_bytes()
    done = run("check", source, "--json")
    assert json.loads(done.stdout)["verdict"] == "not known"
    assert done.exit_code == 3
    assert source.read_bytes() == before


def test_missing_file_is_one_line_and_status_4(tmp_path: Path) -> None:
    """No traceback, no usage text."""
    done = run("check", tmp_path / "nothing.xlsx")
    assert done.exit_code == 4
    assert len(done.stderr.strip().splitlines()) == 1
    assert "nothing.xlsx" in done.stderr


def test_measure_prints_a_page_to_fill_in() -> None:
    """Each open question once, with a line to write on."""
    done = run("measure", DEMOS["half_measured_coupe"])
    assert done.exit_code == 0
    assert done.stdout.count("Measured: ____") >= 5


def test_nothing_heavy_is_imported_by_check() -> None:
    """The quick path never loads openpyxl, pandas, NumPy or pint."""
    code = (
        "import sys; from click.testing import CliRunner; from bomcheck.commands.cli import main;"
        f"CliRunner().invoke(main, ['check', {str(DEMOS['half_measured_coupe'])!r}, '--json']);"
        "print([name for name in ('openpyxl', 'pandas', 'numpy', 'pint', 'scipy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
