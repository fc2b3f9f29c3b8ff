"""Troubles of a screening table, one line each: file, row and column, what was typed, what is wrong, what to do."""

from bomcheck.model.errors import Fault, Place, WorkbookError
from bomcheck.notation.text import short


def fault(
    kind: str, file: str, where: str, typed: str, wrong: str, instead: str, key: str = "", stops: bool = True
) -> Fault:
    """One trouble. where: "row 7, column Ear spacing"."""
    return Fault(kind, Place(file, cell=where), short(typed), wrong, instead, key, stops)


def refuse(kind: str, file: str, wrong: str, instead: str, where: str = "", typed: str = "") -> WorkbookError:
    """A table that cannot be used at all."""
    return WorkbookError(fault(kind, file, where, typed, wrong, instead))
