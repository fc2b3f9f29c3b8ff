"""One way to say no: builds the one-line error that every reader and writer of workbooks raises."""

from bomcheck.errors import Fault, Place, WorkbookError


def refuse(
    kind: str, file: str, wrong: str, instead: str, *, typed: str = "", sheet: str = "", cell: str = ""
) -> WorkbookError:
    """The error to raise. kind: one of FAULT_KINDS. wrong, instead: sentences without their full stop."""
    return WorkbookError(Fault(kind, Place(file, sheet, cell), typed, wrong, instead))


def damaged(file: str, what: str) -> WorkbookError:
    """The error for a workbook that is broken inside; `what` says which part of it."""
    instead = "Open it in a spreadsheet program, let it repair the file, save it and try again, or use an older copy"
    return refuse("damaged", file, f"the workbook is damaged: {what}", instead)


def too_large(file: str, what: str, instead: str = "Remove what the job does not need and try again") -> WorkbookError:
    """The error for a workbook beyond one of the limits that keep a hostile file from filling the memory."""
    return refuse("too large", file, what, instead)
