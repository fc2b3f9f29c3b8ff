"""Every damaged or hostile file is refused in one line, quickly and in little memory."""

import subprocess
import sys
import time
from pathlib import Path

import pytest

from bomcheck.io.package import open_package
from bomcheck.model.errors import WorkbookError
from tests.faulty.packages import FAULTY, HARMLESS

LONGEST = 3.0
"""Seconds; a second on an idle computer, and room for one that is busy."""


def read_all(path: Path) -> int:
    """Number of cells in all sheets of a workbook."""
    package = open_package(path)
    return sum(len(package.cells(name)) for name in package.sheet_names)


@pytest.mark.parametrize("name", FAULTY)
def test_refused_in_one_line(tmp_path: Path, name: str) -> None:
    """The line names the file, says what is wrong and what to do; the file itself stays as it is."""
    build, kind, words = FAULTY[name]
    path, data = tmp_path / "job.xlsx", build()
    path.write_bytes(data)
    start = time.process_time()
    with pytest.raises(WorkbookError) as caught:
        read_all(path)
    assert time.process_time() - start < LONGEST
    line = str(caught.value)
    assert (caught.value.fault.kind, caught.value.fault.place.file) == (kind, "job.xlsx")
    assert words in line
    assert line.startswith("job.xlsx: ")
    assert line.endswith(".")
    assert "\n" not in line
    assert path.read_bytes() == data


@pytest.mark.parametrize("name", HARMLESS)
def test_read_cheaply(tmp_path: Path, name: str) -> None:
    """What only looks dangerous is read, cell A1 included."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(HARMLESS[name]())
    start = time.process_time()
    assert open_package(path).cells("Corner")["A1"].value == 1.0
    assert time.process_time() - start < LONGEST


def test_little_memory(tmp_path: Path) -> None:
    """A process that reads all of them stays below 200 MB."""
    for number, build in enumerate([*(build for build, _, _ in FAULTY.values()), *HARMLESS.values()]):
        (tmp_path / f"{number}.xlsx").write_bytes(build())
    script = (
        "import sys, pathlib\nfrom tests.workbook.test_hostile_packages import quietly\n"
        "for path in pathlib.Path(sys.argv[1]).iterdir(): quietly(path)\n"
        "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path)], cwd=root, capture_output=True, text=True, check=True
    )
    assert int(done.stdout) < 200_000


def quietly(path: Path) -> None:
    """Read a workbook; a refusal is what is expected of most."""
    try:
        read_all(path)
    except WorkbookError:
        return


def test_no_such_file(tmp_path: Path) -> None:
    with pytest.raises(WorkbookError, match=r"job.xlsx: there is no such file"):
        open_package(tmp_path / "job.xlsx")


def test_a_folder(tmp_path: Path) -> None:
    with pytest.raises(WorkbookError, match="this is a folder"):
        open_package(tmp_path)


def test_a_lock_file(tmp_path: Path) -> None:
    path = tmp_path / "~$job.xlsx"
    path.write_bytes(b"\x05Owner".ljust(165))
    with pytest.raises(WorkbookError, match="lock file of a workbook that is open"):
        open_package(path)


def test_a_huge_sparse_file(tmp_path: Path) -> None:
    """Its size is looked at before a byte is read."""
    path = tmp_path / "job.xlsx"
    with path.open("wb") as stream:
        stream.truncate(40_000_000_000)
    with pytest.raises(WorkbookError, match="40000 MB; at most 150 MB"):
        open_package(path)
