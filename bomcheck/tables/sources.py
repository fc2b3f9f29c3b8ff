"""Where a size comes from, and the interval that follows from it where no ± is typed."""

from functools import cache

from bomcheck.tables import rows
from bomcheck.tables.fields import Field

MEASURED, DRAWING, SHEET, MAKER, CATALOGUE, CUSTOMER = SOURCES = (
    *("measured", "kit drawing", "kit sheet", "car maker", "catalogue", "customer"),
)
TURNED = 0.05
"""[mm] What a bore may be larger, or a register smaller, than a kit's sheet says: common practice, no source."""
BY_WORD, LEAST_BY_WORD = 3.0, 1.0
"""A customer's word is taken as three times the usual ±, and at least 1 mm: common practice, no source."""
TURNED_SIZES = {"hat_bore": +1.0, "hat_park_drum_diameter": +1.0}
"""Sizes of the kit that are turned to fit something: +1 a bore, -1 a register."""


def default_source(field: Field) -> str:
    """Where a field's size comes from where nothing is said: the kit's from its sheet, the car's from measuring."""
    return SHEET if field.section == "kit" else MEASURED


def usual_interval(field: Field, source: str, nominal: float) -> tuple[float, float]:
    """(what to add for the middle, half width) in the field's unit, of a size that carries no ± of its own.

    nominal: as typed, in the field's unit. Source: ISO 2768-1 for drawings (fine) and catalogues (medium).
    """
    usual = field.plus_minus
    if not usual or field.unit != "mm":
        return 0.0, usual
    if source in (SHEET, DRAWING) and field.key in TURNED_SIZES:
        return TURNED_SIZES[field.key] * TURNED / 2, TURNED / 2
    if source == CUSTOMER:
        return 0.0, max(BY_WORD * usual, LEAST_BY_WORD)
    if source in (DRAWING, CATALOGUE):
        return 0.0, general_tolerance(nominal, "fine" if source == DRAWING else "medium")
    return 0.0, usual


@cache
def _general() -> tuple[tuple[float, dict[str, str]], ...]:
    return tuple((float(row["up_to"]), row) for row in rows("iso_2768"))


def general_tolerance(nominal: float, kind: str) -> float:
    """Half width [mm] of a size without a tolerance, by ISO 2768-1. kind: "fine" or "medium".

    >>> general_tolerance(66.6, "fine"), general_tolerance(330.0, "medium")
    (0.15, 0.5)
    """
    row = next((row for up_to, row in _general() if abs(nominal) <= up_to), _general()[-1][1])
    return float(row[kind])
