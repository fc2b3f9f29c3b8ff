"""A second check of an unchanged job writes our sheets byte for byte, and takes nothing for typed that nobody typed."""

from dataclasses import replace
from pathlib import Path
from shutil import copy
from zipfile import ZipFile

import pytest

from bomcheck.commands.check import check_workbook
from bomcheck.io.package import Package
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import kept_from
from bomcheck.io.sheets.build import write_result
from tests.workbook.every_workbook import DEMOS, TODAY, file_name

TYPED = {"quote kit": {"figure": 1500.0}, "quote days": {"figure": 14.0}, "quote mark-up": {"figure": "12,5"},
         "quote rate": {"figure": 71.25}, "quote labour corner": {"figure": 2.75}, "quote tax": {"figure": 7.7},
         "quote consumables": {"figure": 3.0}, "quote labour test": {"figure": "by hand"},
         "quote labour gone": {"figure": "4 of it"}}  # fmt: skip


def parts(path: Path) -> dict[str, bytes]:
    """Every part of a workbook."""
    with ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist()}


def again(path: Path) -> dict[str, bytes]:
    """The parts after one more check."""
    check_workbook(path, out=None, write=True, backup=False, today=TODAY)
    return parts(path)


@pytest.mark.parametrize("demo", DEMOS, ids=[demo.stem for demo in DEMOS])
def test_the_same_bytes(demo: Path, as_written: Path, tmp_path: Path) -> None:
    """All parts, ours and the user's, are the same after the second and the third check."""
    first = parts(as_written / file_name(f"result of {demo.stem}"))
    path = copy(as_written / file_name(f"second result of {demo.stem}"), tmp_path / demo.name)
    assert sum("bomcheck_sheet" in name and name.endswith(".xml") for name in first) >= 10
    for found in (parts(path), again(path)):
        assert {name for name, content in found.items() if first.get(name) != content} == set()
        assert found.keys() == first.keys()


@pytest.mark.parametrize("demo", DEMOS, ids=[demo.stem for demo in DEMOS])
def test_nothing_comes_back_as_typed(demo: Path, as_written: Path) -> None:
    """In a result in which nobody typed, no yellow cell counts as typed."""
    path = as_written / file_name(f"result of {demo.stem}")
    assert kept_from(Package(path, path.read_bytes())) == {}


@pytest.mark.parametrize("demo", DEMOS, ids=[demo.stem for demo in DEMOS])
def test_the_same_bytes_where_something_was_typed(demo: Path, as_written: Path, tmp_path: Path) -> None:
    """Figures and words of the shop, in the Quote and in every line of the Parts list, come back as they were."""
    path = copy(as_written / file_name(f"result of {demo.stem}"), tmp_path / demo.name)
    job, package = read_job(path)
    from bomcheck.assess import assess

    typed = {"on_hand": 0.5, "own_price": 3.35, "own_note": "call", "received": 1.0}
    lines = {line.key: {**typed, "own_price_per": line.price_per} for line in assess(job, TODAY).parts}
    write_result(assess(replace(job, own={**TYPED, **lines}), TODAY), package, path, False, TODAY)
    first = again(path)
    kept = kept_from(Package(path, path.read_bytes()))
    assert kept == {**TYPED, **lines, "quote mark-up": {"figure": 12.5}}
    assert {name for name, content in again(path).items() if first.get(name) != content} == set()
