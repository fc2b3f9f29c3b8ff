"""Whether the class of a screw is good enough: never lower than what is asked for."""

import re
from functools import cache

from bomcheck.tables import rows

SPELLINGS = re.compile(r"^(class|cl\.?|grade|gr\.?|g)?\s*(\d{1,2}(?:[.,]\d)?)$", re.I)


@cache
def _table() -> tuple[tuple[str, float, float, float, float], ...]:
    """(class, above, up to [mm], proof, tensile [MPa]) each."""
    return tuple(
        (row["class"], float(row["above"]), float(row["up_to"]), float(row["proof"]), float(row["tensile"]))
        for row in rows("screw_classes")
    )


def class_name(typed: str) -> str:
    """The usual spelling of a class; a text that is no known class comes back as it was: a bare 8 may be a nut's.

    >>> class_name("Gr. 8"), class_name("10,9"), class_name("A2-70"), class_name("8")
    ('grade 8', '10.9', 'A2-70', '8')
    """
    found = SPELLINGS.match(typed.strip())
    if found is None:
        return typed.strip()
    number = found[2].replace(",", ".")
    name = f"grade {number}" if (found[1] or "").lower().startswith("g") else number
    return name if name in {row[0] for row in _table()} else typed.strip()


def strength(name: str, diameter: float) -> tuple[float, float] | None:
    """(proof, tensile) [MPa] of a class at a nominal diameter [mm]; None for a class that is not in the table."""
    wanted = class_name(name)
    for known, above, up_to, proof, tensile in _table():
        if known == wanted and above < diameter <= up_to:
            return proof, tensile
    return None


def not_lower(offered: str, wanted: str, diameter: float | None) -> bool | None:
    """Whether a class is at least the other; None where one of them is not known. diameter [mm]: None for up to 16.

    Between the two families the figures of the table decide, both of them.

    >>> not_lower("12.9", "10.9", 12.0), not_lower("grade 8", "10.9", 12.0), not_lower("grade 5", "8.8", 12.0)
    (True, False, True)
    """
    if class_name(offered) == class_name(wanted):
        return True
    has, must = (strength(name, diameter or 10.0) for name in (offered, wanted))
    if has is None or must is None:
        return None
    return has[0] >= must[0] and has[1] >= must[1]
