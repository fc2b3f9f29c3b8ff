"""A demand's spec in plain words, and as the stable name of its line."""

from dataclasses import replace
from typing import Any

from bomcheck.parts.demand import Demand
from bomcheck.parts.spec import ALL_STATED, NAMES, SIZES, needed_side, range_text

# Keys whose meaning the demand's own words or another key already carry.
UNSAID = ("end_b", "side", "use", "position", ALL_STATED)


def spec_text(demand: Demand) -> str:
    """What the part must be: "M12x1.5, length 44.5 to 45.5 mm, class 10.9 or higher"."""
    said = [_words(key, wanted, demand) for key, wanted in demand.spec.items() if wanted is not None]
    return ", ".join([text for text in said if text])


def _words(key: str, wanted: Any, demand: Demand) -> str:
    if key in SIZES:
        return f"{NAMES.get(key, key)} {range_text(*wanted)}"
    if key == "class":
        return f"class {wanted} or higher"
    if key == "road_marked":
        return "road-marked" if wanted == "yes" else ""
    if key == "end_a":
        ends = [getattr(end, "name", end) for end in (wanted, demand.spec.get("end_b")) if end]
        return " to ".join(map(str, ends))
    if key in UNSAID:
        return ""
    if key in ("fluid", "duty"):
        return f"{wanted} based" if key == "fluid" else f"for {wanted} use"
    name = getattr(wanted, "name", str(wanted))
    return name if key == "thread" else f"{key.replace('_', ' ')} {name}"


def line_key(demand: Demand) -> str:
    """Name of the line that stays the same from run to run: role, side and spec, but no quantity.

    A hose's length is left out: it follows from a path that may be measured again.
    """
    spec = {key: value for key, value in demand.spec.items() if (demand.role, key) != ("hose", "length")}
    parts = [demand.role, needed_side(demand), spec_text(replace(demand, spec=spec)) or demand.said]
    return " | ".join(part for part in parts if part and part != "either")
