"""The first row of a table: which field each column is, its key or label, a ± of its own, a unit in brackets."""

import re
from dataclasses import dataclass, field

from bomcheck import notation
from bomcheck.io import layout
from bomcheck.screen.entries import holds_something
from bomcheck.screen.faults import refuse
from bomcheck.screen.grids import Grid
from bomcheck.screen.table_kinds import NAMES, OTHER, OWN_NAME, SECTIONS
from bomcheck.screen.troubles import Troubles
from bomcheck.tables.fields import Field, find_label, nearest_label

PLUS_MINUS = re.compile(r"^(.*?)\s*(?:±|\+/-|\+-)\s*$")


@dataclass
class Heading:
    """One column of the table. half: whether it holds a field's ±. unit: in the heading's brackets, "" for none."""

    place: int
    text: str
    field: Field
    half: bool
    unit: str


@dataclass
class Headings:
    """columns: those that are fields. own: place of a column that only names the rows. meant: fields that a misspelled
    heading probably means."""

    columns: list[Heading] = field(default_factory=list)
    own: int | None = None
    meant: set[str] = field(default_factory=set)

    def name_places(self, kind: str) -> list[int]:
        """Places of the columns that may name a row, the first that is filled in counts."""
        places = {one.field.key: one.place for one in self.columns if not one.half}
        own = [] if self.own is None else [self.own]
        return [*own, *(places[key] for key in NAMES[kind] if key in places)]


def read_headings(grid: Grid, kind: str, troubles: Troubles) -> Headings:
    """All headings of a table. Raises WorkbookError where none is a field, or one stands twice."""
    found, texts = Headings(), dict[str, str]()
    for place, text in enumerate(grid.headings):
        if not text:
            _blank(grid, place, troubles)
        elif _is_own_name(text, kind):
            found.own = place if found.own is None else found.own
        elif (one := _heading(place, text, kind)) is None:
            _unknown(text, kind, found, troubles)
        else:
            _require_once(grid.file, one, texts)
            found.columns.append(one)
    if not found.columns:
        wrong = f"no heading of this table is a field of {kind}"
        instead = f"Begin with `bomcheck new --{kind}`; the first row holds the headings"
        raise refuse("heading missing", grid.file, wrong, instead)
    return found


def _blank(grid: Grid, place: int, troubles: Troubles) -> None:
    if holds_something(grid.columns[place]):
        wrong = "this column has no heading, so it is not used"
        troubles.column("heading missing", f"column {place + 1}", wrong, "Write the field's name above it")


def _is_own_name(text: str, kind: str) -> bool:
    return notation.plain(text).lower().replace("_", "").replace(" ", "") in OWN_NAME[kind]


def _require_once(file: str, one: Heading, texts: dict[str, str]) -> None:
    mark = f"{one.field.key}{'±' if one.half else ''}"
    if mark in texts:
        wrong = f"two columns are called {one.field.label}{' ±' if one.half else ''}"
        raise refuse("label used twice", file, wrong, "Keep one of them", f"columns {texts[mark]} and {one.text}")
    texts[mark] = one.text


def _parted(text: str) -> tuple[str, bool, str]:
    """(label, whether it is a ±, unit in brackets)."""
    halved = PLUS_MINUS.match(text)
    label, unit = layout.split_heading(halved[1] if halved else text)
    inner = None if halved else PLUS_MINUS.match(label)
    return (inner[1] if inner else label), bool(halved or inner), unit


def _heading(place: int, text: str, kind: str) -> Heading | None:
    label, half, unit = _parted(text)
    found = (find_label(label, section) for section in SECTIONS[kind])
    known = next((one for one in found if one is not None), None)
    return None if known is None else Heading(place, text, known, half, unit)


def _unknown(text: str, kind: str, found: Headings, troubles: Troubles) -> None:
    label, other = _parted(text)[0], OTHER[kind]
    if any(find_label(label, section) for section in SECTIONS[other]):
        wrong = f"this is a field of {other}, not of {kind}; the column is not used"
        troubles.column("not allowed here", f"column {text}", wrong, f"Move it to the table of {other}")
        return
    near = next((n for section in SECTIONS[kind] if (n := nearest_label(label, section))), None)
    if near:
        found.meant.add(near.key)
    instead = f'Did you mean "{near.label}"' if near else f"`bomcheck new --{kind}` gives all headings"
    troubles.column("unknown label", f"column {text}", "no field has this name; the column is not used", instead)
