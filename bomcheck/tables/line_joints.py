"""The brake-line tables, read once: what joins what, what never may, and which wrench to start with."""

from functools import cache

from bomcheck.model.records import dataclass
from bomcheck.tables import rows


@dataclass(frozen=True, slots=True)
class JointRow:
    """One seat of `line_joints.txt`; `uses_up` is quantity, unit and role of what the joint needs new, `tube` whether both ends
    must be for one tube, `written` a pattern of how people write it."""

    seat: str
    inner: str
    outer: str
    seals_on: str
    uses_up: tuple[tuple[int, str, str], ...]
    sealant: str
    source: str
    tube: bool
    written: str


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
    uses_up, tube = _uses_up(row["uses_up"]), row["tube"] == "yes"
    return JointRow(
        row["seat"], row["inner"], row["outer"], row["seals_on"], uses_up, row["sealant"], row["source"], tube,
        row["written"],
    )  # fmt: skip


@cache
def joint_rows() -> dict[str, JointRow]:
    """Seat -> its row."""
    return {row["seat"]: _joint_row(row) for row in rows("line_joints")}


@cache
def never_rows() -> dict[tuple[str, frozenset[str]], NeverRow]:
    """(Kind, the two names) -> its row; the pair has no order."""
    found = [NeverRow(**row) for row in rows("line_never")]
    _require("line_never", [name for row in found if row.kind == "seat" for name in (row.first, row.second)])
    return {(row.kind, frozenset((row.first, row.second))): row for row in found}


@cache
def wrenches() -> dict[tuple[str, str], str]:
    """(Seat, thread name) -> wrench in words."""
    _require("line_wrenches", [row["seat"] for row in rows("line_wrenches")])
    return {(row["seat"], row["thread"]): row["wrench"] for row in rows("line_wrenches")}


def _require(table: str, seats: list[str]) -> None:
    """Raises where a table names a seat of which `line_joints.txt` has no row."""
    for seat in seats:
        if seat not in joint_rows():
            raise ValueError(f'tables/{table}.txt names the seat "{seat}", of which tables/line_joints.txt has no row')
