"""Units: what people call them, and their factors to the internal units. The only unit code of the project.

pint knows the factors, but importing it takes a quarter of a second, which a quick check cannot spare. So pint's
figures are written once into `tables/unit_factors.txt` by

    python -m bomcheck.notation.units

and read from there. Typed text never reaches pint: it would read "Nm" as a textile unit and "in*lb" as a mass.
"""

import re
from functools import cache
from typing import Any

from bomcheck.model.records import dataclass
from bomcheck.tables import FOLDER, rows

FACTORS_HEAD = """\
# Factors from each unit to the unit that is used inside the program: inside = typed x factor + offset.
#
# Written by `python -m bomcheck.notation.units` from pint {version} and unit_names.txt; do not edit, run it again.
# Columns, divided by tabs: unit, quantity (what it measures), factor, offset (not zero for temperatures only).
unit\tquantity\tfactor\toffset
"""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: printed name, quantity it measures, and inside = typed * factor + offset."""

    name: str
    quantity: str
    factor: float
    offset: float


@cache
def _units() -> dict[tuple[str, str], Unit]:
    made = (
        Unit(row["unit"], row["quantity"], float(row["factor"]), float(row["offset"])) for row in rows("unit_factors")
    )
    return {(unit.quantity, unit.name): unit for unit in made}


@cache
def _spellings() -> dict[str, tuple[Unit, ...]]:
    found: dict[str, tuple[Unit, ...]] = {}
    for row in rows("unit_names"):
        unit = _units()[row["quantity"], row["unit"]]
        for spelling in dict.fromkeys([*row["spellings"].split(), squash(row["unit"])]):
            found[spelling] = (*found.get(spelling, ()), unit)
    return found


_MARKS = "-·⋅•*×_"


def squash(text: str) -> str:
    """Small letters, raised figures lowered, without the marks that people put between units: "ft-lb" -> "ftlb".

    A mark at its end, "cm *", is none of these and stays.
    """
    lowered = text.strip().lower().translate(str.maketrans("²³”“″’‘′", "23\"\"\"'''")).replace("μ", "µ")
    if ".." in lowered or lowered[-1:] in _MARKS or lowered[:1] in _MARKS[1:]:
        return lowered
    return re.sub(r"[\s.\-·⋅•*×_]+", "", lowered) or lowered


def named(name: str) -> Unit | None:
    """The unit with exactly this printed name ("N·m"); where two share it ("g"), the first of the list."""
    return next((unit for unit in _units().values() if unit.name == name), None)


def spelled(text: str) -> tuple[Unit, ...]:
    """Every unit that people write like this: "lb" is a mass and a force, "xyz" is none."""
    return _spellings().get(squash(text), ())


def find(text: str, quantity: str) -> Unit | None:
    """The unit of `quantity` that people write like this, or None."""
    return next((unit for unit in spelled(text) if unit.quantity == quantity), None)


def convert(value: float, unit: Unit, to: Unit, difference: bool = False) -> float:
    """`value` of `unit` expressed in `to`, to 12 figures; a difference (a ±, a rise) takes no offset.

    >>> convert(1.75, named("in"), named("mm"))
    44.45
    """
    if unit == to:
        return value
    shift = 0.0 if difference else unit.offset - to.offset
    result = float(f"{(value * unit.factor + shift) / to.factor:.12g}")
    return round(result, 9) + 0.0 if shift else result


def factor_rows() -> list[tuple[str, str, float, float]]:
    """(unit, quantity, factor, offset) of every unit, computed by pint."""
    import pint

    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    inside: dict[str, str] = {}
    made = []
    for row in rows("unit_names"):
        to = inside.setdefault(row["quantity"], row["pint"])
        offset, upper = (_in_pint(registry, value, row["pint"], to) for value in (0.0, 1000.0))
        made.append((row["unit"], row["quantity"], float(f"{(upper - offset) / 1000:.14g}"), float(f"{offset:.14g}")))
    return made


def _in_pint(registry: Any, value: float, unit: str, to: str) -> float:
    """`value` of a unit in another; "0.01*dimensionless" is a number times a unit."""
    number, _, rest = unit.partition("*") if unit[0].isdigit() else ("1", "", unit)
    quantity = registry.Quantity(value * float(number), rest)
    return float(quantity.to(to).magnitude)


def write_factors() -> None:
    """Writes `tables/unit_factors.txt`."""
    import pint

    lines = [f"{unit}\t{quantity}\t{factor!r}\t{offset!r}\n" for unit, quantity, factor, offset in factor_rows()]
    text = FACTORS_HEAD.format(version=pint.__version__) + "".join(lines)
    (FOLDER / "unit_factors.txt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_factors()
