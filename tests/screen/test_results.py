"""Results: the same however the work is divided; best first; every form says the same."""

import csv
import json

import openpyxl
import pytest
from click.testing import CliRunner

from bomcheck.commands.cli import main
from bomcheck.model.shipped import folder
from bomcheck.screen.command import screen_command
from bomcheck.screen.tables import Asked
from tests.helpers import tables
from tests.screen.table_rows import world

ORDER = ["fits", "fits with parts", "not known", "needs machining", "does not fit"]


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """Two small tables of one family and a bit."""
    folder = tmp_path_factory.mktemp("screen")
    return (
        tables.write_csv(folder / "corners.csv", tables.corners(30, 3)),
        tables.write_csv(folder / "kits.csv", tables.kits(40, 3)),
        folder,
    )


def _screened(files, out, **more):
    done = screen_command(Asked(files[0], files[1], files[2] / out, **more))
    return done, (files[2] / out).read_bytes()


def _lines(content):
    return list(csv.DictReader(content.decode().splitlines()))


def test_every_pair_once_best_first(files):
    """Each corner has every kit once, in order of merit."""
    done, content = _screened(files, "all.csv", parts=False)
    lines = _lines(content)
    assert done.pairs == len(lines) == 1200
    assert len({(line["corner"], line["kit"]) for line in lines}) == 1200
    by_corner = {}
    for line in lines:
        by_corner.setdefault(line["corner"], []).append(line)
    for kits in by_corner.values():
        places = [ORDER.index(line["verdict"]) for line in kits]
        assert places == sorted(places)
        assert [int(line["rank"]) for line in kits] == list(range(1, 41))


def test_passers_are_what_passes(files):
    """--passers keeps exactly the pairs that fit or fit with parts, as the whole list has them."""
    _, whole = _screened(files, "all.csv", parts=False)
    _, passing = _screened(files, "passing.csv", parts=False, passers=True)
    expected = [line for line in _lines(whole) if line["verdict"] in ORDER[:2]]
    assert _lines(passing) == expected
    assert expected


@pytest.mark.parametrize("processes", [1, 2, 3])
def test_processes_do_not_change_the_result(files, processes, monkeypatch):
    """One process or three: the same bytes."""
    monkeypatch.setattr("bomcheck.screen.tasks.PAIRS", 150)
    monkeypatch.setattr("bomcheck.screen.blocks.CELLS", 64)
    _, content = _screened(files, f"by{processes}.csv", parts=False, processes=processes)
    _, whole = _screened(files, "all.csv", parts=False, processes=1)
    assert content == whole


def test_all_forms_say_the_same(files):
    """CSV, JSON lines, the workbook's list and its matrix hold the same verdicts."""
    _, as_csv = _screened(files, "a.csv", passers=False, parts=False)
    _, as_json = _screened(files, "a.jsonl", parts=False)
    _screened(files, "a.xlsx", parts=False)
    expected = [(line["corner"], line["kit"], line["verdict"], line["what decides"]) for line in _lines(as_csv)]
    records = [json.loads(line) for line in as_json.decode().splitlines()]
    assert [(one["corner"], one["kit"], one["verdict"], one["decides"]) for one in records] == expected
    book = openpyxl.load_workbook(files[2] / "a.xlsx")
    listed = [
        tuple(row[place] for place in (0, 1, 3, 4))
        for row in book["Order of merit"].iter_rows(min_row=2, values_only=True)
    ]
    assert listed == expected
    grid = list(book["Matrix"].iter_rows(values_only=True))
    matrix = {(row[0], kit): verdict for row in grid[1:] for kit, verdict in zip(grid[0][1:], row[1:], strict=True)}
    assert matrix == {(corner, kit): verdict for corner, kit, verdict, _ in expected}


def test_parts_of_what_fits(files):
    """Each pair that fits with parts names them; the others name none."""
    _, content = _screened(files, "parts.csv", parts=True)
    for line in _lines(content):
        assert bool(line["parts to add"]) == (line["verdict"] == "fits with parts"), line


def test_exit_status_and_counts(files):
    """0 where something fits; a row that cannot be read gives 4 and the rest goes on; the counts are told."""
    runner = CliRunner()
    good = runner.invoke(main, ["screen", str(files[0]), str(files[1]), "--passers", "--no-parts"])
    assert good.exit_code == 0, good.stderr
    text = files[1].read_text("utf-8").splitlines()
    bad = files[2] / "bad.csv"
    bad.write_text(
        "\n".join([*text[:3], text[3].replace("two-piece", "tow-pice").replace("one-piece", "tow-pice"), *text[4:]]),
        "utf-8",
    )
    result = runner.invoke(main, ["screen", str(files[0]), str(bad), "--passers", "--no-parts"])
    assert result.exit_code == 4
    assert "row 4, column rotor_build" in result.stderr
    assert "1,170 pairs" in result.stderr


def test_what_is_taken_to_be_in_a_box_that_nobody_stated_is_told(files):
    """Without boxes no price holds the hose or the fluid, and it says so; a job workbook's kit has its box."""
    words = ["screen", str(files[0]), str(files[1]), "--passers"]
    said = "kits have no contents of the box: what such a kit takes on any car"
    assert said in CliRunner().invoke(main, [*words, "--parts"]).stderr
    assert said not in CliRunner().invoke(main, [*words, "--no-parts"]).stderr
    job = str(folder("demo_workbooks") / "hill_climb_two_seater.xlsx")
    assert said not in CliRunner().invoke(main, ["screen", job, job]).stderr


def test_no_traceback_for_a_file_that_is_not_there(files):
    """A missing table is one line."""
    result = CliRunner().invoke(main, ["screen", str(files[0]), "nowhere.csv"])
    assert result.exit_code == 4
    assert len(result.stderr.strip().splitlines()) == 1


def test_memory_of_a_pair_is_not_kept():
    """What was looked up for one batch of pairs is dropped for the next, so memory does not grow with the tables."""
    import numpy as np

    from bomcheck.screen.blocks import judge_pairs

    made = world(20, 20, 2)
    judge_pairs(made, np.arange(20), np.arange(20))
    first = len(made.answers)
    judge_pairs(made, np.arange(1), np.arange(1))
    assert len(made.answers) < first


def test_the_quick_text_is_the_careful_one():
    """The short way to CSV gives what the csv module gives, names with commas and quotes included."""
    import numpy as np

    from bomcheck.screen.blocks import judged
    from bomcheck.screen.rank import by_merit, lines
    from bomcheck.screen.writing import csv_text, quick_csv

    made = world(10, 10, 2)
    made.corners.names[3], made.kits.names[2], made.kits.names[4] = 'a, "b"', "", "x\ny"
    block = by_merit(judged(made, np.repeat(np.arange(10), 10), np.tile(np.arange(10), 10)))
    assert quick_csv(made, block) == csv_text(lines(made, block, {}))
