"""What is no workbook, cannot be opened, or lacks a sheet."""

from tests.faulty.faulty_job import Made, faulty
from tests.faulty.making import (
    GOOD,
    good_bytes,
    job_bytes,
    renamed_sheet,
)
from tests.faulty.packages import ole
from tests.workbook.packages import zipped


@faulty("file", refused=True)
def missing_file() -> Made:
    return Made(None)


@faulty("file", refused=True)
def a_folder() -> Made:
    return Made(None)


@faulty("not a workbook", refused=True)
def empty_file() -> Made:
    return Made(b"")


@faulty("not a workbook", refused=True)
def old_binary_workbook() -> Made:
    return Made(ole("Workbook")(), ending=".xls")


@faulty("not a workbook", refused=True)
def open_document_spreadsheet() -> Made:
    return Made(zipped({"mimetype": "application/vnd.oasis.opendocument.spreadsheet"}), ending=".ods")


@faulty("not a workbook", refused=True)
def protected_by_password() -> Made:
    return Made(ole("EncryptionInfo", "EncryptedPackage")())


@faulty("not a workbook", refused=True)
def csv_renamed() -> Made:
    return Made(b"What,Value\nHub pilot diameter,66.5\n")


@faulty("damaged", refused=True)
def cut_off_while_copied() -> Made:
    return Made(good_bytes()[:20_000])


@faulty("sheet missing", refused=True)
def kit_sheet_missing() -> Made:
    return Made(renamed_sheet("Kit", "Archive"))


@faulty("sheet missing", refused=True)
def corner_sheet_renamed() -> Made:
    return Made(renamed_sheet("Corner", "Corner sheet"), "Corner sheet")


@faulty("sheet missing")
def price_list_misspelt() -> Made:
    return Made(renamed_sheet("Price list", "Price lsit"), "Price lsit")


@faulty("nothing filled in", refused=True)
def nothing_filled_in() -> Made:
    blank = {section: dict.fromkeys(GOOD[section]) for section in ("job", "corner", "kit")}
    return Made(job_bytes(**blank, box=[], prices=[]))
