"""Zip archives of other writers are read and copied: zip64 fields, descriptors, comments, bytes behind the end."""

import io
import zipfile
from pathlib import Path

import pytest

from bomcheck.io.package import open_package
from bomcheck.io.splice import write_back
from bomcheck.io.zip_file import Archive
from tests.workbook.our_sheets import KINDS, our_sheets
from tests.workbook.packages import minimal, zipped


class OneWay(io.BytesIO):
    """A stream that cannot go back, so that the writer must put sizes behind the data."""

    def seekable(self) -> bool:
        return False

    def seek(self, *_: int) -> int:
        raise OSError

    def tell(self) -> int:
        raise OSError


def streamed() -> bytes:
    """Written to a pipe: each member is followed by a descriptor."""
    stream = OneWay()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in minimal().items():
            archive.writestr(name, content)
    return stream.getvalue()


def zip64(monkeypatch: pytest.MonkeyPatch) -> bytes:
    """Every size and offset in 8 bytes, as some writers of large workbooks always do."""
    with monkeypatch.context() as patch:
        patch.setattr(zipfile, "ZIP64_LIMIT", 1)
        patch.setattr(zipfile, "ZIP_FILECOUNT_LIMIT", 1)
        return zipped(minimal())


def with_folders() -> bytes:
    """Members for the folders themselves, and one name with letters beyond ASCII."""
    return zipped(minimal(), {"xl/": b"", "xl/media/": b"", "xl/media/Bremse_ü.txt": b"kept"})


def with_comment() -> bytes:
    stream = io.BytesIO(zipped(minimal()))
    with zipfile.ZipFile(stream, "a") as archive:
        archive.comment = b"made on a Monday"
    return stream.getvalue()


@pytest.mark.parametrize("kind", ["streamed", "zip64", "folders", "comment", "bytes behind the end"])
def test_other_writers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str) -> None:
    """After two runs Python's zipfile finds every checksum right and the user's members as they were."""
    makers = {"streamed": streamed, "folders": with_folders, "comment": with_comment}
    data = zip64(monkeypatch) if kind == "zip64" else makers.get(kind, lambda: zipped(minimal()) + b"\r\n\r\n")()
    if kind == "streamed":
        assert zipfile.ZipFile(io.BytesIO(data)).infolist()[0].flag_bits & 8
    if kind == "zip64":
        assert b"PK\x06\x06" in data
    path = tmp_path / "job.xlsx"
    path.write_bytes(data)
    before = Archive("job.xlsx", data)
    for verdict in ("fits", "does not fit"):
        write_back(open_package(path), our_sheets(verdict), KINDS, path)
        with zipfile.ZipFile(path) as archive:
            assert archive.testzip() is None
            assert archive.comment == (b"made on a Monday" if kind == "comment" else b"")
        after = open_package(path).archive
        kept = "xl/media/Bremse_ü.txt" if kind == "folders" else "xl/worksheets/sheet1.xml"
        assert bytes(after.raw(kept)) == bytes(before.raw(kept))
        assert open_package(path).cells("Compatibility")["A1"].text == verdict
