"""Random corners and kits of every arrangement, most dimensions near a limit; invented figures only."""

from random import Random
from typing import Any

from bomcheck.model.job import Job, Value
from bomcheck.model.types import BoltCircle, Pieces
from bomcheck.notation import read_thread
from bomcheck.tables.fields import fields
from tests.promises.random_mounts import mounts
from tests.promises.random_shanks import shanks

WHEEL_THREADS = ("M12x1.5", "M12x1.25", "M14x1.5", "1/2-20", "7/16-20")
CIRCLES = ((4, 100.0), (4, 108.0), (5, 100.0), (5, 112.0), (5, 114.3), (5, 120.0), (5, 120.65), (6, 139.7))
SIZES = (0.0, 0.2, 1.0, 1.0, 3.0)  # of the usual ±


class Dice(Random):
    """Random choices of the trade."""

    def near(self, value: float) -> float:
        """A figure near a value: sometimes on it, mostly a little off, sometimes far off; as a vernier shows it."""
        off = self.choice((0.0, 0.05, 0.3, 0.3, 1.0, 3.0)) * self.uniform(-1, 1)
        return round(value + off, self.choice((1, 2)))

    def past(self, value: float) -> float:
        """A figure that is mostly on the good side of a value that it should pass."""
        return self.near(value + self.choice((0.0, 0.3, 1.0, 2.0, 4.0)))

    def yes(self, share: float) -> bool:
        return self.random() < share


def circle(count: int, low: float, high: float | None = None) -> BoltCircle:
    return BoltCircle(f"{count}x{low:g}", count, low, low if high is None else high)


def random_job(seed: int) -> Job:
    """One random corner and kit; the same for the same seed."""
    dice = Dice(seed)
    typed = {"axle": dice.choice(("front", "rear")), "corners": 2, "duty": "road", "road_use": "yes"}
    typed |= _hub(dice)
    typed |= _rotor(dice, typed)
    typed |= mounts(dice, typed)
    typed |= _wheel(dice, typed)
    typed |= _pads(dice, typed)
    for _ in range(dice.choice((0, 0, 0, 1, 3))):
        typed.pop(dice.choice(sorted(typed)), None)
    typed |= shanks(Dice(seed), typed)
    size = dice.choice(SIZES)
    return Job({key: _value(dice, key, value, size) for key, value in typed.items()})


def _value(dice: Dice, key: str, value: Any, size: float) -> Value:
    usual = fields()[key].plus_minus if isinstance(value, float | tuple | BoltCircle) else 0.0
    return Value(key, value, round(usual * (size if dice.yes(0.8) else dice.choice(SIZES)), 4))


def _hub(dice: Dice) -> dict[str, Any]:
    count, diameter = dice.choice(CIRCLES)
    measured = dice.yes(0.3)
    off = dice.choice((0.0, 0.05, 0.2, 0.5)) * dice.uniform(-1, 1) if measured else 0.0
    thread = read_thread(dice.choice(WHEEL_THREADS))
    assert thread is not None
    hub: dict[str, Any] = {
        "hub_fixing": dice.choice(("stud", "stud", "bolt")), "hub_bolt_circle": circle(count, round(diameter + off, 2)),
        "hub_bolt_circle_basis": "measured" if measured else "nominal", "hub_stud_thread": thread,
        "hub_pilot_diameter": dice.choice((54.1, 60.0, 66.5)), "hub_pilot_length": dice.near(dice.choice((15.0, 15.0, 3.5))),
        "hub_pilot_fillet": abs(dice.near(0.5)), "hub_flange_diameter": 140.0, "hub_face_runout": dice.choice((0.01, 0.02, 0.025, 0.05)),
        "hub_stud_shoulder_height": dice.choice((0.0, 0.0, 0.05, 1.0)),
        "hub_stud_shoulder_diameter": round(thread.diameter + dice.choice((-0.5, 0.0, 0.02, 0.5, 1.5)), 2),
    }  # fmt: skip
    if dice.yes(0.3):
        hub |= {"hub_wheel_pilot_diameter": 57.0, "hub_wheel_pilot_length": dice.near(17.0)}
    return hub


def _hat_circles(dice: Dice, hub: BoltCircle) -> tuple[BoltCircle, ...]:
    named = round(hub.low or 0.0, dice.choice((0, 1, 2)))
    own = circle(hub.count, dice.choice((named, named, named, named + 0.1, named + 0.65, named - 2)))
    kind = dice.choice(("one", "one", "dual", "slotted", "double", "other"))
    if kind == "dual":
        return circle(hub.count, own.low + dice.choice((-0.3, 0.35, 12.0)) if own.low else None), own  # type: ignore[arg-type]
    if kind == "slotted":
        return (circle(hub.count, (own.low or 0) - dice.choice((0.0, 4.0)), (own.low or 0) + dice.choice((0.0, 10.0))),)
    if kind == "double":
        return (circle(2 * hub.count, own.low or 0.0),)
    return (circle(hub.count + 1, own.low or 0.0), own) if kind == "other" else (own,)


def _rotor(dice: Dice, hub: dict[str, Any]) -> dict[str, Any]:
    pieces = dice.choice(("one-piece", "two-piece"))
    flange, thickness = dice.choice((6.0, 7.0, 9.5)), dice.choice((20.0, 28.0, 32.0))
    diameter, plane = dice.choice((300.0, 330.0, 355.0)), dice.near(42.0)
    found: dict[str, Any] = {
        "rotor_build": pieces, "rotor_diameter": diameter, "rotor_thickness": thickness,
        "rotor_min_thickness": thickness - 2, "rotor_ring_inner_diameter": dice.near(diameter - 110),
        "rotor_plane_position": plane, "hat_bolt_circle": _hat_circles(dice, hub["hub_bolt_circle"]),
        "hat_stud_hole_diameter": dice.past(hub["hub_stud_thread"].diameter + 0.2),
        "hat_bore": round(hub["hub_pilot_diameter"] + dice.choice((-0.3, 0.0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 8.0)), 3),
        "hat_bore_chamfer": abs(dice.past(0.5)), "hat_flange_thickness": flange, "hat_inner_diameter": dice.past(142.0),
        "hat_outer_diameter": dice.near(diameter - 118), "hat_face_diameter": dice.past(143.0),
    }  # fmt: skip
    if dice.yes(0.3):
        found["sensor_ring_diameter"] = dice.near(found["hat_inner_diameter"] - 3.0)
    if pieces == "one-piece":
        found["rotor_height"] = round(plane + flange + thickness / 2, 2)
        if dice.yes(0.7):
            del found["rotor_plane_position"]
    return found


def _pads(dice: Dice, typed: dict[str, Any]) -> dict[str, Any]:
    backing, pad = 5.0, dice.choice((14.0, 16.5))
    gap = dice.past(typed["rotor_thickness"] + 2 * pad + 0.3)
    lining = (2.0, 2.0, 2.0, 2.2, 1.6, 1.0)[int(gap * 100) % 6]
    worn = gap - typed["rotor_min_thickness"] - 2 * (backing + lining)
    stroke = dice.near(worn / (2 if typed["caliper_build"] == "fixed" else 1) + dice.choice((2.0, 2.0, 5.0)))
    return {
        "pad_thickness": pad, "pad_backing_thickness": backing, "pad_min_lining": lining, "caliper_piston_gap": gap,
        "caliper_piston_stroke": stroke,
    }  # fmt: skip


def _outline(dice: Dice, typed: dict[str, Any]) -> dict[str, Any]:
    out, into, height = (
        dice.choice((40.0, 46.0)),
        dice.choice((55.0, 62.0)),
        typed["caliper_pad_top"] + dice.choice((20.0, 30.0)),
    )
    found: dict[str, Any] = {
        "caliper_width_outboard": out,
        "caliper_width_inboard": into,
        "caliper_body_height": height,
    }
    if dice.yes(0.4):
        places = [-out, -out / 2, 0.0, into / 2, into]
        found["caliper_envelope"] = tuple((x, round(height - dice.choice((0.0, 2.0, 8.0)), 1)) for x in places)
        if dice.yes(0.5):
            del found["caliper_body_height"]
    return found


def _wheel(dice: Dice, typed: dict[str, Any]) -> dict[str, Any]:
    hub, thread = typed["hub_bolt_circle"], typed["hub_stud_thread"]
    spacer = dice.choice((None, 0.0, 0.0, 3.0, 5.0))
    under = typed["hat_flange_thickness"] + (spacer or 0.0) + 10.0
    outline = _outline(dice, typed)
    top = (
        typed["rotor_diameter"] / 2
        + max(outline.get("caliper_body_height", 0.0), typed["caliper_pad_top"] + 20)
        - typed["caliper_pad_top"]
    )
    barrel = tuple((x, dice.near(top + 5.0)) for x in (-20.0, 40.0, dice.choice((100.0, 160.0))))
    back = (
        typed["rotor_plane_position_used"]
        - outline["caliper_width_outboard"]
        + typed["hat_flange_thickness"]
        + (spacer or 0.0)
    )
    spoke = tuple((r, dice.past(3.0 - back)) for r in (70.0, 150.0, dice.choice((top - 6, top + 15))))
    found: dict[str, Any] = {
        **outline, "wheel_bolt_circle": circle(hub.count, round(hub.low, dice.choice((0, 1, 2)))),
        "nut_material": dice.choice(("steel", "aluminium")), "nut_closed": dice.choice(("yes", "no")), "nut_seat": dice.choice(("cone", "flat")),
        "nut_thread": thread, "wheel_seat": "cone", "wheel_seat_depth": 10.0, "wheel_hole_diameter": 15.0,
        "nut_thread_depth": dice.past(thread.diameter * dice.choice((1.0, 1.5))),
        "hub_stud_length": dice.past(under + thread.diameter * dice.choice((1.0, 1.5))),
        "wheel_bolt_length": dice.past(under + thread.diameter), "hub_thread_depth": dice.past(thread.diameter + 2),
        "wheel_centring": dice.choice(("pilot", "pilot", "nuts")), "wheel_bore_chamfer": abs(dice.near(1.0)),
        "wheel_bore": round(typed.get("hub_wheel_pilot_diameter", typed["hub_pilot_diameter"]) + dice.choice((0.0, 0.1, 0.2, 0.3, 0.5)), 2),
        "wheel_pad_diameter": 145.0, "wheel_weight_thickness": dice.choice((0.0, 0.0, 3.0)), "wheel_spoke": spoke,
        "wheel_barrel": barrel,
    }  # fmt: skip
    if dice.yes(0.3):
        found |= {
            "caliper_disc_least": dice.near(typed["rotor_diameter"] - 1),
            "caliper_disc_most": dice.near(typed["rotor_diameter"] + 2),
        }
    if spacer is not None:
        found["wheel_spacer_thickness"] = spacer
    if dice.yes(0.4):
        found["nut_shank_diameter"] = dice.near(14.8)
    if dice.yes(0.15):
        found["wheel_hole_diameter"] = round(thread.diameter + dice.choice((0.2, -1.0)), 2)
    typed.pop("rotor_plane_position_used")
    return found


def shims(dice: Dice) -> tuple[Pieces, ...]:
    chosen = dice.sample((0.2, 0.25, 0.4, 0.5, 0.8, 1.0, 1.5), dice.choice((1, 2, 2, 3)))
    return tuple(Pieces(size, dice.choice((2, 4, 8, 16))) for size in chosen)
