"""Every trouble of one table while it is read, and the rows that are left out for it."""

import re

import numpy as np

from bomcheck.model.errors import Fault
from bomcheck.screen.faults import fault
from bomcheck.screen.lanes import Array


class Troubles:
    """file: for messages. faults: what was found. bad: rows that are left out, by their place; rows: their numbers."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self.rows: list[int] = []
        self.bad: Array = np.zeros(0, dtype=bool)

    def begin(self, rows: list[int]) -> None:
        """The rows that are going to be read."""
        self.rows, self.bad = rows, np.zeros(len(rows), dtype=bool)

    def column(self, kind: str, column: str, wrong: str, instead: str) -> None:
        """A column that is not used."""
        self.faults.append(fault(kind, self.file, column, "", wrong, instead, stops=False))

    def row(self, place: int, column: str, typed: str, kind: str, wrong: str, instead: str, key: str = "") -> None:
        """A row that is left out."""
        self.bad[place] = True
        where = f"row {self.rows[place]}, column {column}"
        self.faults.append(fault(kind, self.file, where, typed, f"{wrong}; the row is left out", instead, key))

    def in_order(self) -> list[Fault]:
        """What does not stop first, then row by row."""
        return sorted(self.faults, key=lambda one: (one.stops, _row_of(one)))

    def first(self) -> str:
        """The first trouble that left a row out, for a sentence."""
        first = next((one for one in self.faults if one.stops), None)
        return f"The first trouble: {first}".rstrip(".") if first else "Correct them"


def _row_of(one: Fault) -> int:
    found = re.match(r"row (\d+)", one.place.cell)
    return int(found[1]) if found else 0
