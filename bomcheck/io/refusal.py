"""One way to say no: builds the one-line error that every reader and writer of workbooks raises."""

from bomcheck.model.errors import Fault, Place, WorkbookError

LONGEST = 400
"""Letters of one part of a message."""


def refuse(
    kind: str, file: str, wrong: str, instead: str, *, typed: str = "", sheet: str = "", cell: str = ""
) -> WorkbookError:
    """The error to raise. kind: one of FAULT_KINDS. wrong, instead: sentences without their full stop."""
    place = Place(one_line(file), one_line(sheet), one_line(cell))
    return WorkbookError(Fault(kind, place, one_line(typed), one_line(wrong), one_line(instead)))


def one_line(text: str) -> str:
    """Names in a hostile file may hold line ends and control characters, or be endless."""
    shown = "".join(letter if letter.isprintable() else " " for letter in text[:LONGEST])
    return shown if len(text) <= LONGEST else f"{shown} ..."


def damaged(file: str, what: str, *, sheet: str = "", cell: str = "") -> WorkbookError:
    """The error for a workbook that is broken inside; `what` says which part of it."""
    instead = "Open it in a spreadsheet program, let it repair the file, save it and try again, or use an older copy"
    return refuse("damaged", file, f"the workbook is damaged: {what}", instead, sheet=sheet, cell=cell)


def too_large(file: str, what: str, instead: str = "Remove what the job does not need and try again") -> WorkbookError:
    """The error for a workbook beyond one of the limits that keep a hostile file from filling the memory."""
    return refuse("too large", file, what, instead)
