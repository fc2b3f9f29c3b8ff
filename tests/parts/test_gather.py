"""Steps and cures as one list: a cure's part is the step's part, and is counted once."""

from bomcheck.model.demand import Demand
from bomcheck.model.job import Job, Part, Value
from bomcheck.model.line import IN_KIT, NO_SOURCE, SURPLUS
from bomcheck.supply.balance import balance
from bomcheck.supply.needs import gather

SCREW = Demand(
    "bracket screw", 2, spec={"thread": "M12x1.5", "length": (44.5, 45.5), "class": "10.9"}, used_at="bracket to ear"
)
PADS = Demand("pad set", 1, per="axle", unit="set", spec={"compound": "R9", "shape": "S-7"})


def test_a_longer_screw_is_the_same_screw() -> None:
    """The cure's length rules, the step's class stays, and two screws are two screws."""
    longer = Demand("bracket screw", 2, spec={"length": (49.5, 52.0)}, used_at="bracket to ear", reason="too short")
    (one,) = gather([SCREW], [longer])
    assert (one.quantity, one.spec["length"], one.spec["class"]) == (2, (49.5, 52.0), "10.9")
    assert "too short" in one.reason


def test_the_kits_own_part_no_longer_serves_unless_it_states_all() -> None:
    """Pads for the road are needed: the race pads of the box are left over, whatever they do not state."""
    (pads,) = gather([PADS], [Demand("pad set", 1, per="axle", spec={"duty": "road"}, used_at="caliper")])
    assert "compound" not in pads.spec
    job = Job({"corners": Value("corners", 2)}, box=(Part("pad set", description="pads", quantity=1),))
    assert [line.status for line in balance(job, [pads])] == [NO_SOURCE, SURPLUS]
    road = Job({"corners": Value("corners", 2)}, box=(Part("pad set", description="S-7 road pads", quantity=1),))
    assert [line.status for line in balance(road, [pads])] == [IN_KIT]


def test_other_parts_and_other_places_are_added() -> None:
    """What no step takes is added as it is; a ring of another size at the same place is another ring."""
    hub = Demand("centring ring", 1, spec={"inner_diameter": (66.6, 66.7)}, used_at="hub pilot")
    wheel = Demand("centring ring", 1, spec={"inner_diameter": (57.1, 57.2)}, used_at="wheel")
    assert gather([SCREW], [hub, wheel]) == [SCREW, hub, wheel]


def test_the_same_part_from_two_cures_is_needed_once() -> None:
    """Two checks that ask for longer studs ask for one set of studs."""
    studs = [
        Demand("wheel stud", 5, spec={"length": (60.0, None)}, used_at="hub", reason=reason)
        for reason in ("nut", "spacer")
    ]
    (one,) = gather([], studs)
    assert (one.quantity, one.reason) == (5, "nut; spacer")
