"""The fields of a job, read from `schemas/`: what each is called, how it is typed, and what is plausible.

Keywords that JSON Schema does not know begin with "x-"; the schema's own comment explains them. Only the standard
library is imported here; jsonschema is loaded when something is validated.
"""

import json
import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from bomcheck.model.records import dataclass
from bomcheck.model.shipped import folder
from bomcheck.tables import rows

SECTIONS = ("job", "corner", "kit", "system")
NEAR_ENOUGH = 0.6
WITH_PLUS_MINUS = ("number", "bolt circle", "pairs")


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that is typed.

    label: what the person sees. unit: internal; metric_unit, inch_unit: shown in the templates; "" for text.
    notation: how the cell is typed ("number", "thread", "shims" ...). choices: of a drop-down, else empty.
    plus_minus: usual ± in the internal unit, 0.0 for what is named or nominal. low, high: plausible range of the number,
    of each number in a list, or of a thread's or circle's diameter; None for no bound. pair_ranges: for "pairs",
    the two columns' ranges; least_points: how few of them are enough; reads: the check
    that a direct reading stands for. question: asked when it is blank. group: heading that it stands under.
    """

    key: str
    section: str
    label: str
    help: str
    unit: str
    inch_unit: str
    metric_unit: str
    notation: str
    choices: tuple[str, ...]
    plus_minus: float
    low: float | None
    high: float | None
    instrument: str
    question: str
    group: str
    pair_ranges: tuple[tuple[float, float], ...] = ()
    least_points: int = 0
    reads: str = ""

    @property
    def takes_plus_minus(self) -> bool:
        """Whether a ± of its own may be typed beside it."""
        return self.notation in WITH_PLUS_MINUS and self.plus_minus > 0

    def shown_unit(self, system: str) -> str:
        """Unit of a bare number, "" where it must be typed (a torque) or there is none; system: "metric" or "inch"."""
        return self.inch_unit if system == "inch" else self.metric_unit


@cache
def schema(name: str) -> dict[str, Any]:
    """A shipped schema, "job", "part" or "supplier", as it stands in its file."""
    text = (folder("schemas") / f"{name}.schema.json").read_text(encoding="utf-8")
    read: dict[str, Any] = json.loads(text)
    return read


@cache
def fields() -> dict[str, Field]:
    """Every field of a job by key, in the order of the sheets."""
    sections = schema("job")["properties"]
    made = (_field(k, s, rule) for s in SECTIONS for k, rule in sections[s]["properties"].items())
    return {field.key: field for field in made}


@cache
def part_fields() -> dict[str, Field]:
    """The columns of box contents, price list and shelf by key."""
    return {key: _field(key, "part", rule) for key, rule in schema("part")["properties"].items()}


@cache
def supplier_fields() -> dict[str, Field]:
    """The columns of the suppliers' terms by key."""
    return {key: _field(key, "supplier", rule) for key, rule in schema("supplier")["properties"].items()}


def section_fields(section: str) -> list[Field]:
    """The fields of "job", "corner", "kit" or "system"; "part" and "supplier" give the columns of a table."""
    if section in ("part", "supplier"):
        return list((part_fields() if section == "part" else supplier_fields()).values())
    return [field for field in fields().values() if field.section == section]


def find_label(text: str, section: str) -> Field | None:
    """The field with this label or key; capitals, spaces and punctuation do not count."""
    return _labels(section).get(plain(text))


def nearest_label(text: str, section: str) -> Field | None:
    """The field whose label is most like a text that is no label, or None when none is near."""
    from difflib import get_close_matches

    labels = _labels(section)
    near = get_close_matches(plain(text), labels, n=1, cutoff=NEAR_ENOUGH)
    return labels[near[0]] if near else None


def plain(text: str) -> str:
    """A label without capitals, spaces and punctuation.

    >>> plain("Wheel pilot-length, on hub:")
    'wheelpilotlengthonhub'
    """
    return re.sub(r"[\W_]+", "", text.lower())


@cache
def _labels(section: str) -> dict[str, Field]:
    named = section_fields(section)
    return {plain(text): field for field in named for text in (field.key, field.label)}


@cache
def other_headings(table: str) -> dict[str, tuple[str, ...]]:
    """What the columns of a shop's "order" or of a packing "slip" are called elsewhere, by our column, the likeliest first."""
    return {
        row["column"]: tuple(row["headings"].split("; ")) for row in rows("other_headings") if row["table"] == table
    }


@cache
def readings() -> dict[str, str]:
    """Check -> the field of the direct reading that stands for it."""
    return {field.reads: key for key, field in fields().items() if field.reads}


def _field(key: str, section: str, rule: Mapping[str, Any]) -> Field:
    unit = rule["x-unit"]
    low, high = _range(rule)
    return Field(
        key=key, section=section, label=rule["title"], help=rule["description"], unit=unit,
        inch_unit=rule.get("x-inch-unit", unit), metric_unit=rule.get("x-metric-unit", unit),
        notation=rule["x-notation"], choices=tuple(rule.get("enum") or rule.get("items", {}).get("enum", ())),
        plus_minus=float(rule.get("x-plus-minus", 0)), low=low, high=high, instrument=rule.get("x-instrument", ""),
        question=rule.get("x-question", ""), group=rule["x-group"], pair_ranges=tuple(_pair_ranges(rule)),
        least_points=rule.get("minItems", 0), reads=rule.get("x-reads", ""),
    )  # fmt: skip


def _range(rule: Mapping[str, Any]) -> tuple[float | None, float | None]:
    """Plausible range of a number, of a list's numbers or of a shim's thickness."""
    items = rule.get("items", {})
    for holder in (rule, items, items.get("properties", {}).get("thickness", {})):
        if "minimum" in holder:
            return float(holder["minimum"]), float(holder["maximum"])
    return None, None


def _pair_ranges(rule: Mapping[str, Any]) -> Iterator[tuple[float, float]]:
    for column in rule.get("items", {}).get("prefixItems", ()):
        yield float(column["minimum"]), float(column["maximum"])
