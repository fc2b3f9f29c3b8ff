"""What one sheet yields: values, values that may not be used, and faults, each with its cell."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from bomcheck.errors import Fault, Place, Unreadable
from bomcheck.job import Value
from bomcheck.notation.clean import short


@dataclass(frozen=True, slots=True)
class Context:
    """What the whole workbook says: system "metric", "inch" or "" where the Job sheet does not tell; currency or ""."""

    file: str
    system: str = ""
    currency: str = ""


@dataclass(slots=True)
class Found:
    """values: by field key. held: keys that were typed but may not be used, with the fault. faults: in reading order."""

    file: str
    sheet: str
    values: dict[str, Value] = field(default_factory=dict)
    held: dict[str, Fault] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def place(self, cell: str) -> Place:
        """A cell of this sheet."""
        return Place(self.file, self.sheet, cell)

    def fault(
        self, kind: str, cell: str, typed: str, wrong: str, instead: str, key: str = "", stops: bool = True
    ) -> Fault:
        """Writes down what is wrong with a cell of this sheet."""
        made = Fault(kind, self.place(cell), short(typed), wrong, instead, key, stops)
        self.faults.append(made)
        return made

    def remark(self, kind: str, cell: str, typed: str, wrong: str, instead: str, key: str = "") -> Fault:
        """Writes down that something is not used, or looks odd; nothing has to be corrected."""
        return self.fault(kind, cell, typed, wrong, instead, key, stops=False)

    def refuse(self, cell: str, typed: str, bad: Unreadable, key: str) -> Fault:
        """Writes down what the cell grammar cannot take; a field's value is held."""
        made = self.fault(bad.kind, cell, typed, bad.wrong, bad.instead, key)
        self.hold([key], made)
        return made

    def hold(self, keys: Iterable[str], fault: Fault) -> None:
        """These fields were typed but may not be used."""
        for key in keys:
            self.values.pop(key, None)
            self.held[key] = fault

    def over(self, other: "Found") -> None:
        """What `other` says takes the place of what stands here; all faults are kept."""
        for key in (*other.values, *other.held):
            self.values.pop(key, None)
            self.held.pop(key, None)
        self.values.update(other.values)
        self.held.update(other.held)
        self.faults.extend(other.faults)
