"""The brake-line tables, read once: what joins what, what never may, and which wrench to start with."""

from dataclasses import dataclass
from functools import cache

from bomcheck.tables import rows


@dataclass(frozen=True, slots=True)
class JointRow:
    """One seat of `line_joints.txt`; `uses_up` is quantity, unit and role of what the joint needs new."""

    seat: str
    inner: str
    outer: str
    seals_on: str
    uses_up: tuple[tuple[int, str, str], ...]
    sealant: str
    source: str


@dataclass(frozen=True, slots=True)
class NeverRow:
    """One pair of `line_never.txt`; `kind` is "thread", "seat" or "taper"."""

    kind: str
    first: str
    second: str
    reason: str
    source: str


def _uses_up(text: str) -> tuple[tuple[int, str, str], ...]:
    if text == "-":
        return ()
    triples = (item.split(maxsplit=2) for item in text.split(";"))
    return tuple((int(quantity), unit, role) for quantity, unit, role in triples)


def _joint_row(row: dict[str, str]) -> JointRow:
    uses_up = _uses_up(row["uses_up"])
    return JointRow(row["seat"], row["inner"], row["outer"], row["seals_on"], uses_up, row["sealant"], row["source"])


@cache
def joint_rows() -> dict[str, JointRow]:
    """Seat -> its row."""
    return {row["seat"]: _joint_row(row) for row in rows("line_joints")}


@cache
def never_rows() -> dict[tuple[str, frozenset[str]], NeverRow]:
    """(Kind, the two names) -> its row; the pair has no order."""
    found = [NeverRow(**row) for row in rows("line_never")]
    return {(row.kind, frozenset((row.first, row.second))): row for row in found}


@cache
def wrenches() -> dict[tuple[str, str], str]:
    """(Seat, thread name) -> wrench in words."""
    return {(row["seat"], row["thread"]): row["wrench"] for row in rows("line_wrenches")}
