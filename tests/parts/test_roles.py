"""The table of roles: every role has its rule and its step; each rule asks for just its part. Common practice, no source."""

from ast import Constant, walk
from ast import parse as parsed
from pathlib import Path
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.model.job import Part
from bomcheck.model.line import ASK, ON_CAR, Line
from bomcheck.paper import fit_up
from bomcheck.rules.joint_table import condition
from bomcheck.supply import roles
from bomcheck.tables import rows
from bomcheck.tables.fields import fields, part_fields
from tests.helpers.jobs import good_job

TABLE = rows("roles")
# Asked for by the sizes of joints, lines and remedies, in code; the rest by the table alone.
BY_SIZE = {
    "rotor", "hat", "hat screw", "hat nut", "bracket screw", "bracket nut", "washer", "shim", "caliper",
    "caliper screw", "caliper stud", "caliper nut", "bracket spacer", "caliper spacer", "stepped sleeve", "thread insert",
    "pad set", "hose", "adapter", "tube nut", "brake tube", "bulkhead nut", "line clip", "banjo screw", "sealing washer",
    "O-ring", "tee", "residual valve", "proportioning valve", "master cylinder", "centring ring", "wheel extension",
    "wheel stud", "wheel bolt", "wheel nut", "wheel spacer", "wheel weight", "park shoe set", "park hardware set",
    "threadlocker", "thread sealant", "safety wire", "machining", "labour",
}  # fmt: skip
ONLY_OFFERED = {"union", "bleed screw"}  # in price lists and boxes; no job of one axle takes them
LAID_OUT = {"taking off", "cleaning"}


def test_every_role_has_a_rule_and_every_rule_a_role() -> None:
    """The form of the parts knows just the roles that the table and the code ask for."""
    known = set(part_fields()["role"].choices)
    table = {row["role"] for row in TABLE}
    asked = table | BY_SIZE | ONLY_OFFERED
    assert not asked - known, f'add to the enum of "role" in schemas/part.schema.json: {sorted(asked - known)}'
    assert not known - asked, (
        f"give each a row in bomcheck/tables/roles.txt, or a function under @needs and its name in BY_SIZE here: {sorted(known - asked)}"
    )
    words = {
        node.value
        for file in Path(roles.__file__).parents[1].rglob("*.py")
        for node in walk(parsed(file.read_text("utf-8")))
        if isinstance(node, Constant) and isinstance(node.value, str)
    }
    made = {f"{joint} {part}" for joint in ("hat", "bracket", "caliper") for part in ("screw", "nut", "stud")}
    assert BY_SIZE - words - made == set()


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row['role']} {row['when']}")
def test_every_row_can_be_read_and_has_a_step(row: dict[str, str]) -> None:
    """Fields, values, units and places are known; the part stands in a step of the work."""
    known = fields()
    for text in (row["when"], "" if row["there"] in roles.IN_PLACE else row["there"]):
        for key, allowed in condition(text).items():
            assert key in known or key in roles.FOLLOWS
            assert key not in known or set(allowed) <= set(known[key].choices)
    assert row["quantity"].replace(".", "").isdigit() or row["quantity"] in {*known, "hub_lug_count"}
    assert row["per"] in ("corner", "axle", "car")
    assert row["said"]
    assert row["reason"]
    line = Line(row["role"], row["role"], row["said"], used_at=row["place"])
    step = fit_up._step_of(line, assess(good_job()))
    assert (step == fit_up.FIRST) == (row["place"] in LAID_OUT), (
        f'give the place "{row["place"]}" a step in bomcheck/tables/steps.txt (places), or the role one (roles)'
    )


def test_the_steps_know_only_roles_and_places_that_there_are() -> None:
    """A role or a place in the steps of the work that nothing asks for would be a step without its part."""
    assert set(fit_up.ROLES) <= set(part_fields()["role"].choices)
    source = "".join(file.read_text("utf-8") for file in Path(roles.__file__).parents[1].rglob("*.py"))
    places = {place for own in fit_up.PLACES.values() for place in own} - {row["place"] for row in TABLE}
    assert {place for place in places if f'"{place}"' not in source} <= {"hub face"}


def lines_of(**changes: Any) -> dict[str, list[Line]]:
    """The lines that something is needed for, or asked, by role."""
    found: dict[str, list[Line]] = {}
    for line in assess(good_job(**changes)).parts:
        if line.needed or line.status == ASK:
            found.setdefault(line.role, []).append(line)
    return found


REAR = {"axle": "rear", "park_brake": "in caliper", "park_lever": "cable", "kit_park_brake": "in caliper", "kit_park_lever": "cable"}  # fmt: skip
DRUMS = {"axle": "rear", "caliper_position_present": "drum", "kit_park_brake": "drum in hat", "park_lever": "cable"}
HUB = {"hub_removed": "yes"}
# What is said of the job -> roles with what both corners need, and what stays or comes fitted.
CASES: list[tuple[dict[str, Any], dict[str, float], dict[str, float]]] = [
    ({"corner_extras": "rotor screw; wear sensor"}, {"rotor screw": 2, "wear sensor": 1}, {}),
    ({"corner_extras": "rotor clip; sensor lead clip; sensor bracket"}, {"rotor clip": 2, "sensor lead clip": 2, "sensor bracket": 2}, {}),
    ({"corner_extras": "hose grommet; strut bracket"}, {"hose grommet": 2}, {"strut bracket": 2}),
    ({"corner_extras": "loosened strut"}, {"labour": 1}, {}),
    ({"hat_joint": "bobbins and circlips", "hat_screw_count": 10}, {"bobbin": 20, "bobbin spring": 20, "circlip": 20}, {}),
    ({"hat_joint": "bobbins and screws", "hat_screw_count": 10}, {"bobbin": 20, "bobbin spring": 20, "hat screw": 20}, {}),
    ({"hat_screw_count": 8, "hat_washer_count": 1, "hat_screw_thread": "M8x1.25"}, {"hat screw": 16}, {}),
    ({"kit_comes_fitted": "none"}, {"pad pin": 4, "pad clip": 4, "anti-rattle spring": 2, "bleed screw cap": 4}, {}),
    ({"kit_comes_fitted": "pad pins; pin clips"}, {"anti-rattle spring": 2}, {"pad pin": 4, "pad clip": 4}),
    (
        {"caliper_build": "sliding", "kit_comes_fitted": "none"},
        {"guide pin": 4, "slide boot": 4, "slide pin screw": 4, "pad clip": 8, "bleed screw cap": 2, "grease": 10},
        {},
    ),
    ({**HUB, "bearing": "tapered pair", "spindle_nut_lock": "staked"}, {"spindle nut": 2, "hub seal": 2, "dust cap": 2}, {}),
    ({**HUB, "bearing": "tapered pair", "spindle_nut_lock": "cotter pin"}, {"cotter pin": 2}, {"spindle nut": 2}),
    (
        {**HUB, "bearing": "sealed unit", "spindle_nut_lock": "lock nut", "corner_extras": "hub unit screws; hub snap ring"},
        {"spindle nut": 2, "hub unit screw": 8, "snap ring": 2},
        {},
    ),
    ({**HUB, "bearing": "live axle"}, {"axle screw": 8, "axle gasket": 2, "gear oil": 1.0, "hub seal": 2}, {}),
    ({"hub_in_kit": "yes", "bearing": "tapered pair", "spindle_nut_lock": "staked"}, {"wheel stud": 10, "wheel bearing": 4}, {}),
    ({**REAR, "kit_comes_fitted": "return springs"}, {}, {"parking cable": 2, "cable equaliser": 1, "return spring": 2}),
    ({"note": "From drums to discs", "caliper_position_present": None}, {}, {"backing plate": 2, "wheel cylinder": 2}),
    ({**DRUMS, "park_brake": "none"}, {"backing plate": 2}, {"wheel cylinder": 2}),
    ({"axle": "rear", "park_brake": "drum in hat", "kit_park_brake": "drum in hat"}, {}, {"backing plate": 2}),
    ({**REAR, "park_brake": "drum in hat"}, {"parking cable": 2}, {"cable equaliser": 1}),
    ({**DRUMS, "park_brake": "separate"}, {"park shoe set": 1, "park hardware set": 1, "parking cable": 2}, {"wheel cylinder": 2}),
    ({**DRUMS, "park_brake": "in drum"}, {"park shoe set": 1, "park hardware set": 1, "backing plate": 2, "parking cable": 2}, {}),
    ({**REAR, "park_lever": "electric", "kit_park_lever": "electric"}, {"parking actuator": 2, "labour": 0.5}, {}),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "needed", "there"), CASES)
def test_each_rule_by_hand(typed: dict[str, Any], needed: dict[str, float], there: dict[str, float]) -> None:
    """What both corners of an axle need, counted by hand."""
    found = lines_of(**typed)
    for role, quantity in needed.items():
        mine = [line for line in found[role] if line.status != ON_CAR]
        assert sum(line.needed for line in mine) == pytest.approx(quantity), role
    for role, quantity in there.items():
        assert [(line.needed, line.to_order, line.status) for line in found[role]] == [(quantity, 0, ON_CAR)]


def test_a_joint_that_nothing_holds_gets_a_bracket_and_its_clip() -> None:
    """No tab on the car: a bracket with its clip for each hose, whatever is said of a clip. Common practice, no source."""
    found = lines_of(line_bracket="no", line_clip="yes")
    assert [(line.needed, line.status) for role in ("strut bracket", "line clip") for line in found[role]] == [
        (2, "no source known")
    ] * 2
    assert "strut bracket" not in lines_of(line_bracket="yes")


def test_a_cable_and_its_adapter_are_never_both_bought() -> None:
    """Cables that end at the new lever; where the box holds adapters for the old cable, those instead."""
    typed = {**REAR, "park_brake": "drum in hat"}
    assert "cable adapter" not in lines_of(**typed)
    found = lines_of(**typed, box=(Part("cable adapter", quantity=2.0),))
    assert "parking cable" not in found
    assert [line.status for line in found["cable adapter"]] == ["in kit"]


def test_disc_or_drum_is_asked_where_nothing_tells() -> None:
    """No caliper, valve, parking brake or word says which; an answer settles what comes off. Common practice, no source."""
    (asked,) = (line for line in lines_of(caliper_position_present=None)["wheel cylinder"])
    assert (asked.status, "or is the brake a drum" in asked.note) == (ASK, True)
    assert "wheel cylinder" not in lines_of(caliper_position_present="behind")
    assert [line.status for line in lines_of(caliper_position_present="drum")["wheel cylinder"]] == [ON_CAR]


@pytest.mark.parametrize(
    ("blank", "more", "role"),
    [
        ("corner_extras", {}, "rotor screw"),
        ("kit_comes_fitted", {}, "bleed screw cap"),
        ("hat_joint", {}, "bobbin"),
        ("spindle_nut_lock", {**HUB, "bearing": "tapered pair"}, "spindle nut"),
        ("hub_removed", {}, "hub"),
    ],
)
def test_what_is_blank_is_asked_and_not_ordered(blank: str, more: dict[str, Any], role: str) -> None:
    """The line asks the field's question; nothing of it is to be ordered before it is answered."""
    asked = lines_of(**{**more, blank: None})[role]
    assert any(line.status == ASK and fields()[blank].question.rstrip(".") in line.note for line in asked)


LOCKERS: list[tuple[dict[str, Any], float]] = [
    # Ten hat screws, 0.3 mL each at two corners: 6 mL; the bracket's two screws and the caliper's two: 1.2 mL each.
    ({"hat_screw_condition": "threadlocker"}, 6.0),
    ({"hat_screw_condition": "dry", "hat_screw_drilled": "yes"}, 0.0),
    ({"hat_screw_condition": "anti-seize", "hat_screw_drilled": "yes"}, 0.0),
    ({"hat_screw_condition": None, "hat_screw_drilled": "yes"}, 0.0),
    ({"hat_screw_condition": None, "hat_screw_drilled": "no"}, 6.0),
    ({"hat_screw_condition": "dry", "hat_nut_height": 8.0}, 0.0),
    ({"hat_screw_condition": "dry", "caliper_screw_condition": None, "caliper_nut_kind": "plain"}, 1.2),
    ({"hat_screw_condition": "dry", "caliper_screw_condition": None, "caliper_nut_kind": "all-metal lock"}, 0.0),
    ({"hat_screw_condition": "dry", "caliper_screw_condition": "threadlocker", "caliper_nut_kind": "nylon lock"}, 0.0),
    (
        {"hat_screw_condition": "dry", "caliper_screw_condition": "threadlocker", "caliper_nut_kind": "all-metal lock"},
        1.2,
    ),
]


@pytest.mark.parametrize(("typed", "millilitres"), LOCKERS)
def test_threadlocker_only_where_it_locks(typed: dict[str, Any], millilitres: float) -> None:
    """Not beside wire or a lock nut unless the sheet asks for it; never with a nylon lock nut."""
    usual = {
        "hat_screw_count": 10,
        "hat_nut_height": 0.0,
        "bracket_screw_condition": "dry",
        "caliper_screw_condition": "dry",
    }
    found = lines_of(**{**usual, **typed}).get("threadlocker", [])
    assert sum(line.needed for line in found) == pytest.approx(millilitres)


@pytest.mark.parametrize("build", [{"hat_joint": "screws"}, {"hat_joint": "bobbins and screws"}])
def test_a_rotor_that_comes_joined_takes_no_hat_and_no_hat_screws(build: dict[str, Any]) -> None:
    """Ten screws and a hat at each of two corners to buy, unless hat and ring come as one; where that is blank it is asked
    (common practice, no source)."""
    typed = {
        **build,
        "hat_screw_count": 10,
        "hat_screw_thread": "M6x1.0",
        "hat_screw_length": 20.0,
        "hat_screw_class": "10.9",
    }
    apart, joined, blank = (lines_of(**typed, kit_comes_fitted=said) for said in ("none", "joined rotor", None))
    assert [sum(line.to_order for line in apart[role]) for role in ("hat", "hat screw")] == [2, 20]
    mine = [line for role in ("hat", "hat screw", "hat nut", "bobbin") for line in joined.get(role, ())]
    assert sum(line.to_order for line in mine) == 0
    assert [line.status for role in ("hat", "hat screw") for line in blank[role]] == [ASK, ASK]
    assert not {"hat", "hat screw"} & lines_of(**typed, rotor_build="one-piece").keys()
