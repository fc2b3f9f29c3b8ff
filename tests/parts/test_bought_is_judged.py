"""What is bought is judged again with its own figures; lengths worked out by hand, common practice, no source.

The screw passes a washer of 2.5 and a bracket of 16 before it comes to the ear; no shims lie there.
"""

from dataclasses import replace
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.model.job import Part
from bomcheck.model.line import NO_SOURCE, ON_SHELF, TO_ORDER, Line
from bomcheck.model.report import Report
from bomcheck.notation.thread import read_thread
from tests.helpers.jobs import finding, good_job

BLIND = {
    "ear_hole": "tapped blind",
    "ear_thread_depth": (22.0, 0.3),
    "ear_thickness": 30.0,
    "bracket_screw_length": 45.0,
}
THROUGH = {"ear_hole": "tapped through", "ear_thread_depth": 20.0, "ear_thickness": 20.0, "bracket_screw_length": 34.0}
NUT = {
    "ear_hole": "plain", "ear_hole_diameter": 12.5, "ear_thread": None, "bracket_screw_into": "nut",
    "bracket_nut_kind": "all-metal lock", "bracket_nut_height": 12.0, "bracket_screw_length": 45.0,
}  # fmt: skip
REST = {"bracket_ear_thickness": 16.0, "axial_shim_joint": "lug", "ear_material": "iron"}


def screw(length: float, price: float, **more: Any) -> Part:
    """A screw of the right thread and class; its number tells its length."""
    thread = read_thread("M12x1.5")
    rest: dict[str, Any] = {"strength_class": "10.9", "unit_price": price, "lead_days": 1.0, **more}
    return Part("bracket screw", f"S-{length:g}", f"screw {length:g}", thread=thread, length=length, **rest)


def bought(arrangement: dict[str, Any], *prices: Part, **more: Any) -> tuple[Line, Report]:
    """The list's line for the bracket's screws, and the report."""
    report = assess(replace(good_job(**{**REST, **arrangement}), prices=prices, **more))
    (line,) = (line for line in report.parts if line.role == "bracket screw" and line.needed)
    return line, report


def fits(check: str, arrangement: dict[str, Any], length: float) -> bool:
    """Whether a check fits with a screw of this length, cut to a quarter of a millimetre, typed into the job."""
    job = good_job(**{**REST, **arrangement, "bracket_screw_length": (length, 0.25)})
    return str(finding(check, assess(job)).verdict) == "fits"


# Arrangement, the check, cheaper screws that do not do, and one that does.
CASES = [
    # 41 - 18.5 = 22.5 of thread in a hole of 22: it bottoms.
    (BLIND, "screw_bottoms_in_ear", (41.0, 45.0), 39.0),
    # 36.5 - 18.5 = 18.0 of thread, less the ±, where iron asks for 1.5 x 12 = 18.
    (THROUGH, "engagement_in_ear", (36.5, 34.0), 38.0),
    # 54 - 2.5 - 16 - 20 - 12 = 3.5: more than two pitches of 1.5, but not at the worst of the ±.
    (NUT, "bracket_nut_on_thread", (54.0, 45.0), 55.0),
]


@pytest.mark.parametrize(("arrangement", "check", "wrong", "right"), CASES)
def test_the_cheaper_screw_that_fails_is_not_bought(
    arrangement: dict[str, Any], check: str, wrong: tuple[float, ...], right: float
) -> None:
    """Each refused length fails its check when it is typed in, the bought one does not."""
    line, _ = bought(arrangement, *(screw(length, 1.0) for length in wrong), screw(right, 9.0))
    assert (line.status, line.part_number) == (TO_ORDER, f"S-{right:g}")
    assert fits(check, arrangement, right)
    assert not any(fits(check, arrangement, length) for length in wrong)


@pytest.mark.parametrize(("arrangement", "check", "wrong", "right"), CASES)
def test_with_only_wrong_screws_no_source_is_known(
    arrangement: dict[str, Any], check: str, wrong: tuple[float, ...], right: float
) -> None:
    """Nothing is bought that fails, and it is said of each why it does not serve."""
    line, _ = bought(arrangement, *(screw(length, 1.0) for length in wrong))
    assert line.status == NO_SOURCE
    assert all(f"S-{length:g}" in line.note for length in wrong)
    assert fits(check, arrangement, right)


def test_a_longer_screw_that_fits_is_bought_where_it_is_cheaper() -> None:
    """Behind a lock nut 60 does what 55 does; nothing that is known speaks against it."""
    line, _ = bought(NUT, screw(55.0, 9.0), screw(60.0, 2.0))
    assert line.part_number == "S-60"
    assert fits("bracket_nut_on_thread", NUT, 60.0)


def test_what_lies_on_the_shelf_is_judged_too() -> None:
    """A shelf of screws of 41 does not serve; one of 39 does."""
    for length, status in ((41.0, NO_SOURCE), (39.0, ON_SHELF)):
        line, _ = bought(BLIND, shelf=(replace(screw(length, 1.0), quantity=10.0),))
        assert line.status == status


def test_a_class_that_upsets_the_torque_is_refused() -> None:
    """75 N·m, dry, pulls M12x1.5 (88.1 mm2) with 31.3 kN: 0.43 of the proof load of class 10.9, 0.37 of that of 12.9, where 0.40
    to 0.90 is usual (stress area and proof strengths of ISO 898-1)."""
    typed = {**BLIND, "bracket_screw_torque": 75.0, "bracket_screw_condition": "dry"}
    prices = (screw(39.0, 1.0, strength_class="12.9"), screw(38.9, 5.0))
    before = finding("bracket_screw_torque_plausible", assess(good_job(**{**REST, **typed})))
    with_it = finding(
        "bracket_screw_torque_plausible", assess(good_job(**{**REST, **typed, "bracket_screw_class": "12.9"}))
    )
    line, _ = bought(typed, *prices)
    assert (str(before.verdict), str(with_it.verdict)) == ("fits", "not known")
    assert line.part_number == "S-38.9"


def test_parts_that_spoil_it_together_are_not_bought_together() -> None:
    """Screws of 39.7 do with washers of 2.5, and washers of 2.2 with screws of 39; together they come to the bottom."""
    washers = Part("washer", "W-2.2", "washer", inner_diameter=12.5, thickness=2.2, unit_price=0.1, lead_days=1.0)
    for length, together in ((39.0, True), (39.7, False)):
        line, report = bought(BLIND, screw(length, 1.0), washers)
        washer = next(one for one in report.parts if one.role == "washer" and one.used_at == "bracket to ear")
        assert line.part_number == f"S-{length:g}"
        assert (washer.status == TO_ORDER) is together
        assert ("together with" in washer.note) is not together
        typed = {**BLIND, "bracket_screw_length": (length, 0.25), "bracket_washer_thickness": (2.2, 0.1)}
        found = finding("screw_bottoms_in_ear", assess(good_job(**{**REST, **typed})))
        assert (str(found.verdict) == "fits") is together
