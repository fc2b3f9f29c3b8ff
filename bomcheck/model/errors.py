"""Everything that can be wrong, as exceptions and faults with named parts; imports nothing of the project.

A fault is one line for a person: where it is, what was typed, what is wrong and what to type instead. Code compares
`kind` and `place`; the sentence is only ever read.
"""

from bomcheck.model.records import dataclass

FAULT_KINDS = (
    "unreadable text", "unknown unit", "unit missing", "pitch missing", "gender missing", "part of it missing",
    "date in a size", "out of range", "looks like another unit", "not one of the choices", "formula without a value",
    "error value", "unknown label", "label used twice", "entries disagree", "not allowed here", "sheet missing",
    "heading missing", "nothing filled in", "not a workbook", "file", "too large", "damaged",
)  # fmt: skip


def one_line(text: str) -> str:
    """The text with every line end and other sign that is not shown as a space."""
    return text if text.isprintable() else "".join(sign if sign.isprintable() else " " for sign in text)


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands: file name, sheet and cell; parts that do not apply are empty."""

    file: str = ""
    sheet: str = ""
    cell: str = ""

    def __str__(self) -> str:
        address = f"{self.sheet}!{self.cell}" if self.sheet and self.cell else self.sheet or self.cell
        return ": ".join(part for part in (self.file, address) if part)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong with what was given.

    kind: one of FAULT_KINDS. typed: the text as it stands in the cell. wrong: what is wrong with it. instead: what to
    type or do. stops: True when the value must be corrected before a result may be written over the source; False for
    a remark about something that is merely not used.
    """

    kind: str
    place: Place
    typed: str
    wrong: str
    instead: str
    key: str = ""
    stops: bool = True

    def __str__(self) -> str:
        typed = f' "{self.typed}":' if self.typed else ""
        return one_line(f"{self.place}:{typed} {self.wrong}. {self.instead}.")


class BomcheckError(Exception):
    """Base of all errors that a user may see; `str()` is one complete line."""


class Unreadable(BomcheckError, ValueError):
    """A text that the cell grammar cannot take.

    kind: one of FAULT_KINDS. typed: the text. wrong: what is wrong, no full stop. instead: what to type, no full stop.
    """

    def __init__(self, kind: str, typed: str, wrong: str, instead: str) -> None:
        self.kind, self.typed, self.wrong, self.instead = kind, typed, wrong, instead
        super().__init__(f'"{typed}": {wrong}. {instead}.')


class WorkbookError(BomcheckError):
    """A workbook, or a part of it, that cannot be read or written; carries the one fault that says why."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(str(fault))
