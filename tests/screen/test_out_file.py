"""A result never takes the place of an input, nor of a file that is somebody else's."""

import os
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from bomcheck.commands.cli import main
from bomcheck.screen.command import screen_command
from bomcheck.screen.tables import Asked
from tests.helpers import tables


@pytest.fixture
def inputs(tmp_path):
    """Corners and kits, a few of each."""
    corners = tables.write_csv(tmp_path / "corners.csv", tables.corners(3, 1))
    return corners, tables.write_csv(tmp_path / "kits.csv", tables.kits(3, 1))


def _refused(inputs, out, *more):
    """Runs it, and requires one line, status 4, and every file beside the inputs as it was."""
    folder = inputs[0].parent
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    result = CliRunner().invoke(main, ["screen", *map(str, inputs), "--out", str(out), *map(str, more)])
    assert result.exit_code == 4
    assert len(result.stderr.strip().splitlines()) == 1
    assert "nothing was written" in result.stderr
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before
    return result.stderr


def _job(path):
    from bomcheck.io.blank.template import build_job_workbook

    build_job_workbook("metric", {}, path)
    return path


def test_a_job_workbook_that_is_read(inputs, tmp_path):
    """The user's own job, given as the corner, is not written over."""
    job = _job(tmp_path / "job.xlsx")
    assert _refused((job, inputs[1]), job).startswith("job.xlsx: the corners are read from here")


def test_the_price_list_that_is_read(inputs, tmp_path):
    """Nor is the workbook whose price list gives the prices."""
    job = _job(tmp_path / "prices.xlsx")
    assert "the price list is read from here" in _refused(inputs, job, "--prices", job)


@pytest.mark.parametrize("place", [0, 1])
def test_either_table(inputs, place):
    """Corners and kits alike."""
    assert f"the {('corners', 'kits')[place]} are read from here" in _refused(inputs, inputs[place])


def test_other_spellings_and_links(inputs, tmp_path, monkeypatch):
    """Another spelling of the path, a symbolic link and a second name of the file are the same file."""
    (tmp_path / "sub").mkdir()
    soft, hard = tmp_path / "soft.csv", tmp_path / "hard.csv"
    soft.symlink_to(inputs[1])
    os.link(inputs[1], hard)
    monkeypatch.chdir(tmp_path)
    for out in (tmp_path / "sub" / ".." / "kits.csv", Path("kits.csv"), soft, hard):
        assert "the kits are read from here" in _refused(inputs, out)


def test_a_folder_that_is_read(inputs, tmp_path):
    """A result in a folder of Parquet files would be read as a part of the table next time."""
    (tmp_path / "parts").mkdir()
    assert "are read from here" in _refused((inputs[0], tmp_path / "parts"), tmp_path / "parts" / "new.parquet")


@pytest.mark.parametrize("name", ["mine.csv", "mine.jsonl", "mine.xlsx", "mine.parquet"])
def test_a_file_of_somebody_else(inputs, tmp_path, name):
    """A file that no screening wrote stays as it is, sound or not."""
    (tmp_path / name).write_text("part,price\nA1,12\n", "utf-8")
    assert "not the result of a screening" in _refused(inputs, tmp_path / name)


def test_a_result_with_a_sheet_of_the_users(inputs, tmp_path):
    """A workbook to which a sheet was added is the user's from then on."""
    import openpyxl

    out = tmp_path / "fits.xlsx"
    screen_command(Asked(*inputs, out, parts=False))
    book = openpyxl.load_workbook(out)
    book.create_sheet("My notes")
    book.save(out)
    assert "not the result of a screening" in _refused(inputs, out)


def _said(out):
    """What a result says: its bytes, of a workbook those of its sheets, as it also notes when it was made."""
    if out.suffix != ".xlsx":
        return out.read_bytes()
    with zipfile.ZipFile(out) as book:
        return [book.read(name) for name in sorted(book.namelist()) if not name.startswith("docProps")]


@pytest.mark.parametrize("name", ["out.csv", "out.jsonl", "out.xlsx", "out.parquet"])
def test_a_result_is_written_again(inputs, tmp_path, name):
    """A second run takes the place of the first, also through a link, which stays a link; an empty file is free too."""
    out, link = tmp_path / name, tmp_path / f"link_{name}"
    out.touch()
    screen_command(Asked(*inputs, out, parts=False))
    first = _said(out)
    link.symlink_to(out)
    screen_command(Asked(*inputs, link, parts=False, passers=True))
    screen_command(Asked(*inputs, link, parts=False))
    assert link.is_symlink()
    assert first == _said(out)
    assert out.stat().st_size > 0
    assert not list(tmp_path.glob(".*part"))
