"""Does a part serve a demand: threads, lengths, classes, sides, ends, road marks, compounds."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.demand import Demand
from bomcheck.model.job import Part
from bomcheck.notation.line_end import read_line_end
from bomcheck.notation.thread import read_thread
from bomcheck.rules.screw_strength import class_name, not_lower, strength
from bomcheck.supply.spec import ALL_STATED, fit, why_not

SCREW = Demand("bracket screw", 2, spec={"thread": "M12x1.5", "length": (44.5, 45.5), "class": "10.9"})


def screw(**more: object) -> Part:
    """A bracket screw that serves, unless `more` says otherwise."""
    stated = {"thread": read_thread("M12x1.5"), "length": 45.0, "strength_class": "10.9"}
    return Part("bracket screw", **{**stated, **more})  # type: ignore[arg-type]


def test_the_part_itself_serves() -> None:
    """A part that states all that is asked for, and states it right, surely serves."""
    assert fit(screw(), SCREW).surely


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"thread": read_thread("M12x1.25")}, "M12x1.25"),
        ({"thread": read_thread("1/2-20")}, "1/2-20"),
        ({"length": 44.0}, "44 mm"),
        ({"length": 46.0}, "46 mm"),
        ({"strength_class": "8.8"}, "lower"),
        ({"strength_class": "grade 8"}, "lower"),
        ({"role": "caliper screw"}, "caliper screw"),
        ({"unit": "L"}, "counted in"),
    ],
)
def test_each_difference_is_refused_by_name(change: dict[str, object], word: str) -> None:
    """One thing that differs is enough, and the reason names it."""
    from dataclasses import replace

    answer = fit(replace(screw(), **change), SCREW)  # type: ignore[arg-type]
    assert not answer.serves
    assert word in " ".join(answer.against)


@pytest.mark.parametrize(
    ("change", "unstated"),
    [
        ({"thread": None}, "thread"),
        ({"thread": read_thread("M12")}, "pitch"),
        ({"length": None}, "length"),
        ({"strength_class": ""}, "class"),
        ({"strength_class": "A2-70"}, "whether class A2-70 is at least 10.9"),
    ],
)
def test_what_is_not_stated_is_named_and_not_guessed(change: dict[str, object], unstated: str) -> None:
    """A part that lacks a figure serves only perhaps, and says which figure."""
    answer = fit(screw(**change), SCREW)
    assert answer.serves
    assert not answer.surely
    assert answer.unstated == (unstated,)


# ISO 898-1:2013 table 3 and SAE J429:2014 table 1, from memory: the order within each family, and between the two by proof
# and tensile strength (85 ksi = 586 MPa, 120 ksi = 827 MPa, 150 ksi = 1034 MPa).
@pytest.mark.parametrize(
    ("offered", "wanted", "enough"),
    [
        ("10.9", "8.8", True), ("12.9", "10.9", True), ("8.8", "10.9", False), ("grade 8", "grade 5", True),
        ("grade 5", "grade 8", False), ("grade 5", "8.8", True), ("8.8", "grade 5", False), ("10.9", "grade 8", True),
        ("grade 8", "10.9", False), ("12.9", "grade 8", True), ("A4-80", "8.8", None),
    ],
)  # fmt: skip
def test_classes_in_order(offered: str, wanted: str, enough: bool | None) -> None:
    """Never lower than what is asked for; between the families the table's figures decide; what is not in it is asked."""
    assert not_lower(offered, wanted, 12.0) is enough


def test_thick_screws_have_their_own_row() -> None:
    """Class 8.8 over 16 mm is 600/830 MPa (ISO 898-1), so that grade 5 (586/827 MPa) is then lower."""
    assert strength("8.8", 18.0) == (600.0, 830.0)
    assert not_lower("grade 5", "8.8", 18.0) is False


@pytest.mark.parametrize("typed", ["Grade 8", "gr8", "GR. 8", "G8"])
def test_spellings_of_a_grade(typed: str) -> None:
    """A grade is known however it is typed."""
    assert class_name(typed) == "grade 8"


def test_sides_stay_apart() -> None:
    """A left part does not serve the right side; of one without a side that is asked, where left and right are two parts."""
    left = Demand("rotor", 1, side="left")
    assert fit(Part("rotor", side="left"), left).surely
    assert fit(Part("rotor", side="either"), left).unstated == ("side",)
    assert fit(Part("wheel stud", side="either"), replace(left, role="wheel stud")).surely
    assert not fit(Part("rotor", side="right"), left).serves
    assert not fit(Part("rotor", "", "friction ring RH", side="left"), left).serves


def test_ends_either_way_round() -> None:
    """A hose serves whichever way round it is listed; another seat or thread is refused."""
    hose = Demand("hose", 1, spec={"end_a": "M10x1.0 bubble male", "end_b": "M10x1.0 banjo eye", "road_marked": "yes"})
    eye, bubble = read_line_end("M10x1.0 banjo eye"), read_line_end("M10x1.0 bubble male")
    assert fit(Part("hose", end_a=eye, end_b=bubble, road_marked="yes"), hose).surely
    assert not fit(Part("hose", end_a=eye, end_b=eye, road_marked="yes"), hose).serves
    assert not fit(Part("hose", end_a=read_line_end("3/8-24 banjo eye"), end_b=bubble, road_marked="yes"), hose).serves
    assert not fit(Part("hose", end_a=eye, end_b=bubble), hose).serves


def test_washer_by_thread_or_by_hole() -> None:
    """A washer listed by the screw that it belongs to serves like one listed by its hole."""
    washer = Demand("washer", 4, spec={"inner_diameter": (12.0, 13.5)})
    assert fit(Part("washer", inner_diameter=13.0), washer).surely
    assert fit(Part("washer", thread=read_thread("M12")), washer).surely
    assert not fit(Part("washer", thread=read_thread("M10")), washer).serves
    assert not fit(Part("washer", inner_diameter=10.5), washer).serves


def test_neighbouring_sealing_washers_are_told_apart() -> None:
    """A washer for 3/8 in (9.525 mm) is not one for M10, nor the other way round."""
    for diameter, other in ((9.525, 10.0), (10.0, 9.525), (11.1125, 12.0)):
        demand = Demand("sealing washer", 2, spec={"inner_diameter": (diameter - 0.05, diameter + 0.4)})
        assert fit(Part("sealing washer", inner_diameter=diameter), demand).surely
        assert not fit(Part("sealing washer", inner_diameter=other), demand).serves


def test_pads_for_another_use_never_serve() -> None:
    """Pads that do not say that they are for the road are not for the road; another compound is refused by name."""
    road = Demand("pad set", 1, unit="set", spec={"duty": "road"})
    assert not fit(Part("pad set", description="race pads", strength_class="R9"), road).serves
    assert fit(Part("pad set", description="pads for road and fast road"), road).surely
    assert not fit(Part("pad set", description="fast road pads"), road).serves
    public = Demand("pad set", 1, unit="set", spec={"public_roads": "yes"})
    for text in ("race ONLY", "track use only", "not for road use", "never on public roads"):
        assert not fit(Part("pad set", description=f"pads, {text}"), public).serves
    assert fit(Part("pad set", description="track and fast road pads"), public).surely
    compound = Demand("pad set", 1, unit="set", spec={"compound": "F2"})
    assert "R9" in fit(Part("pad set", strength_class="R9"), compound).against[0]


@pytest.mark.parametrize(
    ("text", "serves"),
    [
        ("DOT 4", True),
        ("DOT 5.1", True),
        ("DOT5.1", True),
        ("DOT 5", False),
        ("silicone", False),
        ("mineral", False),
        ("mineral hydraulic oil LHM", False),
        ("hydraulic brake fluid DOT 4", True),
        ("4", True),
        ("5.1", True),
        ("5", False),
        ("DOT 4, not silicone", True),
        ("DOT 4, non-silicone", True),
        ("mineral DOT 4 substitute", False),
    ],
)
def test_silicone_fluid_never_mixes(text: str, serves: bool) -> None:
    """Class 5 is silicone, 5.1 is not (49 CFR 571.116)."""
    fluid = Demand("fluid", 1, unit="L", spec={"fluid": "glycol"})
    assert fit(Part("fluid", strength_class=text, unit="L"), fluid).serves is serves


def test_dot_3_is_not_taken_for_the_class_on_the_cap() -> None:
    """It serves only where the cap says so, and that is asked; an oil of no class is asked for it."""
    fluid = Demand("fluid", 1, unit="L", spec={"fluid": "glycol"})
    assert "DOT 3 is the class" in fit(Part("fluid", strength_class="DOT 3", unit="L"), fluid).remark
    assert fit(Part("fluid", strength_class="DOT 3/4", unit="L"), fluid).surely
    assert fit(Part("fluid", strength_class="4", unit="L"), fluid).surely
    assert fit(Part("fluid", description="brake fluid", unit="L"), fluid).unstated == ("class",)


@pytest.mark.parametrize(
    ("said", "wanted", "serves", "surely"),
    [
        ("plain nut M10", "all-metal lock", False, False), ("nylon lock nut", "all-metal lock", False, False),
        ("nylon lock nut", "nylon lock", True, True), ("all-metal lock nut", "all-metal lock", True, True),
        ("nyloc nut", "all-metal lock", False, False), ("nylock nut", "all-metal lock", False, False), ("nyloc nut", "nylon lock", True, True),
        ("nut M10", "all-metal lock", True, False), ("plain nut", "plain", True, True), ("nylon lock nut", "lock", False, False),
        ("lock nut M10", "all-metal lock", True, False), ("self-locking nut", "all-metal lock", True, False),
        ("all-metal, no nylon", "all-metal lock", True, True), ("crimped lock nut, not nylon", "all-metal lock", True, True),
        ("lock nut", "plain", True, True), ("lock nut", "lock", True, True), ("crimped nut", "lock", True, True),
    ],
)  # fmt: skip
def test_a_nut_locks_as_it_must(said: str, wanted: str, serves: bool, surely: bool) -> None:
    """Common practice, no source: no plain nut where the sheet locks, no nylon where it must stand the heat."""
    found = fit(Part("caliper nut", description=said), Demand("caliper nut", 2, spec={"nut_kind": wanted}))
    assert (found.serves, found.surely) == (serves, surely)


@pytest.mark.parametrize(
    ("role", "spec", "said", "serves", "surely"),
    [
        ("wheel spacer", {"pattern": "5x112"}, "spacer 12 mm 5x120", False, False),
        ("wheel spacer", {"pattern": "5x112"}, "spacer 12 mm, 5 x 112", True, True),
        ("wheel spacer", {"pattern": "5x112"}, "spacer 12 mm", True, False),
        ("wheel spacer", {"pattern": "5x4.75"}, "spacer 1/2 in, 5x4.75", True, True),
        ("wheel spacer", {"pattern": "5x114.3"}, "spacer 12 mm, 5x4.5 in", True, True),
        ("wheel spacer", {"pattern": "5x4.75"}, "spacer 5x114.3", False, False),
        ("wheel spacer", {"pattern": "5x112"}, "spacer with studs M12x1.5", True, False),
        ("wheel spacer", {"pattern": "5x112"}, "spacer 112x5, 20 mm", True, True),
        ("wheel spacer", {"pattern": "5x112"}, "spacer 5x100/112", True, True),
        ("wheel spacer", {"pattern": "5x112"}, "adapter 5x112 to 5x120", False, False),
        ("wheel spacer", {"pattern": "5x114.3"}, "conversion 5x112 to 5x120", False, False),
        ("wheel spacer", {"pattern": "5x120"}, "spacer 5x120.65", False, False),
        ("hat", {"pattern": "5x112"}, "hat, 5x114.3", False, False), ("hat", {"pattern": "5x112"}, "hat 5x112.2", True, True),
        ("wheel spacer", {"own_pilot": True}, "hub-centric spacer", True, True),
        ("wheel spacer", {"own_pilot": True}, "spacer without pilot", False, False),
        ("wheel spacer", {"own_pilot": True}, "spacer", True, False),
        ("centring ring", {"metal": True}, "plastic ring 70/66.6", False, False),
        ("centring ring", {"metal": True}, "aluminium ring, not plastic", True, True),
        ("centring ring", {"metal": True}, "ring 70/66.6", True, True), ("stepped sleeve", {"metal": True}, "sleeve, nylon", False, False),
    ],
)  # fmt: skip
def test_a_part_is_held_to_its_own_words(
    role: str, spec: dict[str, object], said: str, serves: bool, surely: bool
) -> None:
    """The circle of a spacer and what a ring is made of stand in no column, but in the words."""
    found = fit(Part(role, description=said), Demand(role, 2, spec=spec))
    assert (found.serves, found.surely) == (serves, surely)


@pytest.mark.parametrize(
    ("words", "columns", "against"),
    [
        ("hex screw M12x1.5 x 45, 10.9", {}, ""),
        ("hex screw M12x1.25 x 45, 10.9", {}, "thread"),
        ("hex screw M12x1.5 x 40, 10.9", {}, "length"),
        ("hex screw M12x1.5 x 45, class 8.8", {}, "lower"),
        ("hex screw M12x1.5 x 45, A2-70", {}, ""),
        ("hex screw M12x1.75 x 45", {"thread": read_thread("M12x1.5"), "length": 45.0, "strength_class": "10.9"}, "its words say thread"),
        ("hex screw M12x1.5 x 60", {"thread": read_thread("M12x1.5"), "length": 45.0, "strength_class": "10.9"}, "its words say length"),
        ("hex screw M12 x 45, 8.8", {"thread": read_thread("M12x1.5"), "length": 45.0, "strength_class": "10.9"}, "its words say class"),
        ("hex bolt M12x1.5x45-10.9", {}, ""), ("hex bolt 12.9 M12 x 1.5 x 45 mm", {}, ""), ("2 x 45 mm", {}, ""),
        ("stud M12x1.5/M10x1.25 x 45", {"thread": read_thread("M12x1.5"), "length": 45.0, "strength_class": "10.9"}, ""),
    ],
)  # fmt: skip
def test_sizes_that_stand_in_words_count(words: str, columns: dict[str, object], against: str) -> None:
    """A blank column is what the words say; where both are there and differ, neither is believed."""
    found = fit(Part("bracket screw", description=words, **columns), SCREW)  # type: ignore[arg-type]
    assert found.serves is (not against)
    assert against in " ".join(found.against)


@pytest.mark.parametrize(
    ("role", "spec", "words", "serves"),
    [
        ("rotor", {"outer_diameter": (279, 281), "thickness": (21.7, 22.3)}, "friction ring 280 x 22", True),
        ("rotor", {"outer_diameter": (279, 281)}, "friction ring 300 x 28", False),
        ("rotor", {"outer_diameter": (279, 281)}, "2 x 280 x 22", True),
        ("rotor", {"outer_diameter": (316.5, 318.5)}, "friction ring 12.5 x 1.10", True),  # inches
        ("rotor", {"said_pattern": "5x108"}, "rotor 5x112", False), ("rotor", {"said_pattern": "5x108"}, "rotor", True),
        ("rotor", {"at_axle": "rear"}, "front rotor", False), ("rotor", {"at_axle": "rear"}, "rotor, front and rear", True),
        ("washer", {"inner_diameter": (10.0, 11.5)}, "washer 12.5 x 24 x 2.5", False),
        ("washer", {"inner_diameter": (10.0, 11.5)}, "washer 10.5 x 20 x 2", True),
        ("rotor", {"said_drum": 172.0}, "rotor with parking drum 160", False), ("rotor", {"said_drum": 172.0}, "rotor, no parking drum", False),
        ("rotor", {"said_drum": 172.0}, "rotor with drum 172", True), ("centring ring", {"metal": True}, "nylon66 ring", False),
        ("hat", {"bore": 54.16}, "hat 4x100, bore 66.1", False), ("hat", {"bore": 54.16}, "hat 4x100, bore 54.16", True),
        ("park shoe set", {"outer_diameter": (169.0, 172.0)}, "parking shoes 160 mm", False),
        ("hose", {"length": (400.0, 450.0)}, "braided hose 330 mm", False),
        ("hose", {"length": (400.0, 450.0)}, "braided hose 33 cm", False), ("hose", {"length": (400.0, 450.0)}, "hose 42,5 cm", True),
        ("hose", {"road_marked": "no"}, "power steering hose", False), ("hose", {"road_marked": "no"}, "air brake hose", False),
        ("pad set", {"public_roads": "yes"}, "road, no R90", False), ("pad set", {"public_roads": "yes"}, "without ECE R90", False),
        ("pad set", {"public_roads": "yes"}, "road, ECE R90", True), ("pad set", {"public_roads": "yes"}, "off-highway use only", False),
        ("washer", {}, "nylon washer M12", False), ("washer", {}, "steel washer, in plastic bag", True), ("sealing washer", {}, "copper ring", True),
        ("hose", {"road_marked": "no"}, "fuel hose", False), ("hose", {"road_marked": "no"}, "brake hose", True),
        ("wheel spacer", {"thickness": (8.0, 8.0)}, "spacer 5 mm", False),
        ("wheel spacer", {"own_pilot": (54.06, 54.16)}, "hubcentric 57.1", False),
        ("wheel spacer", {"own_pilot": (66.5, 66.6)}, "spacer 20 mm 5x112, 57.1 hub centric", False),
        ("hat", {"bore": 66.6}, "hat, bore Ø57.1", False), ("hat", {"bore": 66.6}, "hat CB 57.1", False),
        ("bracket screw", {"class": "10.9"}, "M12x1.5x45 8,8", False),
        ("centring ring", {"metal": True}, "polyamide", False), ("caliper nut", {"nut_kind": "all-metal lock"}, "polyamide lock nut", False),
        ("fluid", {"fluid": "glycol"}, "silicon brake fluid DOT 4 compatible", False),
        ("wheel spacer", {"own_pilot": (54.06, 54.16)}, "hub-centric 54.1 spacer", True),
        ("centring ring", {"metal": True}, "ABS ring", False), ("centring ring", {"metal": True}, "polycarbonate", False),
        ("pad set", {"shape": "P-44"}, "pads P-52", False), ("pad set", {"shape": "P-44"}, "pads P-44", True),
        ("pad set", {"pad_thickness": 15.5}, "pads, 18 mm thick", False), ("pad set", {"pad_thickness": 15.5}, "pads", True),
        ("pad set", {"public_roads": "yes"}, "competition pads", False), ("pad set", {"public_roads": "yes"}, "no road homologation", False), ("pad set", {"public_roads": "yes"}, "pads, no road mark", False),
        ("pad set", {"public_roads": "yes"}, "fast road, no ECE approval", False), ("pad set", {"public_roads": "yes"}, "for closed course", False),
        ("pad set", {"for_use": ("fast road", ())}, "pads for road use", False),
        ("pad set", {"for_use": ("fast road", ())}, "pads for fast road and track", True),
        ("fluid", {"fluid": "glycol"}, "DOT 4, opened 2 years ago", False), ("fluid", {"fluid": "glycol"}, "DOT 4, expired", False),
    ],
)  # fmt: skip
def test_each_part_is_held_to_its_words(role: str, spec: dict[str, object], words: str, serves: bool) -> None:
    """All roles whose words may say that they are another part; common practice, no source."""
    unit = "L" if role == "fluid" else "each"
    assert fit(Part(role, description=words, unit=unit), Demand(role, 1, unit=unit, spec=spec)).serves is serves


@pytest.mark.parametrize(
    ("role", "spec", "words"),
    [
        ("pad set", {"public_roads": "yes"}, "non-asbestos organic road pads"), ("pad set", {"public_roads": "yes"}, "no squeal, for road use"),
        ("pad set", {"public_roads": "yes"}, "low dust, not too hard, for the road"), ("pad set", {"public_roads": "yes"}, "ceramic pads"),
        ("pad set", {"for_use": ("fast road", ())}, "track day, road legal"), ("pad set", {"shape": "1234"}, "pads, 15 mm"),
        ("hose", {"road_marked": "yes", "length": (420.0, 440.0)}, "track tested braided hose for 330 mm kit, 430 mm"),
        ("fluid", {"fluid": "glycol"}, "DOT 4, used in most cars"), ("caliper nut", {"nut_kind": "all-metal lock"}, "plain finish all-metal lock nut"),
        ("wheel spacer", {"own_pilot": (66.5, 66.6)}, "hub-centric, 20 mm"), ("rotor", {"said_pattern": "5x112"}, "rotor 330x28, 48 vanes"),
        ("washer", {"inner_diameter": (10.0, 11.5)}, "4 x 10.5 x 20 x 2"), ("hat", {"pattern": "5x139.7"}, "hat 5x5.5 / 5x5"),
        ("hose", {"length": (420.0, 440.0)}, "hose kit for 330 mm rotors"), ("hose", {"length": (420.0, 440.0)}, "hose 425-435 mm"),
        ("centring ring", {"metal": True}, "steel ring, ABS safe"), ("centring ring", {"metal": True}, "aluminium hub ring, in plastic bag"),
        ("banjo screw", {"length": (19.0, 21.0)}, "banjo bolt M10x1 20 mm, washers 10 x 14 x 1"),
        ("caliper screw", {"length": (37.0, 39.0)}, '7/16-20 x 1 1/2" grade 8'), ("rotor", {"said_pattern": "5x114.3"}, "rotor 5 x 4-1/2"),
        ("pad set", {"for_use": ("fast road", ())}, "street and track"), ("pad set", {"public_roads": "yes"}, "fast road; not approved for racing"),
        ("bracket screw", {"class": "10.9"}, "hex screw M12x1.5 x 45 - 12.9"), ("bracket screw", {"length": (44.0, 46.0)}, "M12x1.5x45 x 30"),
        ("bracket screw", {"length": (44.0, 46.0)}, "screw M12x1.5 for bracket VK-B160 x 2"), ("hat", {"bore": 66.6}, "hat 5x112, stud bore 15"),
        ("fluid", {"fluid": "glycol"}, "DOT 4, use within 12 months once opened"), ("hat", {"pattern": "5x112"}, "dual drilled 5x100 to 5x112"),
        ("fluid", {"fluid": "glycol"}, "DOT 4, do not mix with silicone (DOT 5) fluid"),
        ("caliper nut", {"nut_kind": "all-metal lock"}, "all-metal locknut, replaces nyloc"), ("washer", {"inner_diameter": (12.5, 13.5)}, "M12x24x2.5"),
    ],
)  # fmt: skip
def test_what_serves_is_not_refused_for_its_words(role: str, spec: dict[str, object], words: str) -> None:
    """Words that name or deny something else."""
    unit = "L" if role == "fluid" else "each"
    part = Part(role, description=words, unit=unit, road_marked="yes")
    assert fit(part, Demand(role, 1, unit=unit, spec=spec)).against == ()


def test_fluid_by_the_bottle_must_say_how_much() -> None:
    """A bottle of unknown content is no litre; a tube of threadlocker is enough for any car."""
    assert not fit(Part("fluid", strength_class="DOT 4"), Demand("fluid", 1, unit="L")).serves
    assert fit(Part("threadlocker"), Demand("threadlocker", 3, unit="mL")).remark == "it does not state its contents"


def test_reasons_for_the_list() -> None:
    """What is in the box and does not serve is named with its reason, and only parts of that role."""
    text = why_not([screw(strength_class="8.8", description="short screw"), Part("shim")], SCREW)
    assert text == "short screw does not serve: its class 8.8 is lower than 10.9"


@given(st.floats(1, 200), st.floats(1, 200), st.floats(1, 200))
def test_a_length_serves_exactly_inside_its_range(low: float, high: float, length: float) -> None:
    """Inside the range it serves, outside it does not; the ends belong to it."""
    low, high = min(low, high), max(low, high)
    answer = fit(Part("caliper stud", length=length), Demand("caliper stud", 2, spec={"length": (low, high)}))
    assert answer.serves is (low - 1e-6 <= length <= high + 1e-6)


def test_a_key_of_the_machinery_is_no_spec() -> None:
    """The mark that a part must state all is not itself something to match."""
    assert fit(screw(), Demand("bracket screw", 2, spec={**SCREW.spec, ALL_STATED: True})).surely


AGAINST, ASKED, TAKEN = "refused", "asked", "taken"
OF_THEIR_WORDS = [
    ("hose", "clutch slave hose", AGAINST), ("hose", "fuel return hose", AGAINST), ("hose", "PAS hose", AGAINST), ("hose", "not a brake hose", AGAINST),
    ("hose", "hose not for brakes", AGAINST), ("hose", "oil cooler hose", AGAINST), ("hose", "brake hose with clutch line bracket", TAKEN),
    ("hose", "braided hose, oil resistant", TAKEN), ("hose", "brake hose, cracked", AGAINST), ("hose", "brake hose, used", ASKED),
    ("rotor", "cracked, core return", AGAINST), ("rotor", "used rotor", ASKED), ("rotor", "unused, boxed", TAKEN), ("rotor", "not used, never cracked", TAKEN),
    ("rotor", "used in most front axles", TAKEN), ("caliper", "LH, seized", AGAINST), ("caliper nut", "all-metal lock nut, LH thread", AGAINST),
    ("wheel stud", "left hand thread", AGAINST), ("caliper screw", "7/16-20 LH", ASKED), ("bracket screw", "grub screw", AGAINST),
    ("bracket screw", "countersunk", ASKED), ("bracket screw", "hex screw, zinc", TAKEN), ("washer", "spring washer", AGAINST), ("washer", "PTFE", AGAINST),
    ("washer", "flat washer, hardened", TAKEN), ("washer", "hardened steel, blister pack plastic", ASKED), ("washer", "steel, in plastic bag", TAKEN),
    ("sealing washer", "fibre ring", AGAINST), ("sealing washer", "copper", TAKEN), ("sealing washer", "used copper washer", ASKED),
    ("hose", "brake servo vacuum hose", AGAINST), ("hose", "breather hose", AGAINST), ("adapter", "compression fitting", AGAINST), ("adapter", "M10 to 3/8", TAKEN),
    ("adapter", "fuel line adapter", AGAINST), ("tube nut", "plastic cap nut", AGAINST), ("banjo screw", "aluminium, red", AGAINST),
    ("banjo screw", "banjo bolt with bleed nipple", ASKED), ("banjo screw", "banjo bolt M10x1 x 20", TAKEN), ("pad set", "non-asbestos", TAKEN),
    ("pad set", "asbestos free", TAKEN), ("pad set", "contains asbestos", AGAINST), ("caliper nut", "all-metal, thin, class 04", AGAINST),
    ("bracket screw", "bent", AGAINST), ("hose", "90 degree bent end", TAKEN), ("wheel stud", "weld stud", AGAINST), ("rotor", "display rotor", AGAINST),
    ("O-ring", "EPDM", TAKEN), ("wheel bearing", "rubber seals, plastic cage", TAKEN), ("anti-rattle spring", "in rubber", TAKEN), ("hub seal", "NBR", TAKEN),
    ("rotor screw", "countersunk, machine screw", TAKEN), ("hose", "brake servo hose", AGAINST), ("tube nut", "steel, in plastic bag", TAKEN),
    ("spindle washer", "nylon", AGAINST), ("banjo screw", "solid brass", TAKEN), ("centring ring", "polyurethane", AGAINST), ("shim", "nylon shim", AGAINST), ("shim", "steel shim 0.5", TAKEN),
]  # fmt: skip


@pytest.mark.parametrize(("role", "words", "answer"), OF_THEIR_WORDS)
def test_what_words_say_against_a_part_whatever_it_is_for(role: str, words: str, answer: str) -> None:
    """Unsound, used, left-hand, soft, or of another trade: from a list written before the table of words was seen."""
    found = fit(Part(role, description=words), Demand(role, 1))
    assert {AGAINST: bool(found.against), ASKED: bool(found.unstated) and found.serves, TAKEN: found.surely}[answer], (
        found
    )


GLYCOL, ROADS = {"fluid": "glycol"}, {"public_roads": "yes"}
FLUIDS = [
    ("DOT 5 1 litre", False), ("DOT 5 - 1 gal", False), ("DOT 5.1", True), ("DOT 5,1 1 litre", True), ("DOT 4, cannot be mixed with silicone", True),
    ("DOT 4 half-used", False), ("DOT 4, drained from car", False), ("DOT 4, incompatible with mineral oil", True), ("DOT 4 for clutch fluid only", False),
]  # fmt: skip
PADS = [
    ("fast road, trackday only", False), ("fast road, for track days only", False), ("fast road, only for track", False), ("road, off-road use", False),
    ("road, competition purposes", False), ("road, illegal on public roads", False), ("road, not ECE", False), ("road, no E mark", False),
    ("road, R90 pending", False), ("road, unapproved", False), ("road, R90 No. 1234", True), ("road and track days", True), ("road, approval no. 12", True),
]  # fmt: skip


@pytest.mark.parametrize(
    ("role", "spec", "words", "serves"),
    [*(("fluid", GLYCOL, *one) for one in FLUIDS), *(("pad set", ROADS, *one) for one in PADS)],
)
def test_class_of_a_fluid_and_roads_of_a_pad(role: str, spec: dict[str, object], words: str, serves: bool) -> None:
    """The pack behind DOT 5 makes no DOT 5.1 of it (classes: 49 CFR 571.116); pads are kept off roads in the trade's own words (common
    practice, no source)."""
    unit = "L" if role == "fluid" else "each"
    assert fit(Part(role, description=words, unit=unit), Demand(role, 1, unit=unit, spec=spec)).serves is serves


@pytest.mark.parametrize(
    ("words", "against"),
    [("braided hose M10x1.0 to -3", ""), ("hose AN3, 430 mm", ""), ("hose 3/8-24 inverted flare", ""), ("hose M10x1.25 to -3", "M10x1.25"),
     ("hose -4", "-4"), ("hose 7/16-20", "7/16-20"), ("hose 1/8 BSPT", "BSPT"), ("hose 1/8-27 NPT", "NPT"), ("hose for M10", "")],
)  # fmt: skip
def test_threads_in_the_words_of_a_hose_against_its_ends(words: str, against: str) -> None:
    """Ends M10x1.0 bubble and -3 37, which is 3/8-24 (SAE J514): a thread of neither is a contradiction."""
    ends = (read_line_end("M10x1.0 bubble female"), read_line_end("-3 37 female"))
    told = fit(Part("hose", "", words, end_a=ends[0], end_b=ends[1], road_marked="yes"), Demand("hose", 2)).against
    assert bool(told) == bool(against), told
    assert against in "".join(told)


@pytest.mark.parametrize(
    ("words", "pack", "against"),
    [("clips, pack of 10", None, "pack of 10"), ("clips, pack of 10", 10.0, ""), ("clips, pack of 10", 5.0, "pack of 10"), ("screws, set of 4", None, "pack of 4"),
     ("box of 200", None, "pack of 200"), ("pair of clips", None, "pack of 2"), ("pair of clips", 2.0, ""), ("price per 100", None, "per 100"), ("20 pcs bag", None, "pack of 20"), ("20 pcs", 20.0, ""), ("clip", None, "")],
)  # fmt: skip
def test_what_a_pack_holds_in_the_words_of_the_price_list(words: str, pack: float | None, against: str) -> None:
    """Against its columns: a line so contradicted is not taken; of what lies in the box it says nothing."""
    part = Part("pad clip", "", words, unit_price=3.6, pack_size=pack)
    told = fit(part, Demand("pad clip", 4)).against
    assert against in "".join(told)
    assert bool(told) == bool(against)
    assert fit(replace(part, unit_price=None), Demand("pad clip", 4)).serves


@pytest.mark.parametrize(
    ("part", "against", "asked"),
    [
        (Part("shim", "", "shim washer 0.5 mm for M10", thickness=1.0), "thickness 0.5 mm", ""), (Part("shim", "", "shim washer 0.5 mm", thickness=0.5), "", ""),
        (Part("shim", "", "shim 10 x 18, 0.8 mm", thickness=1.0), "thickness 0.8 mm", ""),
        (Part("fluid", "", "DOT 4, 1 L", unit="L", pack_size=0.5, unit_price=9.0), "say 1 L", ""), (Part("fluid", "", "DOT 4, 500 ml", unit="L", pack_size=0.5, unit_price=9.0), "", ""),
        (Part("threadlocker", "", "medium, 50 ml", unit="mL", pack_size=10.0, unit_price=1.0), "say 50 ml", ""),
        (Part("grease", "", "cartridge 400 g", unit="g", pack_size=400.0, unit_price=0.02), "", ""),
        (Part("line clip", "", "clip", note="discontinued, no stock"), "", "can still be had"), (Part("pad set", "", "pads for one wheel, 2 pads", unit="set"), "", "both wheels"),
    ],
)  # fmt: skip
def test_amounts_and_shims_in_words(part: Part, against: str, asked: str) -> None:
    """Words that contradict a column are never taken; 1 L is two packs of half a litre."""
    told = fit(part, Demand(part.role, 1, unit=part.unit or "each"))
    assert (bool(told.against), bool(told.unstated)) == (bool(against), bool(asked)), told
    assert against in "".join(told.against)
    assert asked in "".join(told.unstated)
