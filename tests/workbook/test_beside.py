"""A workbook that must not be touched is left alone; the result goes beside it and the message says why."""

from pathlib import Path

import pytest
from openxml_audit import OpenXmlValidator, ValidationSeverity

from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import open_package
from bomcheck.io.splice import Written, write_back
from tests.workbook.office import saved_by_libreoffice
from tests.workbook.our_sheets import KINDS, our_sheets
from tests.workbook.packages import minimal, relations, types, workbook, zipped

PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
PLAIN = zipped(minimal())


def signed() -> bytes:
    """A workbook with the parts of a digital signature, after ISO/IEC 29500-2 clause 13."""
    kind = "application/vnd.openxmlformats-package.digital-signature-xmlsignature+xml"
    origin = (
        '<Default Extension="sigs" ContentType="application/vnd.openxmlformats-package.digital-signature-origin"/>'
        f'<Override PartName="/_xmlsignatures/sig1.xml" ContentType="{kind}"/>'
    )
    links = (
        ("rId1", "officeDocument", "xl/workbook.xml"),
        ("rId2", f"{PACKAGE}/digital-signature/origin", "_xmlsignatures/origin.sigs"),
    )
    return zipped(
        minimal(),
        {
            "[Content_Types].xml": types(more=origin),
            "_rels/.rels": relations(*links),
            "_xmlsignatures/origin.sigs": b"",
            "_xmlsignatures/_rels/origin.sigs.rels": relations(
                ("rId1", f"{PACKAGE}/digital-signature/signature", "sig1.xml")
            ),
            "_xmlsignatures/sig1.xml": '<Signature xmlns="http://www.w3.org/2000/09/xmldsig#"/>',
        },
    )


def locked() -> bytes:
    """A workbook whose tabs may not be added to or moved."""
    tabs = '<workbookProtection lockStructure="1"/><sheets><sheet name="Corner" sheetId="1" r:id="rId1"/></sheets>'
    return zipped(minimal(), {"xl/workbook.xml": workbook(tabs)})


def check(folder: Path, data: bytes, **given: bool) -> Written:
    path = folder / "job.xlsx"
    path.write_bytes(data)
    result = write_back(open_package(path), our_sheets(), KINDS, path, **given)
    assert path.read_bytes() == data
    assert marked_sheets(open_package(result.path))
    return result


def errors(path: Path) -> set[str]:
    """What openxml-audit calls an error; the small source has no theme, which it misses there too."""
    found = OpenXmlValidator().validate(str(path)).errors
    return {str(one) for one in found if one.severity == ValidationSeverity.ERROR}


@pytest.mark.parametrize("lock", [".~lock.job.xlsx#", "~$job.xlsx"])
def test_open_in_a_spreadsheet_program(tmp_path: Path, lock: str) -> None:
    (tmp_path / lock).write_text(",someone,computer,01.01.2026 08:00;")
    result = check(tmp_path, PLAIN)
    assert result.path == tmp_path / "job - checked.xlsx"
    assert result.message == (
        "job.xlsx is open in a spreadsheet program, so it was left as it is (if it is not open, delete the lock file "
        f"{lock}). The result is in job - checked.xlsx"
    )


def test_open_behind_a_symbolic_link(tmp_path: Path) -> None:
    """The program was started in the folder of the real file."""
    (tmp_path / "real").mkdir()
    real, link = tmp_path / "real" / "store.xlsx", tmp_path / "job.xlsx"
    real.write_bytes(PLAIN)
    link.symlink_to(real)
    (tmp_path / "real" / "~$store.xlsx").write_text("x")
    result = write_back(open_package(link), our_sheets(), KINDS, link)
    assert result.path == tmp_path / "job - checked.xlsx"
    assert real.read_bytes() == PLAIN


def test_digitally_signed(tmp_path: Path) -> None:
    """The copy is an ordinary workbook: a signature over other contents would only be a broken one."""
    result = check(tmp_path, signed())
    assert result.message == (
        "job.xlsx is digitally signed, so it was left as it is; the copy does not carry the signature. "
        "The result is in job - checked.xlsx"
    )
    package = open_package(result.path)
    assert not [name for name in package.archive.members if "signature" in name]
    assert b"signature/origin" not in package.archive.read("_rels/.rels")
    assert b"sig1.xml" not in package.archive.read("[Content_Types].xml")
    assert errors(result.path) <= errors(tmp_path / "job.xlsx")


def test_tabs_are_locked(tmp_path: Path) -> None:
    """The copy stays locked, as its owner wanted it."""
    result = check(tmp_path, locked())
    assert (
        result.message
        == "the sheet tabs of job.xlsx are locked, so it was left as it is. The result is in job - checked.xlsx"
    )
    assert b'lockStructure="1"' in open_package(result.path).archive.read("xl/workbook.xml")


def test_the_same_name_again_for_a_result_of_ours_only(tmp_path: Path) -> None:
    """An earlier result is replaced; a workbook of the user's with that name is not."""
    assert check(tmp_path, locked()).path == check(tmp_path, locked()).path
    (tmp_path / "job - checked.xlsx").write_bytes(PLAIN)
    assert check(tmp_path, locked()).path == tmp_path / "job - checked 2.xlsx"
    assert (tmp_path / "job - checked.xlsx").read_bytes() == PLAIN


def test_a_result_that_the_user_saved_is_kept(tmp_path: Path) -> None:
    """What was typed into the copy may not be lost: after a save in LibreOffice the next result gets a number."""
    first = check(tmp_path, locked()).path
    saved = saved_by_libreoffice(first, tmp_path / "saved").read_bytes()
    first.write_bytes(saved)
    assert check(tmp_path, locked()).path == tmp_path / "job - checked 2.xlsx"
    assert first.read_bytes() == saved


def test_backups_are_numbered(tmp_path: Path) -> None:
    """Each run keeps what the workbook was before it; no backup is ever written over."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(PLAIN)
    before = []
    for verdict in ("fits", "does not fit", "not known"):
        before.append(path.read_bytes())
        write_back(open_package(path), our_sheets(verdict), KINDS, path, backup=True)
    names = ("job.backup.xlsx", "job.backup 2.xlsx", "job.backup 3.xlsx")
    assert [(tmp_path / name).read_bytes() for name in names] == before
    assert len(list(tmp_path.iterdir())) == 4
