"""Screening says of every pair what the check of its single job says."""

from dataclasses import replace

import numpy as np
import pytest

from bomcheck.assess import _judge_axle, _ruling, assess
from bomcheck.engine.many import rounds
from bomcheck.engine.many.columns import pair_job
from bomcheck.engine.many.deciding import BY_SEVERITY, Decision, decision, ranks
from bomcheck.engine.rounds import MOST_PASSES
from bomcheck.model.job import Job, Part, TypedLimit
from bomcheck.model.report import Report
from bomcheck.model.verdict import UNKNOWN
from bomcheck.screen.blocks import judge_pairs
from bomcheck.screen.prefilter import Judged
from bomcheck.screen.world import World
from tests.helpers import jobs, tables
from tests.screen.table_rows import rows, world

PAIRS, EACH = 2000, 100
WHOLE = 10  # of so many pairs one goes through the whole check


def _decided(judged: Judged, lane: int) -> Decision:
    place = judged.place[lane]
    margin = None if np.isnan(judged.margin[lane]) else float(judged.margin[lane])
    name = ranks()[0][place] if place >= 0 else ""
    return Decision(BY_SEVERITY[int(judged.severity[lane])], name, margin, judged.measure[lane])


def _checked(job: Job, whole: bool) -> Decision:
    """What the check of a single job decides. A job without a box says nothing of its parts, so the search for what to buy, most of
    the time of a check, is left out of it but where the whole is asked for; there both must say the same."""
    fit = one_fit(job)
    if not (whole or job.box or job.values.keys() & tables_of("system")):
        return fit
    expected = decision(assess(job))
    assert job.box or fit == expected
    return expected


def one_fit(job: Job) -> Decision:
    """What the checks of the fit alone decide."""
    findings = _judge_axle(job, None).findings
    verdict, deciding = _ruling(findings)
    return decision(Report(job, job, verdict, deciding, findings))


def _agree(world: World, corner: np.ndarray, kit: np.ndarray) -> list[Decision]:
    judged = judge_pairs(world, corner, kit)
    found = []
    for lane in range(len(corner)):
        expected = _checked(pair_job(world.corners, world.kits, int(corner[lane]), int(kit[lane])), lane % WHOLE == 0)
        mine = _decided(judged, lane)
        assert replace(mine, margin=None) == replace(expected, margin=None), (corner[lane], kit[lane])
        assert mine.margin == (None if expected.margin is None else pytest.approx(expected.margin, abs=1e-9))
        found.append(expected)
    return found


@pytest.mark.parametrize("part", range(PAIRS // EACH))
def test_2000_random_pairs(part: int) -> None:
    """Verdict, deciding finding, margin and the size to measure are those of the check of the pair's job, all of them."""
    families = (2, 3, 5, 8)[part % 4]
    made = world(60, 60, families)
    draw = np.random.default_rng(part)
    found = _agree(made, draw.integers(0, 60, EACH), draw.integers(0, 60, EACH))
    assert len({one.verdict for one in found}) >= 3


def test_limits_of_the_sheet_rule() -> None:
    """A limit that the corner's job workbook changes rules in every pair."""
    limits = {
        "pilot_clearance": TypedLimit("pilot_clearance", 0.0, 0.05),
        "new_pads": TypedLimit("new_pads", 1.5, None),
    }
    made = World(rows("corners", tables.corners(12, 2), limits=limits), rows("kits", tables.kits(12, 2)))
    _agree(made, np.repeat(np.arange(12), 3), np.arange(36) % 12)


def test_boxes_and_prices() -> None:
    """What lies in a kit's box, and the thickness of shims on the price list, count as in a single job."""
    corner = [{**jobs.GOOD, "vehicle_label": "good", "ear_height": (95.0 + n / 10, 0.2)} for n in range(-6, 7)]
    kit = [{**jobs.GOOD, "kit_number": "good"}]
    corners = [{k: v for k, v in row.items() if k in tables_of("corner", "job")} for row in corner]
    kits = [{k: v for k, v in row.items() if k in tables_of("kit")} for row in kit]
    prices = (Part("shim", thickness=0.1, quantity=1.0),)
    made = World(rows("corners", corners, prices=prices), rows("kits", kits, boxes={0: (jobs.hose(),)}))
    found = _agree(made, np.arange(13), np.zeros(13, dtype=int))
    assert {str(one.verdict) for one in found} >= {"fits with parts"}


def test_blanks_that_no_answer_saves() -> None:
    """Threads 5 mm deep in the ear and 6 in the hub, pistons 120 apart, each with a blank beside: the verdict stands all the same."""
    corners, kits = tables.corners(30, 2), tables.kits(30, 2)
    for number, row in enumerate(corners):
        row |= (
            {"ear_hole": "tapped blind", "ear_thread": "M12x1.5", "ear_thread_depth": (5.0, 0.0)}
            if number % 3 == 0
            else {}
        )
        row |= {"hub_fixing": "bolt", "hub_thread_depth": (6.0, 0.0)} if number % 3 == 1 else {}
        for key in ("wheel_seat_depth", "ear_material", "hub_pilot_fillet")[number % 2 :]:
            row.pop(key, None)
    for number, row in enumerate(kits):
        row |= {"caliper_piston_gap": (120.0, 0.5)} if number % 2 else {}
        for key in ("bracket_washer_count", "pad_min_lining", "bracket_ear_thickness")[number % 3 :]:
            row.pop(key, None)
    made = World(rows("corners", corners), rows("kits", kits))
    found = _agree(made, np.repeat(np.arange(30), 6), np.arange(180) % 30)
    sure = ("piston_travel_worn", "engagement_in_ear", "bolt_engagement")
    assert {one.check for one in found if one.verdict.severity > UNKNOWN and one.margin is None} & set(sure)


def tables_of(*sections: str) -> set[str]:
    """Keys of the fields of some sections."""
    from bomcheck.tables.fields import section_fields

    return {field.key for section in sections for field in section_fields(section)}


def test_the_makers_list_counts_as_in_a_single_job() -> None:
    """Covered, not named, not said; a car as made, changed, not said; with blanks that the list may stand in for."""
    corners, kits = tables.corners(9, 2), tables.kits(9, 2)
    for number, row in enumerate(corners):
        row |= (
            {"car_as_made": ("yes", 0.0)}
            if number % 3 == 0
            else {"car_as_made": ("no", 0.0)}
            if number % 3 == 1
            else {}
        )
        row.pop("ear_thickness", None)
    for number, row in enumerate(kits):
        row |= (
            {"maker_list_covers": ("yes", 0.0)}
            if number % 3 == 0
            else {"maker_list_covers": ("no", 0.0)}
            if number % 3 == 1
            else {}
        )
        row.pop("hat_bore", None)
    _agree(World(rows("corners", corners), rows("kits", kits)), np.repeat(np.arange(9), 9), np.arange(81) % 9)


def test_measured_circles_and_two_distances() -> None:
    """Measured bolt circles, and ears given by two distances, are found as in a single job."""
    base = tables.corners(20, 2)
    corner = []
    for number, row in enumerate(base):
        row = {
            **row,
            "hub_bolt_circle": (f"5x{111.6 + number / 10:.1f}", 0.2 + 0.1 * (number % 3)),
            "hub_bolt_circle_basis": "measured",
        }
        if number % 2:
            row.pop("ear_height", None)
            row |= {"ear_distance_upper": 112.0, "ear_distance_lower": 113.0 + number / 20}
            row.pop("ear_sideways_offset", None)
        corner.append(row)
    kit = [{**row, "hat_bolt_circle": "5x112; 5x114.3"} for row in tables.kits(20, 2)]
    made = World(rows("corners", corner), rows("kits", kit))
    _agree(made, np.repeat(np.arange(20), 4), np.arange(80) % 20)


def test_circles_from_two_studs() -> None:
    """Where a corner gives the count of its studs and the distance between two, its circle is found as in a single job."""
    corner = []
    for number, row in enumerate(tables.corners(20, 2)):
        if number % 3:
            row = {**row, "hub_bolt_circle": "5", "hub_stud_chord": (67.2 + number / 50, 0.1)}
            row |= {"hub_stud_chord_over": ("neighbours", "one between")[number % 2]}
            row.pop("hub_bolt_circle_basis", None)
        corner.append(row)
    kit = [{**row, "hat_bolt_circle": "5x114.3; 5x112; 5x108"} for row in tables.kits(20, 2)]
    made = World(rows("corners", corner), rows("kits", kit))
    _agree(made, np.repeat(np.arange(20), 4), np.arange(80) % 20)


def test_as_many_rounds_as_for_one_job() -> None:
    """The cascade of remedies stops after the same number of rounds."""
    assert rounds.MOST_PASSES == MOST_PASSES


def test_a_job_is_read_only_where_asked() -> None:
    """The pair that is read piece by piece has the values of the pair's whole job."""
    made = world(5, 5, 2)
    whole = pair_job(made.corners, made.kits, 3, 4)
    single: Job = made.single(3, 4)
    assert {key: single.get(key) for key in whole.values} == {key: value.value for key, value in whole.values.items()}
