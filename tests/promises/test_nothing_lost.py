"""Promise: writing back changes no byte of the user's own sheets, pictures, charts, notes or macros."""

import hashlib
import zipfile
from pathlib import Path

import pytest
from openxml_audit import OpenXmlValidator

from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import open_package
from bomcheck.io.splice import write_back
from tests.workbook.kitchen_sink import kitchen_sink
from tests.workbook.office import saved_by_libreoffice, sheets_as_csv
from tests.workbook.our_sheets import KINDS, our_sheets

SPLICED = {
    "[Content_Types].xml",
    "xl/workbook.xml",
    "xl/_rels/workbook.xml.rels",
    "xl/styles.xml",
}
"""The only parts of the user's that a run may change."""

USER_SHEETS = ("Corner", "Prices & more", "Diary", "Hidden")


def raw_members(path: Path) -> dict[str, tuple[object, ...]]:
    """Every member as the zip library sees it: a hash of its packed bytes, its time, flags and rights."""
    members = {}
    with zipfile.ZipFile(path) as archive, path.open("rb") as stream:
        for info in archive.infolist():
            stream.seek(info.header_offset + 26)
            lengths = stream.read(4)
            stream.seek(int.from_bytes(lengths[:2], "little") + int.from_bytes(lengths[2:], "little"), 1)
            packed = hashlib.sha256(stream.read(info.compress_size)).hexdigest()
            about = (info.date_time, info.flag_bits, info.compress_type, info.CRC, info.external_attr, info.extra)
            members[info.filename] = (packed, *about)
    return members


def check(path: Path, verdict: str = "fits") -> None:
    """One run in place."""
    written = write_back(open_package(path), our_sheets(verdict), KINDS, path)
    assert written.path == path
    assert written.message is None


def untouched(before: dict[str, tuple[object, ...]], after: dict[str, tuple[object, ...]]) -> list[str]:
    return [name for name in before if after.get(name) == before[name]]


@pytest.mark.parametrize(("macros", "parts"), [(False, 44), (True, 45)])
def test_every_part_of_the_kitchen_sink_is_kept_twice(tmp_path: Path, macros: bool, parts: int) -> None:
    """All but the four spliced parts keep every packed byte, time, flag and place, after one run and after two."""
    path = kitchen_sink(tmp_path / ("job.xlsm" if macros else "job.xlsx"), macros=macros)
    before = raw_members(path)
    assert len(before) == parts
    for verdict in ("fits", "does not fit"):
        check(path, verdict)
        after = raw_members(path)
        assert set(before) - set(untouched(before, after)) == SPLICED
        assert len(untouched(before, after)) == parts - len(SPLICED)
        assert [name for name in after if name in before] == list(before)


def test_a_second_run_with_the_same_result_changes_nothing(tmp_path: Path) -> None:
    """Same input, same bytes: no style, name or part is added again."""
    path = kitchen_sink(tmp_path / "job.xlsx")
    check(path)
    first = path.read_bytes()
    check(path)
    assert path.read_bytes() == first


def test_what_libreoffice_saved_is_kept_twice(tmp_path: Path) -> None:
    """The same for a workbook that LibreOffice saved; it packs with descriptors and other part names."""
    path = saved_by_libreoffice(kitchen_sink(tmp_path / "job.xlsx"), tmp_path / "saved")
    before = raw_members(path)
    for verdict in ("fits", "does not fit"):
        check(path, verdict)
        assert set(before) - set(untouched(before, raw_members(path))) == SPLICED
    assert len(before) - len(SPLICED) >= 25


def test_libreoffice_reads_the_users_sheets_as_before(tmp_path: Path) -> None:
    """Every cell of the user's sheets shows the same text in LibreOffice, before and after two runs."""
    path = kitchen_sink(tmp_path / "job.xlsx")
    before = sheets_as_csv(path, tmp_path / "before")
    check(path)
    check(path, "does not fit")
    after = sheets_as_csv(path, tmp_path / "after")
    assert {name: after[name] for name in USER_SHEETS} == before
    assert set(after) - set(before) == set(KINDS)
    assert b"does not fit" in after["Compatibility"]
    assert b"84.00 mm" in after["Compatibility"]


def test_our_sheets_are_known_again_after_libreoffice_saved_them(tmp_path: Path) -> None:
    """The mark survives a save in LibreOffice, so the sheets are replaced there and not doubled."""
    path = kitchen_sink(tmp_path / "job.xlsx")
    check(path)
    saved = saved_by_libreoffice(path, tmp_path / "saved")
    names = open_package(saved).sheet_names
    assert marked_sheets(open_package(saved)) == {kind: name for name, kind in KINDS.items()}
    check(saved, "does not fit")
    assert open_package(saved).sheet_names == names


@pytest.mark.parametrize("macros", [False, True])
def test_the_result_is_a_valid_workbook(tmp_path: Path, macros: bool) -> None:
    """ISO/IEC 29500 validator openxml-audit: no error in the source, none after one run, none after two."""
    path = kitchen_sink(tmp_path / ("job.xlsm" if macros else "job.xlsx"), macros=macros)
    assert OpenXmlValidator().validate(str(path)).errors == []
    for verdict in ("fits", "does not fit"):
        check(path, verdict)
        assert OpenXmlValidator().validate(str(path)).errors == []
