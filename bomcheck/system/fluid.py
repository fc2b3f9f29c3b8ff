"""Tables of the system: fluids' boiling points, friction letters, hose expansion, master cylinder bores."""

from functools import cache

from bomcheck.tables import rows
from bomcheck.verdict.box import Range

CM3_PER_FOOT = 1000.0 / 0.3048  # mm³ per metre in one cm³ per foot
PSI = 0.00689475729  # MPa


@cache
def boiling_points() -> dict[str, tuple[float, float]]:
    """Least (dry, wet) boiling point [°C] by class of fluid: FMVSS 116."""
    return {row["class"]: (float(row["dry"]), float(row["wet"])) for row in rows("brake_fluids")}


def fluids_for(wet: float) -> tuple[str, ...]:
    """Glycol fluids whose least wet boiling point reaches this [°C].

    >>> fluids_for(150.0)
    ('DOT 4', 'DOT 5.1')
    """
    return tuple(row["class"] for row in rows("brake_fluids") if row["base"] == "glycol" and float(row["wet"]) >= wet)


def highest_wet() -> float:
    """The highest least wet boiling point that any class of fluid must have [°C].

    >>> highest_wet()
    180.0
    """
    return max(wet for _, wet in boiling_points().values())


def friction_of(code: str) -> Range | None:
    """Friction [-] of the first letter of an edge code, "FF"; None for a letter without an upper bound or none at all.

    >>> friction_of("FG")
    Range(low=0.35, middle=0.4, high=0.45)
    """
    row = next((row for row in rows("friction_codes") if row["letter"] == code.strip()[:1].upper()), None)
    if row is None or not row["high"]:
        return None
    low, high = float(row["low"]), float(row["high"])
    return Range(low, round((low + high) / 2, 6), high)


def friction_letter(friction: float) -> str:
    """The letter of a friction coefficient [-].

    >>> friction_letter(0.15), friction_letter(0.4), friction_letter(0.7)
    ('C', 'F', 'H')
    """
    table = rows("friction_codes")
    return next((row["letter"] for row in table if row["high"] and friction <= float(row["high"])), table[-1]["letter"])


def legal_hose_compliance(bore: str, kind: str, pressure: int) -> float | None:
    """Most that a hose may swell [mm³/(m·MPa)], by bore [in, as text], kind and pressure [psi]: FMVSS 106, table I.

    >>> round(legal_hose_compliance("1/8", "low", 1000), 1)
    157.0
    """
    row = next((row for row in rows("hose_expansion") if (row["bore"], row["kind"]) == (bore, kind)), None)
    figure = row[f"psi_{pressure}"] if row else ""
    return float(figure) * CM3_PER_FOOT / (pressure * PSI) if figure else None


@cache
def master_bores() -> tuple[tuple[str, float], ...]:
    """(As stamped, bore [mm]) of the master cylinders that the trade sells, smallest first."""
    return tuple((row["stamped"], float(row["bore"])) for row in rows("master_bores"))
