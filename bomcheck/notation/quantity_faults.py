"""What is wrong with the text of a quantity, and what to type instead."""

import re

from bomcheck import units
from bomcheck.errors import Unreadable
from bomcheck.notation.clean import refuse

_PAIR = re.compile(r".*\d\s*(?:mm|in|\")?\s*[x*]\s*\.?\d.*|\d{3}\s*/\s*\d+.*", re.I)
_RANGE = re.compile(r"\.?\d[\d.,]*\s*(?:-|to|\.\.+)\s*\.?\d[\d.,]*\s*\D*", re.I)
_PLUS_MINUS = re.compile(r".*(?:±|\+\s*/\s*-|\+-).*")
EXAMPLES = {
    "length": "44.45 mm or 1-3/4 in",
    "torque": "14 N·m, 10 lb·ft or 124 lb·in",
    "pressure": "8 MPa, 80 bar or 1200 psi",
    "mass": "9.5 kg or 21 lb",
    "speed": "100 km/h or 60 mph",
    "temperature": "230 °C or 450 °F",
    "ratio": "0.38 or 38 %",
    "time": "40 s",
    "force": "500 N or 112 lbf",
    "volume": "250 mm³ or 0.25 cm³",
    "acceleration": "9 m/s² or 0.9 g",
}


def example(unit: str) -> str:
    """What a person may type where `unit` belongs: '44.45 mm or 1-3/4 in'."""
    to = units.named(unit)
    return EXAMPLES.get(to.quantity if to else "", f"a number in {unit}" if unit != "-" else "a number")


def wrong_unit(text: str, to: units.Unit | None, unit: str, typed: object) -> Unreadable:
    others = units.spelled(text)
    if others and to:
        wrong = f"{others[0].name} is a unit of {others[0].quantity}, but a {to.quantity} belongs here"
    elif units.squash(text) in ("mil", "mils"):
        wrong = "mil is used for a thousandth of an inch and for a millimetre"
    else:
        wrong = f'"{text[:30]}" is no unit that belongs here'
    return refuse(typed, wrong, f"Type {example(unit)}", "unknown unit")


def no_number(bare: str, unit: str, typed: object) -> Unreadable:
    """What is wrong with text that does not begin with one number."""
    if _PLUS_MINUS.fullmatch(bare):
        return refuse(
            typed, "the value and its ± stand in one cell", "Type the value here and the ± in the cell for it"
        )
    if unit == "mm" and _PAIR.fullmatch(bare):
        return refuse(typed, "these are two sizes", "Type the first here and the other in its own cell")
    if _RANGE.fullmatch(bare):
        return refuse(
            typed, "this is a range or two numbers", "Type the middle here and half of the width in the cell for the ±"
        )
    return refuse(typed, "this cannot be read as one number with a unit", f"Type {example(unit)}")
