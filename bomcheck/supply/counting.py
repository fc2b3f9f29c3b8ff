"""What parts are counted in, and how one way of counting goes over into another."""

from math import ceil, floor, inf

# Unit -> (what is counted, how many of it one unit is). A set that belongs to a role ("pad set") counts as one.
UNITS = {
    "each": ("pieces", 1.0), "set": ("sets", 1.0), "pair": ("pieces", 2.0), "L": ("volume", 1000.0),
    "mL": ("volume", 1.0), "m": ("length", 1.0), "g": ("mass", 1.0), "hour": ("time", 1.0), "job": ("pieces", 1.0),
}  # fmt: skip
# One tube, bottle or spool of these is more than any one car takes: common practice, no source.
ONE_IS_ENOUGH = ("threadlocker", "thread sealant", "anti-seize", "grease")
# Roles that are work, no parts: neither a box nor a shelf holds them.
DONE_BY_PEOPLE = ("labour", "machining")
CONTAINED = ("volume", "mass", "length")
PADS_IN_SET = 4
TINY = 1e-6


def per_unit(role: str, unit: str, wanted: str) -> float | None:
    """How many of `wanted` one `unit` of this role is; inf: one is enough for any car; None: cannot be told.

    >>> per_unit("rotor", "pair", "each"), per_unit("fluid", "mL", "L"), per_unit("fluid", "each", "L")
    (2.0, 0.001, None)
    """
    (kind, size), (wanted_kind, wanted_size) = UNITS[unit or "each"], UNITS[wanted]
    if role.endswith(" set"):
        return _of_sets(role, unit or "each", wanted)
    if kind == wanted_kind:
        return size / wanted_size
    if role in ONE_IS_ENOUGH and unit in ("each", "set", "") and wanted_kind in CONTAINED:
        return inf
    return None


def _of_sets(role: str, unit: str, wanted: str) -> float | None:
    """A pad set is the four pads of an axle, whether typed as one set or one piece; a pair is half of it."""
    if role == "pad set" and unit == "pair" and wanted in ("set", "each"):
        return 2 / PADS_IN_SET
    return 1.0 if unit in ("set", "each") and wanted in ("set", "each") else None


def whole(quantity: float, unit: str) -> float:
    """A quantity without the noise of adding; pieces, pairs and sets only come whole.

    >>> whole(4.8, "each"), whole(0.30000000000000004, "L")
    (5.0, 0.3)
    """
    return up(quantity) if unit in ("each", "pair", "set") else round(quantity, 6)


def up(number: float) -> float:
    """Next whole number, noise of adding left out."""
    return float(ceil(number - TINY))


def down(number: float) -> float:
    """Whole number below, noise of adding left out."""
    return float(floor(number + TINY))


def said(quantity: float, unit: str) -> str:
    """A quantity in words: "4", "1.3 L", "1 set"."""
    return f"{quantity:g}" if unit in ("each", "") else f"{quantity:g} {unit}"
