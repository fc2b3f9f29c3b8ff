"""The demo jobs: invented cars and kits that show every verdict. `python -m bomcheck.demos` writes them as workbooks.

What a person typed stands as text in `jobs/`, a file for each job, whose head explains how it is read.
"""

import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from bomcheck.model.records import dataclass
from bomcheck.model.verdict import Verdict
from bomcheck.tables import split_sections
from bomcheck.tables.fields import Field, fields, part_fields, supplier_fields

FOLDER = Path(__file__).parent / "jobs"
NAMES = (
    "hill_climb_two_seater", "camper_van", "estate_rear_axle", "saloon_drums_to_discs", "inch_pickup",
    "half_measured_coupe", "hatchback_too_strong", "touring_coupe_both_axles", "hatchback_which_kit",
    "saloon_boss_in_disc",
)  # fmt: skip
NUMBERS = ("number", "count")
AXLES, SIDES, KITS = ("front", "rear"), ("left", "right"), ("B", "C")
FORMS = ("job", "corner", "kit", "system")
FIRST_COLUMNS = {
    "box": ("role", "part_number", "description", "quantity"),
    "shelf": ("role", "part_number", "description", "on_hand"),
    "prices": ("role", "part_number", "description", "supplier", "unit_price"),
    "terms": ("supplier", "freight", "minimum_order"),
}


@dataclass(frozen=True)
class Demo:
    """One scenario.

    name: of the workbook, without its ending. system: "metric" or "inch", the units of bare numbers. verdict: expected.
    shows: what can be learned from it, whole sentences. sheets: {section of the file: its lines}.
    """

    name: str
    system: str
    verdict: Verdict
    shows: str
    sheets: Mapping[str, str]

    @property
    def start_note(self) -> str:
        """What the first sheet says of the demo."""
        return f"Demo, an invented car and kit. {self.shows} Expected verdict: {self.verdict}."

    @property
    def filled(self) -> dict[str, Any]:
        """All cells, as `bomcheck.io.blank.template.build_job_workbook` takes them."""
        axles = {axle: self._cells({"corner": "", "kit": "", "box": ""}, axle) for axle in AXLES if self.has_axle(axle)}
        shared = self._cells(dict.fromkeys((*FORMS, *FIRST_COLUMNS), ""))
        kits = {kit: self._cells({"kit": "", "box": ""}, kit) for kit in KITS if f"kit {kit}" in self.sheets}
        more = {"axles": axles, "kits": kits}
        return {"start_note": self.start_note, **shared, **{name: own for name, own in more.items() if own}}

    def has_axle(self, axle: str) -> bool:
        """Whether this axle has sheets of its own: both get a kit."""
        return f"kit {axle}" in self.sheets

    def _cells(self, names: Mapping[str, str], axle: str = "") -> dict[str, Any]:
        """What stands on these sheets; of an axle also what differs on a side. axle: or the letter of a further kit."""
        texts = {name: self.sheets.get(f"{name} {axle}".strip(), "") for name in names}
        read = {name: form_cells(text, self.system) for name, text in texts.items() if name in FORMS}
        tables = {name: part_rows(name, text, self.system) for name, text in texts.items() if name in FIRST_COLUMNS}
        plus_minus = {key: half for _, halves in read.values() for key, half in halves.items()}
        for side in SIDES if axle else ():
            if differs := self.sheets.get(f"corner {axle} {side}"):
                read[f"corner {side}"] = form_cells(differs, self.system)
        return {"plus_minus": plus_minus, **{name: values for name, (values, _) in read.items()}, **tables}

    def write(self, into: Path) -> Path:
        """Writes the workbook into a folder, the same bytes each time."""
        from bomcheck.io.blank.template import build_job_workbook

        path = into / f"{self.name}.xlsx"
        build_job_workbook(self.system, self.filled, path)
        return path


@cache
def demo(name: str) -> Demo:
    """The demo job of this name, as its file has it. Raises ValueError for a section that no workbook has."""
    sections = split_sections((FOLDER / f"{name}.txt").read_text(encoding="utf-8"))
    about: dict[str, str] = {}
    for line in _lines(sections.pop("demo")):
        key, text = line.split(maxsplit=1)
        about[key] = f"{about[key]} {text}" if key in about else text
    of_axles = {f"{name} {axle}" for name in ("corner", "kit", "box") for axle in AXLES}
    of_sides = {f"corner {axle} {side}" for axle in AXLES for side in SIDES}
    of_kits = {f"{name} {kit}" for name in ("kit", "box") for kit in KITS}
    if unknown := set(sections) - {*FORMS, *FIRST_COLUMNS, *of_axles, *of_sides, *of_kits}:
        raise ValueError(f"{name}.txt has a section that no workbook has: {', '.join(sorted(unknown))}")
    if "like" in about:
        sections = _over(demo(about["like"]).sheets, sections)
    for kit in (kit for kit in KITS if f"kit {kit}" in sections):
        for sheet in ("kit", "box"):
            sections[f"{sheet} {kit}"] = _merged(sheet, sections[sheet], sections.get(f"{sheet} {kit}", ""))
    return Demo(name, about["units"], Verdict(about["verdict"]), about["shows"], sections)


def _over(others: Mapping[str, str], own: Mapping[str, str]) -> dict[str, str]:
    """The sheets of another demo, with what this one says over them."""
    shared = {name: _merged(name, others[name], text) for name, text in own.items() if name in others}
    return {**others, **own, **shared}


def _merged(name: str, text: str, own: str) -> str:
    """The lines of a sheet, those of `own` in the place of the ones with their field or role; "-" takes these out."""
    sign = "|" if name in FIRST_COLUMNS else None
    mine = [line.split(sign, 1) for line in _lines(own)]
    kept = [line for line in _lines(text) if line.split(sign, 1)[0].strip() not in {first.strip() for first, _ in mine}]
    return "\n".join([*kept, *(f"{first} {sign or ''} {rest}" for first, rest in mine if rest.strip() != "-")])


def all_demos() -> tuple[Demo, ...]:
    """Every demo, in the order in which to look at them."""
    return tuple(demo(name) for name in NAMES)


def form_cells(text: str, system: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """({key: value}, {key: ±}) of the lines of a form.

    >>> form_cells("hub_pilot_diameter  54.06  ± 0.01", "metric")
    ({'hub_pilot_diameter': 54.06}, {'hub_pilot_diameter': 0.01})
    """
    values: dict[str, Any] = {}
    halves: dict[str, Any] = {}
    for line in _lines(text):
        key, rest = line.split(maxsplit=1)
        typed, _, half = rest.partition("±")
        values[key] = as_typed(typed.strip(), fields()[key], system)
        if half:
            halves[key] = as_typed(half.strip(), fields()[key], system)
    return values, halves


def part_rows(table: str, text: str, system: str) -> list[dict[str, Any]]:
    """The lines of a table of parts: the first columns by their order, the others as "key value".

    >>> part_rows("box", "shim | 08 | shim 0.8 | 8 | thickness 0.8", "metric")
    [{'role': 'shim', 'part_number': '08', 'description': 'shim 0.8', 'quantity': 8.0, 'thickness': 0.8}]
    """
    return [dict(_part_cells(table, line, system)) for line in _lines(text)]


def _part_cells(table: str, line: str, system: str) -> Iterator[tuple[str, Any]]:
    cells = [cell.strip() for cell in line.split("|")]
    first = FIRST_COLUMNS[table]
    pairs = [*zip(first, cells, strict=False), *(cell.split(maxsplit=1) for cell in cells[len(first) :])]
    known: Mapping[str, Field] = supplier_fields() if table == "terms" else part_fields()
    return ((key, as_typed(text, known[key], system)) for key, text in pairs if text)


def as_typed(text: str, field: Field, system: str) -> float | str:
    """A number for a number cell, else the text; inch sheets keep their sizes as text, as 3/4 must not become a day."""
    keeps_text = field.notation not in NUMBERS or field.shown_unit(system) in ("in", "")
    return text if keeps_text or not re.fullmatch(r"-?\d*\.?\d+", text) else float(text)


def _lines(text: str) -> Iterator[str]:
    return (line.strip() for line in text.splitlines() if line.strip())
