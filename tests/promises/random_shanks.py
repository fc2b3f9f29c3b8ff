"""Thread lengths of a random job's screws: threads that end about where the clamped parts do, not always measured."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tests.promises.random_corners import Dice

UNDER_BRACKET = {"ear": ("bracket_ear",), "bracket": ("ear",), "nut": ("bracket_ear", "ear")}
UNDER_CALIPER = {"screw and nut": ("caliper_lug", "bracket_caliper"), "screw into caliper": ("bracket_caliper",)}


def shanks(dice: "Dice", found: dict[str, Any]) -> dict[str, Any]:
    """For joints of which nothing else is blank."""
    parts = {
        "bracket": UNDER_BRACKET.get(found.get("bracket_screw_into", ""), ("bracket_ear",)),
        "caliper": UNDER_CALIPER.get(found.get("caliper_fastening", ""), ("caliper_lug",)),
    }
    threaded: dict[str, Any] = {}
    for joint, names in parts.items():
        try:
            threaded[f"{joint}_screw_thread_length"] = _threaded(dice, found, joint, names)
        except KeyError:
            continue
    return {key: size for key, size in threaded.items() if dice.yes(0.7)}


def _threaded(dice: "Dice", found: dict[str, Any], joint: str, parts: tuple[str, ...]) -> float:
    washers = found[f"{joint}_washer_count"] * found[f"{joint}_washer_thickness"]
    grip = washers + sum(found[f"{part}_thickness"] for part in parts)
    return dice.past(found[f"{joint}_screw_length"] - grip + found[f"{joint}_screw_thread"].pitch / 2)
