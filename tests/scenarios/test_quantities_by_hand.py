"""Quantities of whole jobs counted by hand: one corner, an axle, a car as two jobs; with packs, spares and both sides.

The rules are common practice, no source: so many of a part at each corner, axle or car, times the corners, rounded up to
packs once; two sealing washers a banjo, spares only where the Limits sheet says so. The jobs are invented, without any ±.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.model.job import Part, TypedLimit
from bomcheck.model.line import ON_CAR, Line
from bomcheck.notation.thread import read_thread
from tests.parts.invented_jobs import FRONT, REAR, job

ONE = {"corners": 1, "corner_side": "right"}
SPARES = {"spare_percent": TypedLimit("spare_percent", None, 20.0)}

# At every corner a cap for the open line and two cable ties; one marking pen.
FINISH = {"line cap": (1, 2), "cable tie": (2, 4), "torque paint": (1, 1)}

# Front: (one corner, both). 10 screws and 10 lock nuts join hat and ring. Bracket: 2 screws with 2 washers each, and
# threadlocker, 0.3 mL a screw. Caliper: 2 studs and nuts with 2 washers each, dry. Washers: 2 x 2 + 2 x 2 = 8. Shims, at 2
# screws each: axial 40 + 6.6 - 45 = 1.6 mm = 2 x 0.8, radial 330 / 2 - 0.5 - (90 + 39 + 34.5) = 1.0 mm = 1 x 1.0: 4 + 2.
# Fixed caliper: 2 pad pins, each with a clip. Banjo: 1 screw, 2 washers. The tab has no clip. 4 pads are one set for the
# axle; 5 g of brake grease; the spring over the pads and two caps of bleed screws come in the caliper. Fluid: 1.0 L to bleed + 0.3 L for new calipers. 5 g of anti-seize a hub face. 2 cans of cleaner.
FRONT_NEEDS = {
    "rotor": (1, 2), "hat": (1, 2), "hat screw": (10, 20), "hat nut": (10, 20), "anti-seize": (5, 10), "bracket": (1, 2),
    "bracket screw": (2, 4), "washer": (8, 16), "threadlocker": (0.6, 1.2), "caliper": (1, 2), "caliper stud": (2, 4),
    "caliper nut": (2, 4), "shim": (6, 12), "pad set": (1, 1), "pad pin": (2, 4), "pad clip": (2, 4), "hose": (1, 2),
    "sealing washer": (2, 4), "banjo screw": (1, 2), "line clip": (1, 2), "fluid": (1.3, 1.3), "cleaner": (2, 2),
    "grease": (5, 10), "anti-rattle spring": (1, 2), "bleed screw cap": (2, 4), **FINISH,
}  # fmt: skip

# Rear, with shoes inside the rotor and hubs that come off: one-piece rotor, so no hat and no hat screws. Bracket and caliper
# screws both with threadlocker: (2 + 2) x 0.3 = 1.2 mL. Sliding caliper: 4 spring clips, 5 g of grease. Tapered bearings:
# seal, nut, washer, pin, cap and 100 g of grease a hub; the castellated nut is used again. In the caliper come 2 slide pins with
# boots and screws, and one cap. No shims: 40 + 8.2 against 66 - 7 - 20 / 2 = 49 is 0.8 mm outboard
# where shims would push further outboard, inside the 2.0 mm of a sliding caliper; radial 300 / 2 - 0.5 - (90 + 24.5 + 34.5)
# is 0.5 mm, inside the 1.5. Shoes and their springs: one set each for the axle. The clip on the car stays, the
# backing plates that carry the shoes too.
REAR_NEEDS = {
    "rotor": (1, 2), "anti-seize": (5, 10), "bracket": (1, 2), "bracket screw": (2, 4), "washer": (8, 16),
    "threadlocker": (1.2, 2.4), "caliper": (1, 2), "caliper screw": (2, 4), "pad set": (1, 1), "pad clip": (4, 8),
    "grease": (105, 210), "hose": (1, 2), "sealing washer": (2, 4), "banjo screw": (1, 2), "line clip": (1, 2),
    "fluid": (1.3, 1.3), "cleaner": (2, 2), "hub seal": (1, 2), "spindle nut": (1, 2), "spindle washer": (1, 2),
    "cotter pin": (1, 2), "dust cap": (1, 2), "park shoe set": (1, 1), "park hardware set": (1, 1),
    "guide pin": (2, 4), "slide boot": (2, 4), "slide pin screw": (2, 4), "bleed screw cap": (1, 2), "backing plate": (1, 2), **FINISH,
}  # fmt: skip


def lines(values: Mapping[str, Any], *prices: Part, spares: bool = False) -> tuple[Line, ...]:
    """The parts list of an invented job."""
    whole = job(values, prices=prices)
    return assess(replace(whole, limits=SPARES) if spares else whole).parts


def by_role(parts: tuple[Line, ...]) -> dict[str, float]:
    """Role -> what is needed, sizes and sides together."""
    found: Counter[str] = Counter()
    for line in parts:
        if line.needed:
            found[line.role] += line.needed  # type: ignore[assignment]
    return {role: round(quantity, 6) for role, quantity in found.items()}


def line(parts: tuple[Line, ...], role: str) -> Line:
    """The one line of a role."""
    (found,) = [one for one in parts if one.role == role]
    return found


@pytest.mark.parametrize(("values", "needs"), [(FRONT, FRONT_NEEDS), (REAR, REAR_NEEDS)], ids=("front", "rear"))
def test_one_corner_and_both_by_hand(values: dict[str, Any], needs: dict[str, tuple[float, float]]) -> None:
    """Nothing more and nothing less than what is counted above."""
    assert by_role(lines({**values, **ONE})) == {role: one for role, (one, _) in needs.items()}
    assert by_role(lines(values)) == {role: both for role, (_, both) in needs.items()}


def test_a_whole_car_is_two_jobs() -> None:
    """Four corners: 4 rotors, calipers and hoses, 2 pad sets, 8 sealing washers, 2 x 1.3 = 2.6 L of fluid, 32 washers,
    1.2 + 2.4 = 3.6 mL of threadlocker, 20 g of anti-seize, 20 g of brake grease and 200 g for the bearings, 2 x 2 cans."""
    both = Counter(by_role(lines(FRONT)))
    both.update(by_role(lines(REAR)))
    expected = {role: FRONT_NEEDS.get(role, (0, 0))[1] + REAR_NEEDS.get(role, (0, 0))[1] for role in both}
    assert {role: round(quantity, 6) for role, quantity in both.items()} == pytest.approx(expected)
    counted = {"rotor": 4, "caliper": 4, "hose": 4, "pad set": 2, "sealing washer": 8, "fluid": 2.6, "washer": 32,
               "threadlocker": 3.6, "anti-seize": 20, "grease": 220, "cleaner": 4, "park shoe set": 1}  # fmt: skip
    assert {role: round(both[role], 6) for role in counted} == counted


def test_left_and_right_are_two_lines_only_where_they_differ() -> None:
    """Directional vanes: one rotor for each side, and on the right corner alone just the right one. Straight vanes: two of
    one kind."""
    sides = {one.side: one.needed for one in lines(FRONT) if one.role == "rotor"}
    assert sides == {"left": 1, "right": 1}
    assert {one.side: one.needed for one in lines({**FRONT, **ONE}) if one.role == "rotor"} == {"right": 1}
    assert {one.side: one.needed for one in lines(REAR) if one.role == "rotor"} == {"either": 2}


@pytest.mark.parametrize(
    ("role", "pack", "corner", "axle"),
    [
        ("hat screw", 25, (1, 15), (1, 5)),  # 10 and 20 in packs of 25
        ("hat nut", 8, (2, 6), (3, 4)),  # 10: 2 x 8; 20: 3 x 8 = 24, not 2 packs for each corner
        ("caliper nut", 5, (1, 3), (1, 1)),  # 2 and 4 in fives
        ("bracket screw", 2, (1, 0), (2, 0)),  # 2 and 4 in twos
        ("sealing washer", 10, (1, 8), (1, 6)),  # 2 and 4 in tens
        ("pad pin", 4, (1, 2), (1, 0)),  # 2 and 4 in fours
        ("fluid", 0.5, (3, 0.2), (3, 0.2)),  # 1.3 L in half litres, however many corners
        ("cleaner", 1, (2, 0), (2, 0)),
    ],
)
def test_packs_are_rounded_up_once_for_the_job(
    role: str, pack: float, corner: tuple[float, float], axle: tuple[float, float]
) -> None:
    """(Packs, what is left over) for one corner and for the axle."""
    threads = {"hat screw": "M8x1.25", "hat nut": "M8x1.25", "caliper nut": "M10x1.25", "bracket screw": "M12x1.5"}
    lengths = {"hat screw": 28.0, "bracket screw": 45.0}
    offer = Part(
        role, "P-1", f"{role}, all-metal, locks by itself", "Shop", thread=read_thread(threads[role]) if role in threads else None, length=lengths.get(role),
        inner_diameter=10.1, strength_class="DOT 4" if role == "fluid" else "10.9", pack_size=pack, unit_price=1.5,
        unit="L" if role == "fluid" else "each",
    )  # fmt: skip
    for values, (packs, left) in (({**FRONT, **ONE}, corner), (FRONT, axle)):
        found = line(lines(values, offer), role)
        assert (found.packs, found.ordered - found.to_order) == (packs, pytest.approx(left))
        assert found.line_total == pytest.approx(packs * pack * 1.5)


def test_spares_of_sealing_washers_are_counted_once_for_the_job() -> None:
    """20 % spare: one corner 2 + 0.4, so 3; an axle 4 + 0.8, so 5, not 3 for each corner; without the row 2 and 4. No other
    part has spares. In packs of 4 the axle takes 2 packs."""
    offer = Part("sealing washer", "W", "copper washer", "Shop", inner_diameter=10.1, pack_size=4, unit_price=0.3)
    corner, axle = lines({**FRONT, **ONE}, offer, spares=True), lines(FRONT, offer, spares=True)
    assert [line(parts, "sealing washer").needed for parts in (corner, axle)] == [3, 5]
    assert (line(axle, "sealing washer").packs, line(axle, "sealing washer").ordered) == (2, 8)
    needs = {role: both for role, (_, both) in FRONT_NEEDS.items()}
    assert by_role(axle) == {**needs, "sealing washer": 5}
    assert line(axle, "sealing washer").per == "2 per corner x 2 corners + 1 spare (20 %)"


def test_the_largest_stack_that_may_be_needed_is_in_the_list() -> None:
    """The ear is 40 ± 0.8 mm, so 1.6 ± 0.8 mm of shims centre the caliper: at most 2.4. Of the box's two 0.8 and two 0.4 mm
    pieces a screw that takes 2 x 0.8 + 2 x 0.4: for the two screws of both brackets 8 of each."""
    whole = job(FRONT)
    ear = replace(whole.values["ear_face_position"], plus_minus=0.8)
    report = assess(replace(whole, values={**whole.values, "ear_face_position": ear}))
    axial = {one.description: one.needed for one in report.parts if one.role == "shim" and "centre" in one.reason}
    assert axial == {"axial shim 0.8 mm": 8, "axial shim 0.4 mm": 8}


def test_what_stays_on_the_car_is_said_to_be_sound_or_fitted() -> None:
    """The clip of the line's tab where it is said to be sound, a nut that a pin secures, and what comes in the kit's caliper."""
    kept = [one for one in lines(REAR) if one.status == ON_CAR]
    assert [(one.role, one.needed, one.on_car, one.to_order, one.one_time) for one in kept] == [
        ("line clip", 2, 2, 0, False),
        ("spindle nut", 2, 2, 0, False),
        ("guide pin", 4, 4, 0, False),
        ("slide boot", 4, 4, 0, False),
        ("slide pin screw", 4, 4, 0, False),
        ("backing plate", 2, 2, 0, False),
        ("bleed screw cap", 2, 2, 0, False),
    ]
    assert line(lines(FRONT), "line clip").to_order == 2
