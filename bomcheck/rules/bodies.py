"""All bodies of the corner in one space: what turns, what stands still, and which of them must stay apart.

Each box has four edges, straight lines in the sizes: along the axle from the bare hub face (+ inboard), and radii from the
hub axis, mm. To add a body, add its boxes to TURNING or FIXED, and a row to BODIES with what it must clear.

Meant to touch, or enclosed by a rule of their own, and so in no row: pads and friction ring (pads on the ring, new pads);
hub flange, sensor ring and brake shoes inside the hat (hub, parking brake); the shield's inner edge round the hub.
"""

from collections.abc import Mapping
from dataclasses import replace

from bomcheck.model.body import Body, Pair, Part
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Reading, Remedy, no_cure
from bomcheck.model.types import BoltCircle
from bomcheck.model.verdict import Verdict
from bomcheck.rules.body_checks import body_check
from bomcheck.rules.body_sizes import may_be_blank

When = Mapping[str, tuple[str, ...]]
OUT: When = {"ear_side": ("outboard",)}
IN: When = {"ear_side": ("inboard",)}
TITLES = {
    "friction ring": "the friction ring", "hat": "the hat", "hub flange": "the hub's flange",
    "wheel barrel": "the wheel's barrel", "spokes": "the spokes", "valve": "the wheel's valve",
}  # fmt: skip
TURNING = (
    Part("friction ring", "rotor_plane - 0.5*rotor_thickness", "rotor_plane + 0.5*rotor_thickness",
         "0.5*rotor_ring_inner_diameter", "0.5*rotor_diameter"),
    Part("hat", "-hat_flange_thickness", "0", "0", "0.5*hat_outer_diameter"),
    Part("hat", "0", "hat_mouth", "0.5*hat_inner_diameter", "0.5*hat_outer_diameter"),
    Part("hat", "rotor_plane - hat_screw_reach", "rotor_plane + hat_screw_reach",
         "0.5*hat_inner_diameter", "0.5*hat_outer_diameter", {"rotor_build": ("two-piece",)}),  # its screws
    Part("hub flange", "0", "hub_flange_thickness", "0", "0.5*hub_flange_diameter"),
)  # fmt: skip
SEAT = {"boss_face": "boss_seat"}


def _round_holes(body: str, x0: str, x1: str, half: str, when: When) -> tuple[Part, ...]:
    """The same box round the upper and the lower ear hole."""
    holes = [f"ear_hole_{end}" for end in ("upper", "lower")]
    return tuple(Part(body, x0, x1, f"{hole} - {half}", f"{hole} + {half}", when, SEAT) for hole in holes)


def _screw(seat: str, toward: str, when: When) -> tuple[Part, ...]:
    """Head with its washer, and the shank to its tip; toward: "+" where the tip points inboard of the seat."""
    back = "-" if toward == "+" else "+"
    head, tip = f"{seat} {back} head_height", f"{seat} {toward} bracket_screw_length"
    ends = ((head, seat), (seat, tip)) if toward == "+" else ((seat, head), (tip, seat))
    return (
        *_round_holes("bracket screw", *ends[0], "bracket_screw_diameter", when),
        *_round_holes("bracket screw", *ends[1], "0.5*bracket_screw_diameter", when),
    )


def _into(what: str, side: When) -> When:
    return {**side, "bracket_screw_into": (what,)}


FIXED = (
    *_round_holes("ear", "ear_face_position", "ear_face_position + ear_thickness", "0.5*ear_width", OUT),
    *_round_holes("ear", "ear_face_position - ear_thickness", "ear_face_position", "0.5*ear_width", IN),
    *_round_holes("bracket boss", "boss_face - bracket_ear_thickness", "boss_face", "0.5*bracket_boss_width", OUT),
    *_round_holes("bracket boss", "boss_face", "boss_face + bracket_ear_thickness", "0.5*bracket_boss_width", IN),
    *_screw("boss_face - bracket_ear_thickness - bracket_washers", "+", _into("ear", OUT)),
    *_screw("boss_face + bracket_ear_thickness + bracket_washers", "-", _into("ear", IN)),
    *_screw("ear_face_position + ear_thickness + bracket_washers", "-", _into("bracket", OUT)),
    *_screw("ear_face_position - ear_thickness - bracket_washers", "+", _into("bracket", IN)),
    *_screw("boss_face - bracket_ear_thickness - washers_at_head", "+", _into("nut", OUT)),  # head toward the disc
    *_screw("ear_face_position - ear_thickness - washers_at_head", "+", _into("nut", IN)),
    Part("caliper", "caliper_centre - caliper_width_outboard", "caliper_centre - 0.5*caliper_slot_width",
         "mount_plane + caliper_bottom", "mount_plane + caliper_body_height"),
    Part("caliper", "caliper_centre + 0.5*caliper_slot_width", "caliper_centre + caliper_width_inboard",
         "mount_plane + caliper_bottom", "mount_plane + caliper_body_height"),
    Part("caliper bridge", "caliper_centre - 0.5*caliper_slot_width", "caliper_centre + 0.5*caliper_slot_width",
         "mount_plane + caliper_bridge", "mount_plane + caliper_body_height"),
    Part("pads", "rotor_plane - 0.5*rotor_thickness - pad_thickness", "rotor_plane - 0.5*rotor_thickness",
         "pad_top_radius - pad_height", "pad_top_radius"),
    Part("pads", "rotor_plane + 0.5*rotor_thickness", "rotor_plane + 0.5*rotor_thickness + pad_thickness",
         "pad_top_radius - pad_height", "pad_top_radius"),
    Part("dust shield", "shield_position", "shield_position + 1", "0", "shield_radius"),
)  # fmt: skip
DISC = (Pair("friction ring", "ring_air"), Pair("hat", "hat_air"), Pair("hub flange", "hub_air"))
SHIELDED = {"shield": ("fixed", "removable")}


def _another_bracket(reading: Reading) -> Cure:
    return no_cure(
        Verdict.DOES_NOT_FIT, f"It stands in the way of {TITLES[reading.against]}: ask the kit maker for the bracket that belongs here"
    )  # fmt: skip


def _shorter_screw(reading: Reading) -> Cure:
    return no_cure(
        Verdict.DOES_NOT_FIT, f"Head or tip meets {TITLES[reading.against]}: ask the kit maker which screw belongs here"
    )


def _other_caliper(reading: Reading) -> Cure:
    return no_cure(
        Verdict.DOES_NOT_FIT, f"The caliper's body meets {TITLES[reading.against]}: ask for parts that belong together"
    )


def _low_bridge(reading: Reading) -> Cure:
    text = "The caliper's bridge is too low for this rotor: ask for parts that belong together"
    return no_cure(Verdict.DOES_NOT_FIT, text)


def _other_pads(reading: Reading) -> Cure:
    return no_cure(
        Verdict.DOES_NOT_FIT, "The pad meets the hat: ask the kit maker for the pad shape that belongs to it"
    )


def _shield_off(reading: Reading) -> Cure:
    loose = reading.known("shield") == "removable"
    what = "Take the dust shield off" if loose else "Trim the dust shield"
    labour = Demand(
        "labour", 0.5, unit="hour", reason="the dust shield is in the rotor's way", used_at="dust shield",
        said=f"{what[:1].lower()}{what[1:]}",
    )  # fmt: skip
    return Cure(
        Verdict.FITS_WITH_PARTS, f"{what}; make sure that the sensor lead and the knuckle stay covered", (labour,)
    )


def _neighbour(reading: Reading) -> Cure:
    return no_cure(
        Verdict.DOES_NOT_FIT,
        f"What stands beside the disc meets {TITLES[reading.against]}: check the points entered, or ask for a smaller disc",
    )


def _fitting(reading: Reading) -> Cure:
    return no_cure(
        Verdict.DOES_NOT_FIT, "It meets the wheel: ask for an angled hose end, a shorter screw, or another wheel"
    )


SPACERS = (3.0, 5.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0)  # mm, thicknesses commonly sold: common practice, no source


def _under_the_wheel(reading: Reading) -> Cure:
    """A caliper that meets the wheel: weights moved, a spacer under the wheel."""
    if reading.against == "wheel barrel":
        return _as_a_block(reading, _weights_or_wheel(reading))
    return _as_a_block(reading, _wheel_spacer(reading)) if reading.against == "spokes" else _other_caliper(reading)


def _as_a_block(reading: Reading, cure: Cure) -> Cure:
    """Says that the body counts as a block as wide and as high as its largest, where its outline is blank."""
    if reading.sizes.has("caliper_envelope"):
        return cure
    text = f"{cure.do}. The caliper counts as a plain block here: if it tapers, type its outline (Kit) first"
    return replace(cure, do=text)


def _weights_or_wheel(reading: Reading) -> Cure:
    """Weights come off before a wheel is refused, unless it surely meets the caliper without them too; judged again after."""
    weight = reading.number("wheel_weight_thickness") - reading.sizes.half("wheel_weight_thickness")
    assert reading.value is not None
    assert reading.limit is not None
    bare = reading.value.high + weight
    if reading.number("wheel_weight_thickness") > 0 and bare >= (reading.limit.low or 0.0):
        labour = Demand("labour", 0.25, unit="hour", reason="stick-on weights are in the caliper's way", used_at="wheel",
                        said="move the stick-on weights and balance the wheel")  # fmt: skip
        weights = Demand("wheel weight", 1, one_time=True, reason="weights that were stuck on do not stick again", used_at="wheel",
                         said="set of new stick-on weights, beside the caliper's path")  # fmt: skip
        text = "Have the stick-on weights moved out of the caliper's way and the wheel balanced"
        return Cure(Verdict.FITS_WITH_PARTS, text, (labour, weights), {"wheel_weight_thickness": (0.0, 0.0)})
    return no_cure(Verdict.DOES_NOT_FIT, "The caliper does not go inside this wheel: a larger wheel or another kit")


def _wheel_spacer(reading: Reading) -> Cure:
    present = reading.number("wheel_spacer_thickness")
    stock = (*reading.sizes.job.prices, *reading.sizes.job.shelf)
    sold = sorted({p.thickness for p in stock if p.role == "wheel spacer" and p.thickness} | set(SPACERS))
    size = next((size for size in sold if size >= present + reading.short - 1e-9), None)
    if size is None:
        more = mm(reading.short, 1)
        return no_cure(Verdict.DOES_NOT_FIT, f"The spokes need {more} more room than spacers give: another wheel")
    circle: BoltCircle = reading.sizes["hub_bolt_circle"]
    spacer = Demand("wheel spacer", 1, spec={"thickness": (size, size)}, used_at="hub to wheel",
                    reason=f"the spokes need {mm(reading.short, 1)} more room",
                    said=f"wheel spacer {mm(size)}, {circle.name}, with its own pilot")  # fmt: skip
    changes = {"wheel_spacer_thickness": (size, 0.0)}
    return Cure(Verdict.FITS_WITH_PARTS, f"Fit a wheel spacer of {mm(size)}", (spacer,), changes)


FAILS = (Verdict.DOES_NOT_FIT,)
CURED = (Verdict.FITS_WITH_PARTS, Verdict.DOES_NOT_FIT)
BODIES = (
    (Body("ear", "Ear", DISC, ("ear",)), Remedy(_another_bracket, verdicts=FAILS)),
    (Body("bracket_boss", "Bracket boss", DISC, ("bracket boss",)), Remedy(_another_bracket, verdicts=FAILS)),
    (Body("bracket_screws", "Bracket screws", DISC, ("bracket screw",)), Remedy(_shorter_screw, verdicts=FAILS)),
    (Body("caliper_body", "Caliper body",
          (Pair("friction ring", "rotor_in_slot", "0.5*caliper_slot_width - 0.5*rotor_thickness"),  # both sides' mean
           Pair("friction ring", "rotor_in_slot"), Pair("hat", "hat_air"), Pair("hub flange", "hub_air")), ("caliper",)),
     Remedy(_other_caliper, verdicts=FAILS)),
    (Body("caliper_bridge", "Caliper bridge", (Pair("friction ring", "bridge"),), ("caliper bridge",)),
     Remedy(_low_bridge, verdicts=FAILS)),
    (Body("pads", "Pads", (Pair("hat", "pad_hat_screws"), Pair("hub flange", "hub_air")), ("pads",)),
     Remedy(_other_pads, verdicts=FAILS)),
    (Body("dust_shield", "Dust shield", (Pair("friction ring", "shield_gap"),), ("dust shield",), SHIELDED),
     Remedy(_shield_off, reads=("shield",))),
    (Body("bracket_arm", "Bracket arm", (Pair("friction ring", "ring_air", "bracket_arm_gap"),), (),
          requires=("bracket_arm",)), Remedy(_another_bracket, verdicts=FAILS)),
    (Body("neighbours", "Neighbours of the disc",
          (Pair("friction ring", "ring_air", "neighbour_gap"), Pair("wheel barrel", "barrel", "neighbour_wheel_gap")), (),
          requires=("neighbours",)), Remedy(_neighbour, verdicts=FAILS)),
    (Body("neighbours_at_lock", "Neighbours at full lock",
          (Pair("friction ring", "ring_air", "neighbour_gap_at_lock"), Pair("wheel barrel", "barrel", "lock_wheel_gap")), (),
          requires=("neighbours_at_lock",)),
     Remedy(_neighbour, verdicts=FAILS)),
    (Body("caliper_in_wheel", "Caliper in the wheel",
          (Pair("wheel barrel", "barrel", "barrel_room - flush_off - wheel_weight_thickness"),
           Pair("spokes", "spoke", "caliper_centre + hat_flange_thickness + wheel_spacer_thickness + spoke_room")), ()),
     Remedy(_under_the_wheel, verdicts=CURED,
            reads=("wheel_weight_thickness", "wheel_spacer_thickness", "hub_bolt_circle", "caliper_envelope"),
            changes=("wheel_weight_thickness", "wheel_spacer_thickness"))),
    (Body("caliper_at_valve", "Caliper at the wheel's valve",
          (Pair("valve", "barrel", "valve_room - flush_off"),), (), requires=("wheel_valve_position", "wheel_valve_radius")),
     Remedy(_fitting, verdicts=FAILS)),
    (Body("hose_end", "Hose's end at the caliper", (Pair("wheel barrel", "barrel", "inlet_room - flush_off - wheel_weight_thickness"),), (),
          requires=("caliper_inlet_axial", "caliper_inlet_height")), Remedy(_fitting, verdicts=FAILS)),
    (Body("bleed_screw", "Bleed screw", (Pair("wheel barrel", "barrel", "bleeder_room - flush_off - wheel_weight_thickness"),), (),
          requires=("caliper_bleeder_axial", "caliper_bleeder_height")), Remedy(_fitting, verdicts=FAILS)),
)  # fmt: skip
CURES = {
    "dust_shield": "Taking the shield off, or trimming it.",
    "caliper_in_wheel": "Stick-on weights moved; a wheel spacer, the smallest that serves; otherwise a larger wheel.",
}
for _body, _remedy in BODIES:
    for _key in _body.sizes(FIXED, TURNING):
        may_be_blank(_key)
    body_check(
        _body, FIXED, TURNING, _remedy, CURES.get(_body.name, "None in the trade: the parts that belong together.")
    )
