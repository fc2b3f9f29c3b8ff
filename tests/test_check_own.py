"""Figures in the yellow columns that cannot be used: `check` names them, uses none, and they stay in their cells."""

import json
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from bomcheck.commands.cli import main
from bomcheck.io.package import open_package
from bomcheck.io.read.own import kept_from
from bomcheck.io.sheets.parts_freight import PARTS as COLUMNS
from tests.helpers.demo_jobs import checked, hill_climb, quoted_hill_climb
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets.office import recalculated

CLIP = "line clip @ line in its tab"
SHEETS = ("Parts list", "Quote")
SUMS = (COLUMNS["line_total"], 2)
PARTS = [
    ({"on_hand": -3.0}, "-3", "how many you have"),
    ({"on_hand": "100 g"}, "100 g", "how many you have"),
    ({"on_hand": "two"}, "two", "how many you have"),
    ({"received": -1.0}, "-1", "how many came"),
    ({"own_price": -2.5}, "-2.5", "never negative"),
    ({"own_price": "2.10 EUR"}, "2.10 EUR", "Type 2.1 alone"),
    ({"own_price": "2.10 GBP"}, "2.10 GBP", "Type the price in EUR"),
]
QUOTE = [
    ("kit", -900.0, "never negative"),
    ("kit", "to be asked", "cannot be read as one price"),
    ("mark-up", -20.0, "the percentage"),
    ("days", "a month", "how many days"),
    ("days", -5.0, "how many days"),
    ("rate", -60.0, "never negative"),
    ("labour corner", -2.0, "the hours"),
    ("tax", -19.0, "the percentage"),
    ("consumables", "some", "the percentage"),
]


def check(job: Path, *more: str) -> Result:
    return CliRunner().invoke(main, ["check", str(job), *more])


def figures(path: Path, *columns: int) -> list[list[float]]:
    """All numbers of some columns in Parts list and Quote as they are stored."""
    book = load_workbook(path, data_only=True)
    found = [
        [row[column].value for name in SHEETS for row in book[name].iter_rows() if len(row) > column]
        for column in columns
    ]
    return [[one for one in cells if isinstance(one, int | float)] for cells in found]


@cache
def plain_figures() -> list[list[float]]:
    """Totals and quantities while nothing is typed."""
    with TemporaryDirectory() as folder:
        return figures(quoted_hill_climb(Path(folder)), *SUMS)


def stored_is_worked_out(path: Path, folder: Path) -> None:
    """LibreOffice gives for every cell of both sheets what is stored there."""
    stored, found = load_workbook(path, data_only=True), recalculated(path.read_bytes(), folder)
    for name in SHEETS:
        for row in stored[name].iter_rows():
            for cell in row:
                other = found[name][cell.coordinate].value
                if isinstance(cell.value, int | float):
                    assert other == pytest.approx(cell.value), (name, cell.coordinate)
                else:
                    assert (other or "") == (cell.value or ""), (name, cell.coordinate)


@pytest.mark.parametrize(("typed", "shown", "says"), PARTS)
def test_parts_list(tmp_path: Path, typed: dict[str, float | str], shown: str, says: str) -> None:
    """One line with file, sheet and cell; the verdict's exit status; the same sums as without it; the cell is as typed."""
    job = quoted_hill_climb(tmp_path)
    checked(job, {CLIP: typed})
    done = check(job)
    assert done.exit_code == 0, done.output
    (line,) = done.stderr.strip().splitlines()
    assert line.startswith(f"{job.name}: Parts list!")
    assert f'"{shown}"' in line
    assert says in line
    assert "not used" in line
    assert figures(job, *SUMS) == plain_figures()
    kept = kept_from(open_package(job))
    assert {key: value for key, value in kept[CLIP].items() if key != "own_price_per"} == typed


@pytest.mark.parametrize(("key", "typed", "says"), QUOTE)
def test_quote(tmp_path: Path, key: str, typed: float | str, says: str) -> None:
    """The same in the Quote, in which nothing falls below zero."""
    job = hill_climb(tmp_path)
    checked(job, {f"quote {key}": {"figure": typed}})
    done = check(job)
    assert done.exit_code == 0, done.output
    (line,) = done.stderr.strip().splitlines()
    assert line.startswith(f"{job.name}: Quote!G")
    assert says in line
    assert min(*figures(job, 4)) >= 0
    assert kept_from(open_package(job)) == {f"quote {key}": {"figure": typed}}


def test_the_cell_that_is_named_holds_it(tmp_path: Path) -> None:
    """The address is that in the file as it was written."""
    job = hill_climb(tmp_path)
    checked(job, {CLIP: {"on_hand": "two"}})
    line = check(job).stderr
    cell = line.split("Parts list!")[1].split(":")[0]
    assert one_sheet(job, "Parts list")[cell].value == "two"


@pytest.mark.parametrize("bad", [-4.0, "two"])
def test_libreoffice_uses_none_either(tmp_path: Path, bad: float | str) -> None:
    """Every yellow figure bad at once: stored values and formulas agree."""
    job = hill_climb(tmp_path)
    typed = {f"quote {key}": {"figure": bad} for key, *_ in QUOTE}
    checked(job, {**typed, CLIP: {"on_hand": bad, "own_price": bad, "received": bad}})
    assert len(check(job).stderr.strip().splitlines()) == len(typed) + 3
    stored_is_worked_out(job, tmp_path)


def test_json_has_the_remark(tmp_path: Path) -> None:
    """Among the faults, as one that does not stop."""
    job = hill_climb(tmp_path)
    checked(job, {CLIP: {"on_hand": -3.0}})
    done = check(job, "--json")
    (fault,) = json.loads(done.stdout)["faults"]
    assert (fault["stops"], done.exit_code) == (False, 0)


def test_sound_entries_are_not_named(tmp_path: Path) -> None:
    """0, a decimal comma and a plain number are figures."""
    job = hill_climb(tmp_path)
    checked(job, {CLIP: {"on_hand": 0.0, "own_price": "2,10", "received": 1.0}, "quote kit": {"figure": 0.0}})
    assert check(job).stderr == ""
