"""The parts list: quantities counted by hand, packs, spares, sides, and what is at hand."""

from dataclasses import replace

import pytest

from bomcheck.assess import assess
from bomcheck.model.demand import Asked, Demand
from bomcheck.model.job import Job, Part, TypedLimit, Value
from bomcheck.model.line import ASK, IN_KIT, NO_SOURCE, ON_CAR, ON_SHELF, SURPLUS, TO_ORDER, WORK, Line
from bomcheck.notation.thread import read_thread
from bomcheck.supply.balance import balance
from tests.parts.invented_jobs import FRONT, INCH, ONE_CORNER, REAR, job

M8 = read_thread("M8x1.25")
NUT = Demand("hat nut", 10, spec={"thread": "M8x1.25"}, one_time=True, reason="lock", used_at="hat")


def plain(box: tuple[Part, ...] = (), prices: tuple[Part, ...] = (), corners: int | None = 2, **values: object) -> Job:
    """A job with nothing but its corners."""
    known = {**({"corners": corners} if corners else {}), **values}
    return Job({key: Value(key, value) for key, value in known.items()}, box=box, prices=prices)


def only(lines: tuple[Line, ...], role: str) -> Line:
    """The one line of a role that is needed."""
    (line,) = [line for line in lines if line.role == role and line.status != SURPLUS]
    return line


def needed(values: dict[str, object]) -> dict[tuple[str, str, str], float]:
    """(role, side, name of the line) -> quantity of a job's parts list."""
    return {(one.role, one.side, one.key): one.needed for one in assess(job(values)).parts if one.needed}


def counted(values: dict[str, object]) -> dict[str, float]:
    """role -> quantity, sizes and sides added together."""
    found: dict[str, float] = {}
    for (role, _, _), quantity in needed(values).items():
        found[role] = round(found.get(role, 0.0) + quantity, 6)
    return found


FINISH = {"line cap": 2, "cable tie": 4, "torque paint": 1}


# Counted by hand, common practice, no source: 2 screws a bracket, 2 washers at each, 2 studs and nuts a caliper, 10 screws
# and lock nuts a rotor, 2 sealing washers a banjo, 4 pads an axle, 1.0 L + 0.3 L of fluid, 2 cans, 0.3 mL of threadlocker a
# screw; 5 g of brake grease a caliper, a cap and two ties a corner, one marking pen; a spring over the pads and two caps of bleed
# screws come fitted in a fixed caliper, two pins, boots and screws and one cap in a sliding one; shims of the thickest stack that may be needed (2 x 0.8 axial, 1 x 1.0 radial) at each of two screws.
def test_front_axle_both_corners_by_hand() -> None:
    """Two corners of a front axle with a two-piece rotor, fixed calipers on studs and a hose with a banjo."""
    assert counted(FRONT) == {
        "rotor": 2, "hat": 2, "hat screw": 20, "hat nut": 20, "anti-seize": 10, "bracket": 2, "bracket screw": 4,
        "washer": 16, "threadlocker": 1.2, "caliper": 2, "caliper stud": 4, "caliper nut": 4, "shim": 12, "pad set": 1,
        "pad pin": 4, "pad clip": 4, "hose": 2, "sealing washer": 4, "banjo screw": 2, "line clip": 2, "fluid": 1.3,
        "cleaner": 2, **FINISH, "grease": 10, "anti-rattle spring": 2, "bleed screw cap": 4,
    }  # fmt: skip
    sides = {side for (role, side, _) in needed(FRONT) if role == "rotor"}
    assert sides == {"left", "right"}


def test_rear_axle_both_corners_by_hand() -> None:
    """A rear axle with one-piece rotors, sliding calipers, hubs that come off and shoes inside the rotor."""
    assert counted(REAR) == {
        "rotor": 2, "anti-seize": 10, "bracket": 2, "bracket screw": 4, "washer": 16, "threadlocker": 2.4, "caliper": 2,
        "caliper screw": 4, "pad set": 1, "pad clip": 8, "grease": 210, "hose": 2, "sealing washer": 4, "banjo screw": 2,
        "line clip": 2, "fluid": 1.3, "cleaner": 2, "hub seal": 2, "spindle nut": 2, "spindle washer": 2,
        "cotter pin": 2, "dust cap": 2, "park shoe set": 1, "park hardware set": 1, "backing plate": 2, **FINISH, "guide pin": 4,
        "slide boot": 4, "slide pin screw": 4, "bleed screw cap": 2,
    }  # fmt: skip


def test_one_corner_by_hand() -> None:
    """One corner: half of what counts per corner; pads, fluid and cleaner stay whole; wire alone locks the hat's dry screws."""
    assert counted(ONE_CORNER) == {
        "rotor": 1, "hat": 1, "hat screw": 10, "safety wire": 0.9, "anti-seize": 5, "bracket": 1, "bracket screw": 2,
        "washer": 8, "threadlocker": 0.6, "caliper": 1, "caliper screw": 2, "caliper nut": 2, "shim": 6, "pad set": 1,
        "pad pin": 2, "pad clip": 2, "hose": 1, "adapter": 1, "thread sealant": 0.5, "fluid": 1.3, "cleaner": 2,
        "line cap": 1, "cable tie": 2, "torque paint": 1, "grease": 5, "anti-rattle spring": 1, "bleed screw cap": 2,
        "strut bracket": 1, "line clip": 1,
    }  # fmt: skip
    assert {side for (role, side, _) in needed(ONE_CORNER) if role == "rotor"} == {"left"}


def test_new_hubs_bring_bearings_by_hand() -> None:
    """A kit with hubs takes an inner and an outer bearing, seal, washer, pin, cap and grease at each corner; the castellated nut
    is used again, the studs are in the hub."""
    found = counted(INCH)
    roles = ("hub", "wheel bearing", "hub seal", "spindle nut", "spindle washer", "cotter pin", "dust cap", "grease")
    assert [found[role] for role in roles] == [2, 4, 2, 2, 2, 2, 2, 210]
    there = {line.role for line in assess(job(INCH)).parts if line.status == ON_CAR}
    assert {"spindle nut", "wheel stud"} <= there


def test_the_clip_on_the_car_stays() -> None:
    """A sound clip on the car, a castellated spindle nut and the shoes' backing plates are not ordered, nor what comes fitted in the kit's caliper."""
    lines = assess(job(REAR)).parts
    assert [line.role for line in lines if line.status == ON_CAR] == [
        "line clip", "spindle nut", "guide pin", "slide boot", "slide pin screw", "backing plate", "bleed screw cap",
    ]  # fmt: skip
    assert only(lines, "line clip").to_order == 0


def test_packs_are_rounded_once_for_the_car() -> None:
    """Ten a corner on two corners in packs of 8 are three packs, not two for each corner; what stays is told."""
    prices = (Part("hat nut", "N-8", thread=M8, unit_price=0.5, pack_size=8),)
    line = only(balance(plain(prices=prices), [NUT]), "hat nut")
    assert (line.needed, line.to_order, line.packs, line.ordered) == (20, 20, 3, 24)
    assert (line.unit_price, line.line_total) == (4.0, 12.0)
    assert line.per == "10 per corner x 2 corners"


def test_the_cheapest_total_wins_not_the_cheapest_piece() -> None:
    """For 20 pieces a pack of 100 at a lower price each costs more in all; the pack rounding is counted."""
    prices = (
        Part("hat nut", "N-100", thread=M8, unit_price=0.3, pack_size=100),
        Part("hat nut", "N-10", thread=M8, unit_price=0.5, pack_size=10),
        Part("hat nut", "N-0", thread=read_thread("M8x1.0"), unit_price=0.01),
    )
    line = only(balance(plain(prices=prices), [NUT]), "hat nut")
    assert (line.part_number, line.packs, line.line_total) == ("N-10", 2, 10.0)


def test_box_then_shelf_then_order() -> None:
    """What the box holds is used first, then the shelf, and only the rest is ordered."""
    box = (Part("hat nut", thread=M8, quantity=12),)
    prices = (Part("hat nut", "N-1", thread=M8, unit_price=0.5, on_hand=3),)
    line = only(balance(plain(box, prices), [NUT]), "hat nut")
    assert (line.in_kit, line.on_shelf, line.to_order, line.status) == (12, 3, 5, TO_ORDER)
    assert "5 short of 20" in line.note
    enough = only(balance(plain(box, (replace(prices[0], on_hand=50),)), [NUT]), "hat nut")
    assert (enough.on_shelf, enough.to_order, enough.status) == (8, 0, ON_SHELF)


def test_a_part_goes_where_nothing_else_serves() -> None:
    """A washer that fits both places is left to the place that the other washer does not fit."""
    wide = Demand("washer", 2, spec={"inner_diameter": (10.0, 13.0)}, said="wide")
    narrow = Demand("washer", 2, spec={"inner_diameter": (10.0, 11.0)}, said="narrow")
    box = (Part("washer", inner_diameter=10.5, quantity=4), Part("washer", inner_diameter=12.5, quantity=4))
    for demands in ([wide, narrow], [narrow, wide]):
        lines = balance(plain(box), demands)
        assert [line.status for line in lines] == [IN_KIT, IN_KIT]


def test_left_and_right_stay_apart() -> None:
    """Two left rotors in the box: one is too many, and the right one is asked for."""
    demands = [Demand("rotor", 1, side=side) for side in ("left", "right")]
    lines = balance(plain((Part("rotor", side="left", quantity=2),)), demands)
    assert [(one.side, one.in_kit, one.to_order, one.status) for one in lines] == [
        ("left", 1, 0, IN_KIT), ("right", 0, 1, NO_SOURCE), ("left", 1, 0, SURPLUS),
    ]  # fmt: skip


def test_parts_marked_with_a_side_divide_the_demand() -> None:
    """Calipers that the box marks left and right are two lines, even where the demand is for either."""
    demand = [Demand("caliper", 1)]
    box = (Part("caliper", side="left", quantity=1), Part("caliper", side="right", quantity=1))
    assert [(one.side, one.status) for one in balance(plain(box), demand)] == [("left", IN_KIT), ("right", IN_KIT)]
    lines = balance(plain((Part("caliper", side="left", quantity=2),)), demand)
    assert [(one.side, one.to_order) for one in lines if one.status != SURPLUS] == [("left", 0), ("right", 1)]


def test_equal_demands_become_one_line_with_all_places() -> None:
    """Only what is equal in all of its spec is added up; a washer of another thickness stays a line of its own."""
    thin = {"inner_diameter": (12.0, 13.5), "thickness": (1.7, 2.3)}
    thick = {**thin, "thickness": (2.2, 2.8)}
    demands = [
        Demand("washer", 4, spec=spec, used_at=place) for spec, place in ((thin, "ear"), (thick, "ear"), (thin, "lug"))
    ]
    lines = balance(plain(), demands)
    assert [(one.needed, one.used_at) for one in lines] == [(16, "ear, lug"), (8, "ear")]


def test_spares_of_sealing_washers_only_where_the_limits_say_so() -> None:
    """20 % of 8 washers are 2 spares, rounded up; without the row on the Limits sheet there are none."""
    demand = [Demand("sealing washer", 4), Demand("banjo screw", 4)]
    assert only(balance(plain(), demand), "sealing washer").needed == 8
    spared = replace(plain(), limits={"spare_percent": TypedLimit("spare_percent", None, 20.0)})
    lines = balance(spared, demand)
    assert only(lines, "sealing washer").needed == 10
    assert only(lines, "banjo screw").needed == 8


def test_a_blank_length_in_the_box_is_taken_with_a_remark() -> None:
    """The kit's own screws serve where the box does not state their length; the line says what is not stated."""
    demand = [Demand("bracket screw", 2, spec={"thread": "M8x1.25", "length": (29.0, 31.0)})]
    line = only(balance(plain((Part("bracket screw", thread=M8, quantity=4),)), demand), "bracket screw")
    assert line.status == IN_KIT
    assert "does not state its length" in line.note
    shelf = replace(plain(), shelf=(Part("bracket screw", thread=M8, on_hand=4),))
    assert only(balance(shelf, demand), "bracket screw").to_order == 4


def test_an_offer_that_does_not_say_enough_is_asked_about() -> None:
    """An offer without the length is not ordered; the line asks, and names the offer."""
    demand = [Demand("bracket screw", 2, spec={"thread": "M8x1.25", "length": (29.0, 31.0)})]
    prices = (Part("bracket screw", "S-1", thread=M8, unit_price=1.0),)
    line = only(balance(plain(prices=prices), demand), "bracket screw")
    assert (line.status, line.packs, line.line_total) == (ASK, 0, None)
    assert "S-1" in line.note
    assert "length" in line.note


def test_no_source_says_what_to_look_for() -> None:
    """Without an offer the line says how many of exactly what, and asks who supplies it."""
    line = only(balance(plain(), [NUT]), "hat nut")
    assert line.status == NO_SOURCE
    assert line.note == "Look for 20: hat nut, M8x1.25. Supplied by whom: kit maker, shop or customer?"


def test_questions_are_lines_and_order_nothing() -> None:
    """A demand with an open question asks; what the box holds covers it all the same."""
    ask = [Asked("washer", 0, ask="How many washers?"), Asked("caliper stud", 2, ask="How long?")]
    lines = balance(plain(prices=(Part("caliper stud", unit_price=3.0),)), ask)
    assert [(one.status, one.needed, one.packs) for one in lines] == [(ASK, 0, 0), (ASK, 4, 0)]
    covered = balance(plain((Part("caliper stud", quantity=4),)), ask)[1]
    assert covered.status == IN_KIT
    assert "How long?" in covered.note


def test_blank_corners_count_for_both_and_say_so() -> None:
    """Where nobody said how many corners, both are counted and one line asks."""
    lines = balance(plain(corners=None), [NUT])
    assert only(lines, "hat nut").needed == 20
    assert [line.note for line in lines if line.key == "ask | corners"] == [
        "Is one corner of the axle converted, or both? Quantities are counted for both"
    ]


def test_one_corner_of_unknown_side_asks_for_the_side() -> None:
    """A part for one side cannot be counted while the side is not known; the others can."""
    lines = balance(plain(corners=1), [NUT, Demand("rotor", 1, side="left"), Demand("rotor", 1, side="right")])
    assert only(lines, "hat nut").needed == 10
    assert {line.status for line in lines if line.role == "rotor"} == {ASK}


def test_volumes_and_pairs_are_converted() -> None:
    """Litres and millilitres are the same stuff; a pair is two; a set of pads is one set."""
    fluid = [Demand("fluid", 1.3, per="car", unit="L")]
    prices = (Part("fluid", "F", unit="mL", pack_size=500, unit_price=0.02),)
    line = only(balance(plain(prices=prices), fluid), "fluid")
    assert (line.packs, line.pack_size, line.line_total) == (3, 0.5, 30.0)
    rotors = balance(plain((Part("rotor", unit="pair", quantity=1),)), [Demand("rotor", 1)])
    assert only(rotors, "rotor").status == IN_KIT
    pads = balance(plain((Part("pad set", quantity=1),)), [Demand("pad set", 1, per="axle", unit="set")])
    assert only(pads, "pad set").status == IN_KIT


def test_labour_is_work_at_the_shops_rate() -> None:
    """Hours are no part: they are not looked for, and cost the shop's rate."""
    line = only(balance(plain(labour_rate=60.0), [Demand("labour", 0.5, unit="hour")]), "labour")
    assert (line.status, line.needed, line.line_total) == (WORK, 1.0, 60.0)


def test_part_numbers_and_cells_are_kept() -> None:
    """The line names the cells that it is made of, and part numbers stay the text they are."""
    from bomcheck.model.errors import Place

    prices = (Part("hat nut", "00123", thread=M8, unit_price=0.5, place=Place("", "Price list", "B7")),)
    line = only(balance(plain(prices=prices), [NUT]), "hat nut")
    assert (line.part_number, line.sources) == ("00123", ("Price list!B7",))


def test_names_of_lines_stay_from_run_to_run() -> None:
    """Other quantities, prices and stock leave the names of the lines as they are; no name is used twice."""
    before = [line.key for line in assess(job(FRONT)).parts]
    after = [
        line.key
        for line in assess(job({**FRONT, "corners": 1, "corner_side": "left", "hose_path_length": 385.0})).parts
    ]
    assert len(set(before)) == len(before)
    assert set(after) == {key for key in before if "right" not in key}


@pytest.mark.parametrize(
    "blank", ["bracket_screw_length", "bracket_washer_count", "caliper_fastening", "hat_screw_count"]
)
def test_a_blank_field_never_drops_a_line(blank: str) -> None:
    """The demand still stands where the field that describes it is blank, and asks the field's question."""
    from bomcheck.tables.fields import fields

    whole = {line.role for line in assess(job(FRONT)).parts}
    lines = assess(job({key: value for key, value in FRONT.items() if key != blank})).parts
    renamed = {"caliper stud": "caliper screw", "caliper nut": "caliper screw"}
    gone = whole - {line.role for line in lines}
    assert {renamed.get(role, role) for role in gone} <= {line.role for line in lines} | {"hat nut"}
    assert any(fields()[blank].question.rstrip(".") in line.note for line in lines if line.status == ASK)
