"""Values printed for a person, in mm and N·m or in inches and lb·ft."""

from bomcheck import units

INCH_UNITS = {
    "mm": ("in", 3),
    "N·m": ("lb·ft", 1),
    "MPa": ("psi", 0),
    "kg": ("lb", 1),
    "N": ("lbf", 0),
    "°C": ("°F", 0),
    "m/s": ("mph", 1),
    "mm³": ("in³", 3),
}
METRIC_UNITS = {
    "mm": ("mm", 3),
    "N·m": ("N·m", 1),
    "MPa": ("MPa", 2),
    "kg": ("kg", 2),
    "N": ("N", 0),
    "°C": ("°C", 0),
    "m/s": ("km/h", 1),
    "mm³": ("mm³", 0),
    "m/s²": ("m/s²", 2),
}


def show_number(value: float, unit: str, system: str = "metric") -> str:
    """`value` of the internal `unit` as a person of this system reads it: "44.45 mm", "1.750 in", "10 lb·ft".

    system: "metric" or "inch". A plain number (unit "-") has no unit behind it. Metric drops needless zeros; inch sizes
    keep three decimals, as they are written on drawings.
    """
    name, digits = (INCH_UNITS if system == "inch" else METRIC_UNITS).get(unit, METRIC_UNITS.get(unit, (unit, 3)))
    here, there = units.named(unit), units.named(name)
    shown = value if here is None or there is None else units.convert(value, here, there)
    text = f"{shown:.{digits}f}"
    if "." in text and name != "in":
        text = text.rstrip("0").rstrip(".")
    text = text.lstrip("-") if not text.strip("-0.") else text
    return text if name == "-" else f"{text} {name}"


def show_length(mm: float, system: str = "metric") -> str:
    """A length [mm] as "44.45 mm" or "1.750 in".

    >>> show_length(44.45), show_length(44.45, "inch")
    ('44.45 mm', '1.750 in')
    """
    return show_number(mm, "mm", system)
