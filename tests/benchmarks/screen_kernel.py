"""The checks of a corner and a kit once more, by hand, for all pairs at once in NumPy: what screening is measured against.

Every value with its range over the ±, every match, shims tried at each thickness of the box; no remedy, no second round, no
size named. It knows only the columns of the invented tables.

    python -m tests.benchmarks.screen_kernel CORNERS.csv KITS.csv
"""

import re
import sys
from typing import Any

import numpy as np
import pandas as pd

from bomcheck.tables.fields import fields

Range = tuple[Any, Any]
FITS, UNKNOWN, NO = 0, 1, 2


class Side:
    """Columns of one table as arrays that spread over pairs: corners (n, 1), kits (1, n)."""

    def __init__(self, path: str, across: bool) -> None:
        self.table = pd.read_csv(path, skiprows=[1], dtype=str, keep_default_na=False)
        self.across = across

    def spread(self, values: Any) -> Any:
        return values[None, :] if self.across else values[:, None]

    def text(self, key: str) -> Any:
        return self.spread(self.table[key].to_numpy() if key in self.table else np.full(len(self.table), ""))

    def code(self, key: str, known: dict[str, int]) -> Any:
        texts = self.table[key] if key in self.table else pd.Series([""] * len(self.table))
        return self.spread(
            texts.map(lambda text: -1 if text == "" else known.setdefault(text.casefold(), len(known))).to_numpy()
        )

    def size(self, key: str) -> Range:
        """(least, greatest) true size."""
        if key not in self.table:
            nothing = self.spread(np.full(len(self.table), np.nan))
            return nothing, nothing
        value = pd.to_numeric(self.table[key], errors="coerce").to_numpy()
        half = np.full(len(value), fields()[key].plus_minus)
        if f"{key} ±" in self.table:
            typed = pd.to_numeric(self.table[f"{key} ±"], errors="coerce").to_numpy()
            half = np.where(np.isnan(typed), half, typed)
        return self.spread(value - half), self.spread(value + half)

    def thread(self, key: str) -> Any:
        return self.spread(self.table[key].map(lambda text: _diameter(text)).to_numpy(dtype=float))


def _diameter(text: str) -> float:
    found = re.match(r"M(\d+)", text)
    return float(found[1]) if found else 12.7 if text.startswith("1/2") else np.nan


def add(*ranges: Range) -> Range:
    return sum(one[0] for one in ranges), sum(one[1] for one in ranges)


def minus(one: Range, *others: Range) -> Range:
    low, high = one
    for other in others:
        low, high = low - other[1], high - other[0]
    return low, high


def times(one: Range, factor: float) -> Range:
    return (one[0] * factor, one[1] * factor) if factor > 0 else (one[1] * factor, one[0] * factor)


def least(*ranges: Range) -> Range:
    low, high = ranges[0]
    for one in ranges[1:]:
        low, high = np.minimum(low, one[0]), np.minimum(high, one[1])
    return low, high


class Verdicts:
    """The worst verdict of each pair so far."""

    def __init__(self, shape: tuple[int, int]) -> None:
        self.worst = np.zeros(shape, dtype=np.int8)

    def hold(self, value: Range, low: float = -np.inf, high: float = np.inf, where: Any = True) -> None:
        inside = (value[0] >= low - 1e-9) & (value[1] <= high + 1e-9)
        outside = (value[1] < low - 1e-9) | (value[0] > high + 1e-9)
        found = np.where(inside, np.int8(FITS), np.where(outside, np.int8(NO), np.int8(UNKNOWN)))
        np.maximum(self.worst, np.where(where, found, np.int8(FITS)), out=self.worst)

    def match(self, same: Any, known: Any, where: Any = True) -> None:
        found = np.where(known, np.where(same, np.int8(FITS), np.int8(NO)), np.int8(UNKNOWN))
        np.maximum(self.worst, np.where(where, found, np.int8(FITS)), out=self.worst)

    def some_stack(self, values: Any, stacks: Any) -> None:
        """values: for a stack thickness the ranges and limits of the checks it moves; the stack that serves best counts."""
        best = None
        for thickness in stacks:
            one = Verdicts(self.worst.shape)
            for value, low, high, where in values(thickness):
                one.hold(value, low, high, where)
            best = one.worst if best is None else np.minimum(best, one.worst)
        np.maximum(self.worst, best, out=self.worst)


def circles(texts: Any) -> tuple[Any, Any]:
    """(counts, diameters) of up to two patterns, (row, 2)."""
    counts, sizes = np.full((len(texts), 2), -1), np.full((len(texts), 2), np.nan)
    for row, text in enumerate(texts):
        for place, one in enumerate(text.split("; ") if text else ()):
            count, size = one.split("x")
            counts[row, place], sizes[row, place] = int(count), float(size) * (25.4 if float(size) < 10 else 1)
    return counts, sizes


def barrel_room(c: Side, centre: Range, k: Side, error: Any) -> Any:
    """Least barrel radius over the caliper's width; tables of three points."""
    tables = [
        [tuple(map(float, p.split(":"))) for p in text.split("; ")] if text else [(0, np.nan)] * 3
        for text in c.table["wheel_barrel"]
    ]
    points = np.array(tables)
    xs, ys = points[:, :, 0], points[:, :, 1]
    low, high = (
        centre[0] - error - k.size("caliper_width_outboard")[1],
        centre[1] + error + k.size("caliper_width_inboard")[1],
    )
    room = np.full(low.shape, np.inf)
    for at in (low, high):
        first, second = xs[:, 1][:, None], xs[:, 2][:, None]
        share = np.clip(at / first, 0, 1)
        one = ys[:, 0][:, None] * (1 - share) + ys[:, 1][:, None] * share
        share = np.clip((at - first) / (second - first), 0, 1)
        two = ys[:, 1][:, None] * (1 - share) + ys[:, 2][:, None] * share
        room = np.minimum(room, np.where(at < first, one, two))
    return room - 1.0, room + 1.0


def screen(c: Side, k: Side) -> Any:
    """The verdict of every pair: 0 fits, 1 not known, 2 fails."""
    v = Verdicts((len(c.table), len(k.table)))
    words: dict[str, int] = {}
    hub_count, hub_circle = circles(c.table["hub_bolt_circle"].to_numpy())
    hat_count, hat_circle = circles(k.table["hat_bolt_circle"].to_numpy())
    off = np.full(v.worst.shape, np.inf)
    serves = np.zeros(v.worst.shape, dtype=bool)
    for place in (0, 1):
        fits = hat_count[None, :, place] == hub_count[:, :1]
        away = np.abs(hat_circle[None, :, place] - hub_circle[:, :1])
        off, serves = np.where(fits & (away < off), away, off), serves | fits
    v.match(serves, (hub_count[:, :1] > 0) & (hat_count[None, :, 0] > 0))
    v.hold((off, off), high=0.15)
    stud = c.thread("hub_stud_thread")
    hole = minus(k.size("hat_stud_hole_diameter"), (stud, stud))
    v.hold((hole[0] / 2 - off / 2, hole[1] / 2 - off / 2), low=0.1)
    v.hold(minus(k.size("hat_bore"), c.size("hub_pilot_diameter")), 0.02, 0.2)
    v.hold(
        times(
            minus(
                (hat_circle[None, :, 0], hat_circle[None, :, 0]), k.size("hat_stud_hole_diameter"), k.size("hat_bore")
            ),
            0.5,
        ),
        6.0,
    )
    v.hold(least(minus(c.size("hub_pilot_length"), c.size("hub_pilot_fillet")), k.size("hat_flange_thickness")), 3.0)
    v.hold(minus(k.size("hat_bore_chamfer"), c.size("hub_pilot_fillet")), 0.0)
    v.hold(times(minus(k.size("hat_inner_diameter"), c.size("hub_flange_diameter")), 0.5), 1.0)
    v.hold(c.size("hub_face_runout"), high=0.05)
    ring = c.size("sensor_ring_diameter")
    v.hold(times(minus(k.size("hat_inner_diameter"), ring), 0.5), 1.5, where=~np.isnan(ring[0]))
    fixed = k.text("caliper_build") == "fixed"
    slot = times(minus(k.size("caliper_slot_width"), k.size("rotor_thickness")), 0.5)
    v.hold(slot, 1.5, where=~fixed)
    v.hold(minus(k.size("caliper_piston_gap"), k.size("rotor_thickness"), times(k.size("pad_thickness"), 2)), 0.3)
    worn = minus(
        k.size("caliper_piston_gap"),
        k.size("rotor_min_thickness"),
        times(k.size("pad_backing_thickness"), 2),
        times(k.size("pad_min_lining"), 2),
    )
    v.hold(minus(k.size("caliper_piston_stroke"), times(worn, 0.5)), 2.0, where=fixed)
    v.hold(minus(k.size("caliper_piston_stroke"), worn), 2.0, where=~fixed)
    height = minus(k.size("rotor_height"), k.size("hat_flange_thickness"), times(k.size("rotor_thickness"), 0.5))
    one_piece = k.text("rotor_build") == "one-piece"
    plane = tuple(np.where(one_piece, a, b) for a, b in zip(height, k.size("rotor_plane_position"), strict=True))
    v.hold(
        minus(c.size("shield_position"), plane, times(k.size("rotor_thickness"), 0.5)),
        2.0,
        where=c.text("shield") != "none",
    )
    v.hold(minus(c.size("ear_sideways_offset"), k.size("bracket_sideways_offset")), -1.0, 1.0)
    screw, bolt = k.thread("bracket_screw_thread"), k.thread("caliper_screw_thread")
    into, ear = k.text("bracket_screw_into"), c.text("ear_hole")
    in_bracket, in_ear = (
        minus(k.size("bracket_ear_hole_diameter"), (screw, screw)),
        minus(c.size("ear_hole_diameter"), (screw, screw)),
    )
    play = tuple(
        np.where(into == "ear", a, np.where(into == "bracket", b, a + b))
        for a, b in zip(in_bracket, in_ear, strict=True)
    )
    apart = minus(k.size("bracket_ear_spacing"), c.size("ear_spacing"))
    v.hold(minus((np.maximum(np.maximum(apart[0], -apart[1]), 0), np.maximum(apart[1], -apart[0])), play), high=0.0)
    v.hold(in_ear, 0.05, 0.6, where=ear == "plain through")
    v.hold(in_bracket, 0.05, 0.6, where=into != "bracket")
    thread = c.code("ear_thread", words), k.code("bracket_screw_thread", words)
    v.match(
        thread[0] == thread[1], (thread[0] >= 0) & (thread[1] >= 0), where=(ear != "plain through") & (into == "ear")
    )
    tapped = k.code("bracket_thread", words)
    v.match(tapped == thread[1], (tapped >= 0) & (thread[1] >= 0), where=into == "bracket")
    fastening = k.text("caliper_fastening")
    own = np.isin(fastening, ("stud in bracket", "screw into bracket"))
    spacing = minus(k.size("bracket_caliper_spacing"), k.size("caliper_mount_spacing"))
    v.hold(
        minus(
            (np.maximum(np.maximum(spacing[0], -spacing[1]), 0), np.maximum(spacing[1], -spacing[0])),
            minus(k.size("caliper_hole_diameter"), (bolt, bolt)),
        ),
        high=0.0,
        where=own,
    )
    v.match(tapped == k.code("caliper_screw_thread", words), tapped >= 0, where=own)
    _wheel(v, c, k, words, stud)
    _stacks(v, c, k, plane, slot, fixed, into, ear, screw, bolt, fastening)
    for one, two in (("pad_shape", "caliper_pad_shape"),):
        v.match(k.code(one, words) == k.code(two, words), k.code(one, words) >= 0)
    duty = np.array([[d in p.split("; ") for p in k.table["pad_duty"]] for d in ("road", "fast road", "track", "race")])
    place = c.table["duty"].map({"road": 0, "fast road": 1, "track": 2, "race": 3}).fillna(0).to_numpy(dtype=int)
    v.match(duty[place], c.text("duty") != "")
    rear = c.text("axle") == "rear"
    kept = (k.text("kit_park_brake") != "none") | (c.text("road_use") != "yes")
    v.match(kept, np.True_, where=rear & (c.text("park_brake") != ""))
    drum = k.size("hat_park_drum_diameter")
    v.hold(least(minus(drum, c.size("park_shoe_diameter_min")), minus(c.size("park_shoe_diameter_max"), drum)), 0.0,
           where=rear & (c.text("park_brake") == "drum in hat") & (k.text("kit_park_brake") == "drum in hat"))  # fmt: skip
    return v.worst


def _wheel(v: Verdicts, c: Side, k: Side, words: dict[str, int], stud: Any) -> None:
    v.match(c.code("nut_thread", words) == c.code("hub_stud_thread", words), c.code("nut_thread", words) >= 0)
    behind = add(k.size("hat_flange_thickness"), c.size("wheel_spacer_thickness"), c.size("wheel_seat_depth"))
    bolts = c.text("hub_fixing") == "bolt"
    shown = minus(c.size("hub_stud_length"), behind)
    wanted = np.where(c.text("nut_material") == "aluminium", 1.5, 1.0)
    turns = least(shown, c.size("nut_thread_depth"))
    v.hold((turns[0] / stud - wanted, turns[1] / stud - wanted), 0.0, where=~bolts)
    v.hold(minus(c.size("nut_thread_depth"), shown), 2.0, where=~bolts & (c.text("nut_closed") == "yes"))
    inside = minus(c.size("wheel_bolt_length"), behind)
    turns = least(inside, c.size("hub_thread_depth"))
    v.hold((turns[0] / stud, turns[1] / stud), 1.0, where=bolts)
    v.hold(minus(c.size("hub_thread_depth"), inside), 0.0, where=bolts)
    v.match(c.code("nut_seat", words) == c.code("wheel_seat", words), c.code("nut_seat", words) >= 0)
    v.match(
        c.code("wheel_bolt_circle", words) == c.code("hub_bolt_circle", words), c.code("wheel_bolt_circle", words) >= 0
    )
    pilot = c.text("wheel_centring") == "pilot"
    v.hold(minus(c.size("wheel_bore"), c.size("hub_pilot_diameter")), 0.0, 0.3, where=pilot)
    v.hold(
        minus(
            c.size("hub_pilot_length"),
            k.size("hat_flange_thickness"),
            c.size("wheel_spacer_thickness"),
            c.size("wheel_bore_chamfer"),
        ),
        3.0,
        where=pilot,
    )
    v.hold(minus(k.size("hat_face_diameter"), c.size("wheel_pad_diameter")), -2.0)


def _stacks(
    v: Verdicts,
    c: Side,
    k: Side,
    plane: Range,
    slot: Range,
    fixed: Any,
    into: Any,
    ear: Any,
    screw: Any,
    bolt: Any,
    fastening: Any,
) -> None:
    centre = minus(add(c.size("ear_face_position"), k.size("bracket_offset")), plane)
    at_ear = k.text("axial_shim_joint") == "ear"
    washers = _washers(k, "bracket")
    reach = minus(k.size("bracket_screw_length"), washers, k.size("bracket_ear_thickness"))
    metal = np.where(c.text("ear_material") == "steel", 1.0, np.where(c.text("ear_material") == "iron", 1.5, 2.0))
    spoke = [
        tuple(map(float, text.split("; ")[-1].split(":"))) if text else (0.0, np.nan) for text in c.table["wheel_spoke"]
    ]
    back = np.array(spoke)[:, 1][:, None]
    error = np.where(fixed, 0.5, 2.0)
    lug = k.text("caliper_mount") == "axial lug"

    def axial(t: float) -> Any:
        here = centre[0] - t, centre[1] - t
        yield here, -error, error, True
        yield least(minus(slot, here), add(slot, here)), 1.5, np.inf, fixed
        turns = least(tuple(one - t * at_ear for one in reach), c.size("ear_thread_depth"))
        yield (
            (turns[0] / screw - metal, turns[1] / screw - metal),
            0.0,
            np.inf,
            (into == "ear") & (ear != "plain through"),
        )
        bottom = minus(c.size("ear_thread_depth"), tuple(one - t * at_ear for one in reach))
        yield bottom, 2.0, np.inf, (into == "ear") & (ear == "tapped blind")
        room = add(here, plane, k.size("hat_flange_thickness"), c.size("wheel_spacer_thickness"))
        yield (
            tuple(one - w + back for one, w in zip(room, k.size("caliper_width_outboard")[::-1], strict=True)),
            3.0,
            np.inf,
            True,
        )

    v.some_stack(axial, np.arange(0.0, 3.01, 0.5))
    mount = add(c.size("ear_height"), k.size("bracket_rise"))
    edge = minus(add(mount, k.size("caliper_pad_top")), times(k.size("rotor_diameter"), 0.5))
    bridge = minus(add(mount, k.size("caliper_bridge")), times(k.size("rotor_diameter"), 0.5))
    inner = minus(
        add(mount, k.size("caliper_pad_top")), k.size("pad_height"), times(k.size("rotor_ring_inner_diameter"), 0.5)
    )
    hat = minus(add(mount, k.size("caliper_pad_top")), k.size("pad_height"), times(k.size("hat_outer_diameter"), 0.5))
    from_wheel = add(plane, k.size("hat_flange_thickness"), c.size("wheel_spacer_thickness"))
    room = minus(
        barrel_room(c, from_wheel, k, error), k.size("caliper_body_height"), c.size("wheel_weight_thickness"), mount
    )
    grip = minus(
        k.size("caliper_screw_length"),
        k.size("caliper_lug_thickness"),
        _washers(k, "caliper"),
        k.size("caliper_nut_height"),
    )

    def radial(t: float) -> Any:
        yield (edge[0] + t, edge[1] + t), -1.5, 0.0, True
        yield (bridge[0] + t, bridge[1] + t), 2.0, np.inf, True
        yield (inner[0] + t, inner[1] + t), 0.0, np.inf, True
        yield (hat[0] + t, hat[1] + t), 2.0, np.inf, k.text("rotor_build") == "two-piece"
        yield (room[0] - t, room[1] - t), 3.0, np.inf, True
        yield (grip[0] - t, grip[1] - t), 2.5, np.inf, (fastening == "stud in bracket") & ~lug

    v.some_stack(radial, np.arange(0.0, 3.01, 0.5))


def _washers(k: Side, joint: str) -> Range:
    count, thick = k.size(f"{joint}_washer_count"), k.size(f"{joint}_washer_thickness")
    return count[0] * thick[0], count[1] * thick[1]


def main(corners: str, kits: str) -> None:
    """Counts by verdict."""
    c, k = Side(corners, across=False), Side(kits, across=True)
    print(np.bincount(screen(c, k).reshape(-1), minlength=3).tolist())


if __name__ == "__main__":
    main(*sys.argv[1:3])
