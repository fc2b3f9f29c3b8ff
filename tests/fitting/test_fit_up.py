"""The Fit-up sheet's content: every part at a step, torques in both units, tools that follow from the screws."""

import pytest

from bomcheck.assess import assess
from bomcheck.engine.adjust import choices
from bomcheck.io.read.job import read_job
from bomcheck.model.finding import Finding, said_in
from bomcheck.model.job import Part
from bomcheck.model.shipped import folder
from bomcheck.model.types import Pieces
from bomcheck.model.verdict import Verdict
from bomcheck.notation import read_line_end
from bomcheck.paper.fit_up import fit_up
from bomcheck.rules.screw_strength import both_units
from tests.helpers.jobs import assessed

# Common practice, no source: drilled quarter-inch hat screws at 120 in·lb with threadlocker, M14 bracket screws at
# 77 lb·ft with threadlocker.
HAT = {
    "hat_screw_count": 8, "hat_screw_thread": "1/4-28", "hat_screw_class": "grade 8", "hat_screw_torque": 120 * 0.112984829,
    "hat_screw_drilled": "yes", "hat_screw_condition": "threadlocker",
}  # fmt: skip
BRACKET = {
    "bracket_screw_thread": "M14x1.5", "bracket_screw_class": "10.9", "bracket_screw_torque": 77 * 1.3558179483,
    "bracket_screw_condition": "threadlocker",
}  # fmt: skip
TRADE = {**HAT, **BRACKET}


def sheet(**changes):
    return fit_up(assessed(**{**TRADE, **changes}))


def test_bodies_that_change_sides_are_told_at_their_step():
    """From ahead of the axle line to behind it, pistons alike: the left body goes on the right."""
    moved = {
        "caliper_position_present": "ahead",
        "caliper_position_kit": "behind",
        "caliper_bores": ((40.0, 40.0), 0.0),
    }
    step = next(step for step in sheet(**moved).steps if step.title == "Caliper on the bracket")
    assert step.do[0].startswith("Put the left caliper body on the right")


def test_a_box_of_more_bracket_screws_than_usual_asks_how_many_a_corner_takes():
    """Eight in the box and no number on the kit's sheet: two a corner are a guess, and it is asked."""
    for count, asked in ((8, True), (4, False)):
        box = [Part("bracket screw", quantity=count)]
        line = next(line for line in assessed(**TRADE, box=box).parts if line.role == "bracket screw")
        assert ("How many screws hold one bracket to its ears or flange? " in line.note) is asked


def test_every_line_of_the_parts_list_stands_at_one_step():
    """Nothing that is needed is missing from the work, and nothing is there twice."""
    report = assessed(**TRADE)
    wanted = [
        line
        for line in report.parts
        if line.needed > 0 and line.status != "surplus" and line.role not in ("labour", "machining", "question")
    ]
    told = [part for step in fit_up(report).steps for part in step.parts]
    assert wanted
    assert len(told) == len(wanted)
    for line in wanted:
        assert any(
            part.startswith((f"{line.needed:g} x", f"{line.needed:g} {line.unit}"))
            and (line.description or line.role) in part
            for part in told
        )


def test_a_flange_with_four_screws_gets_them_all():
    """Four in each of two corners, with washers, threadlocker, shims out of a box for eight screws, three stages, star order."""
    four = {
        "bracket_screw_count": 4,
        "shim_sizes_axial": (Pieces(0.5, 16), Pieces(1.0, 7)),
        "caliper_bores": ((38.0, 42.0), 0.0),
    }
    report = assessed(**TRADE, **four)
    parts = {line.role: line.needed for line in report.parts if line.used_at == "bracket to ear"}
    assert (parts["bracket screw"], parts["washer"]) == (8, 8)
    assert sum(line.needed for line in report.parts if line.role == "threadlocker") == pytest.approx(0.3 * (8 + 4 + 16))
    row = next(row for row in fit_up(report).torques if row.joint == "bracket")
    assert row.screws.startswith("4 x M14x1.5")
    assert "in 3 stages" in row.how
    assert "order 1-3-2-4" in row.how
    slip = next(found for found in report.findings if found.check == "bracket_slip")
    assert slip.said.startswith("4 screws hold 4 × ")
    held = choices("axial", report.job).box
    assert max(stack.count for stack in held) == 2
    assert {size for stack in held for size, _ in stack.pieces} == {0.5}


def test_steps_are_numbered_and_come_in_the_order_of_the_work():
    """Rotor before bracket, bracket before caliper, line before bleeding, wheel last."""
    steps = sheet().steps
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    order = [step.title for step in steps]
    wanted = [
        "Lay out and take off",
        "Join hat and friction ring",
        "Put the rotor on",
        "Bracket on the knuckle",
        "Caliper on the bracket",
        "Pads",
        "Brake line",
        "Try the wheel",
        "Bleed",
        "Wheel",
    ]
    assert [title for title in order if title in wanted] == wanted


def test_the_trades_sockets_and_torques_come_from_the_screws():
    """5/16 in 12-point for the hat, 21 mm for the bracket, 120 in·lb and 77 lb·ft in both units, staged, wired."""
    made = sheet()
    rows = {row.joint: row for row in made.torques}
    assert rows["hat"].torque == "13.6 N·m (120 lb·in)"
    assert rows["bracket"].torque == "104.4 N·m (77 lb·ft)"
    tools = " ".join(tool.name for tool in made.tools)
    for words in (
        "5/16 in 12-point socket",
        "21 mm socket",
        "1/4 in drive",
        "1/2 in drive",
        "twisting pliers",
        "0.032 in",
    ):
        assert words in tools
    assert "1-5-3-7-2-6-4-8" in rows["hat"].how
    assert "wire the drilled heads" in rows["hat"].how
    assert "threadlocker" in rows["bracket"].how


def test_every_stage_is_measured_by_some_wrench():
    """35 N·m in stages of 17.5 and 35: the first lies below the 3/8 in wrench's 20, so two wrenches; 70 N·m takes one."""
    screws = {"caliper_screw_condition": "oiled", "bracket_screw_thread": "M12x1.5"}
    rows = {row.joint: row for row in sheet(caliper_screw_torque=35.0, bracket_screw_torque=70.0, **screws).torques}
    assert [wrench.split(",")[1].strip() for wrench in rows["caliper"].wrenches] == ["1/4 in drive", "3/8 in drive"]
    assert [wrench.split(",")[1].strip() for wrench in rows["bracket"].wrenches] == ["3/8 in drive"]
    names = [tool.name for tool in sheet(caliper_screw_torque=35.0).tools]
    assert len(names) == len(set(names))


def test_preload_and_the_nut_factors_scatter_stand_beside_the_torque():
    """104.4 N·m on M14: 104.4 / (0.15 x 0.014 m) = 49.7 kN of 124.55 mm² x 830 N/mm²: 48 %; with the nut factors that are
    seen for threadlocker, 0.14 to 0.20 (common practice, no source): 36 to 52 %."""
    rows = {row.joint: row for row in sheet().torques}
    assert "48 % of the screw's proof strength, 49.7 kN" in rows["bracket"].strength
    assert "0.14 to 0.20 are seen for threadlocker: 36 to 52 %" in rows["bracket"].strength
    unknown = {row.joint: row for row in sheet(bracket_screw_condition=None, bracket_screw_torque=120.0).torques}[
        "bracket"
    ].strength
    assert "condition not known, so for nut factors of 0.12 to 0.20" in unknown


def test_the_wire_is_told_its_pairs_and_its_longest_span():
    """FAA AC 43.13-1B: no span over 6 in, no group over 24 in of wire."""
    ring = next(step for step in sheet().steps if step.title == "Join hat and friction ring")
    words = " ".join(ring.do)
    assert "1-2, 3-4, 5-6, 7-8" in words
    assert "15 cm (6 in) from head to head, and 61 cm (24 in) of wire" in words
    assert any("1.44 m safety wire" in part for part in ring.parts)


@pytest.mark.parametrize(
    ("system", "first"), [("metric", "50 to 100 km (30 to 60 miles)"), ("inch", "30 to 60 miles (50 to 100 km)")]
)
def test_the_job_s_own_unit_stands_first(system, first):
    """How far the car goes until the wheel is tightened again: common practice, no source."""
    with said_in(system):
        assert f"Tighten again after {first}." in " ".join(sheet().steps[-1].do)


def test_a_head_that_was_measured_is_the_only_socket():
    """A 22 mm head is a 22 mm socket, whatever the standard says."""
    assert {row.joint: row for row in sheet(bracket_screw_head=22.0).torques}["bracket"].sockets == ("22 mm socket",)


def test_a_torque_that_cannot_be_right_is_not_printed_for_use():
    """120 ft·lb on a quarter-inch screw: the sheet says ask first, and names no wrench for it."""
    row = {row.joint: row for row in sheet(hat_screw_torque=120 * 1.3558179483).torques}["hat"]
    assert not row.asked
    assert row.torque.startswith("Ask first")
    assert not row.wrenches
    assert "120 lb·in instead of 120 lb·ft" in row.strength


def test_a_blank_torque_is_asked_for_and_never_made_up():
    """The kit's figure rules; the tables only test it."""
    row = {row.joint: row for row in sheet(bracket_screw_torque=None).torques}["bracket"]
    assert not row.asked
    assert "______" in row.torque
    assert not any(digit in row.torque for digit in "123456789")


@pytest.mark.parametrize(
    ("torque", "text"),
    [
        (13.558, "13.6 N·m (120 lb·in)"),
        (63.7, "63.7 N·m (47 lb·ft)"),
        (55.0, "55 N·m (41 lb·ft)"),
        (40.5, "40.5 N·m (30 lb·ft)"),
    ],
)
def test_both_units(torque, text):
    """Small torques in lb·in, larger ones in lb·ft; the metric figure is the kit's own to the tenth."""
    assert both_units(torque) == text


def test_both_sheets_print_one_torque_alike():
    """What Compatibility says of a torque begins with the figure of the Fit-up sheet's table."""
    report = assessed(
        **{**TRADE, "bracket_screw_torque": 55.0, "bracket_screw_class": "8.8", "bracket_screw_thread": "M12x1.5"}
    )
    told = next(one for one in report.findings if one.check == "bracket_screw_torque_plausible")
    row = next(row for row in fit_up(report).torques if row.joint == "bracket")
    assert row.torque == "55 N·m (41 lb·ft)"
    assert "in 2 stages: 27.5, 55 N·m" in row.how
    assert told.said.startswith(f"{row.torque} ÷ ")


def test_a_spindle_nut_goes_back_to_its_end_play_and_a_clamping_one_never_back():
    """Neither is said where the job has no such nut. Common practice, no source: adjustable tapered bearings keep a play."""
    plain = " ".join(sheet().torque_notes)
    assert "never back" not in plain
    assert "pindle nut" not in plain
    taken_off = {"hub_removed": "yes", "hub_in_kit": "no", "bearing": "tapered pair", "spindle_nut_lock": "cotter pin"}
    spindle = " ".join(sheet(**taken_off).torque_notes)
    assert "turned back to the end play" in spindle
    assert "never back" not in spindle
    castle = Part("caliper nut", description="castellated nut", quantity=4)
    clamped = " ".join(fit_up(assessed(**TRADE, caliper_fastening="screw and nut", box=(castle,))).torque_notes)
    assert "clamped joint" in clamped
    assert "at most 60 degrees; never back" in clamped


def test_warmth_is_felt_before_the_brake_cools():
    """Both rotors warm alike, then cold again, then the torques."""
    told = sheet().test
    warm = next(place for place, words in enumerate(told) if "equally warm" in words)
    cool = next(place for place, words in enumerate(told) if "let it cool" in words)
    assert warm < cool
    assert "never touch" in told[warm]


def test_shims_start_from_the_likely_stack_and_say_which_way_they_move():
    """One entry a stack."""
    report = assessed(**TRADE)
    rows = fit_up(report).shims
    assert [row.start for row in rows] == [str(report.plans[name].likely) for name in report.plans]
    assert "outboard" in rows[0].adjust[1]
    assert "half the difference" in rows[0].adjust[1]


def test_what_this_job_has_decides_what_is_said():
    """Directional vanes, a rear parking brake, one-piece rotors, a sliding caliper."""
    directional = " ".join(words for step in sheet(rotor_vanes="directional").steps for words in step.do)
    assert "lean back" in directional
    assert "Join hat and friction ring" not in [
        step.title for step in sheet(rotor_build="one-piece", rotor_height=60.0).steps
    ]
    rear = fit_up(assessed(**TRADE, axle="rear", park_brake="separate"))
    assert any("Parking brake" in words for words in rear.before_wheel)
    assert not any("Parking brake" in words for words in sheet().before_wheel)


def test_a_job_that_is_not_ready_says_so_first():
    """A hat that does not go on the hub, sizes that are blank, a hat to be bored: do not begin, and why."""
    both = sheet(hat_bolt_circle="5x120", ear_spacing=120.0)
    assert both.warning == "Do not begin: does not fit: bolt circle, ear spacing beyond the float"
    blank = assessed(hub_bolt_circle=None, hat_bore=None, ear_spacing=None)
    titles = [f"{finding.title[:1].lower()}{finding.title[1:]}" for finding in blank.deciding]
    assert len(titles) > 4
    assert fit_up(blank).warning == f"Do not begin: not known yet: {', '.join(titles[:3])} and {len(titles) - 3} more"
    bored = fit_up(assessed(hat_bore=(66.4, 0.0)))
    assert bored.warning == "Do not begin: needs machining first: pilot fit"


def test_brakes_that_are_not_good_as_a_whole_are_said_first():
    """A kit that bolts on but is not good for the car: to be settled with the customer before the work begins."""
    job, _ = read_job(folder("demo_workbooks") / "hatchback_too_strong.xlsx")
    warning = fit_up(assess(job)).warning
    assert warning.startswith("Settle first with the customer, the brakes as a whole: ")
    assert "Master cylinder stroke" in warning


def test_what_the_system_checks_found_is_repeated_where_it_matters():
    """A pedal that changes is told before the test, if the report has system findings."""

    class WithSystem:
        def __init__(self, report, found):
            self.__dict__.update({name: getattr(report, name) for name in report.__dataclass_fields__})
            self.system = found

    found = Finding("lock_order", "Lock order", "whole car", Verdict.DOES_NOT_FIT, do="Fit a valve")
    told = fit_up(WithSystem(assessed(**TRADE), (found,))).test
    assert told[-1] == "Mind: lock order: not good, see the sheet Whole car."


def test_the_sheet_certifies_nothing():
    """The cautions are there: licensed people, local rules, no approval."""
    words = " ".join(sheet().cautions)
    for said in ("licensed", "Rules for changed brakes", "approves nothing"):
        assert said in words


def test_every_joint_of_the_corner_stands_with_its_torque_or_a_line_for_it():
    """Pressure joints too: banjo, tube nut, bleed screws; slide pins of a sliding caliper, the hub where it comes off, the wheel."""
    names = [row.joint for row in sheet().torques]
    assert names == ["hat", "bracket", "caliper", "banjo", "line", "bleed", "wheel"]
    for rows in (
        sheet().torques,
        sheet(hat_screw_thread=None, bracket_screw_thread=None, caliper_screw_thread=None).torques,
    ):
        assert all(
            row.torque and row.sockets and (row.how or row.joint in ("hat", "bracket", "caliper")) for row in rows
        )
    more = [
        row.joint
        for row in sheet(caliper_build="sliding", hub_removed="yes", rotor_build="one-piece", rotor_height=63.0).torques
    ]
    assert more == ["hub", "bracket", "caliper", "pins", "banjo", "line", "bleed", "wheel"]
    tapered = [row.joint for row in sheet(caliper_inlet="1/8-27 NPT female").torques]
    assert "taper" in tapered
    assert "banjo" not in tapered
    for inlet in ("M10x1.0 bubble female", "3/8-24 crush female", None):
        assert "inlet" in [row.joint for row in sheet(caliper_inlet=inlet).torques]


def test_every_joint_of_a_line_with_adapters_is_counted():
    """Car's line to adapter, adapter to hose, and the banjo: two of one and one of the other, each with its wrench."""
    ends = (read_line_end("M10x1.0 bubble female"), read_line_end("M12x1.0 bubble male"))
    adapter = Part("adapter", end_a=ends[0], end_b=ends[1], quantity=2.0)
    hose = Part("hose", end_a=read_line_end("M12x1.0 bubble female"), end_b=read_line_end("M10x1.0 banjo eye"), length=430.0,
                road_marked="yes", quantity=2.0)  # fmt: skip
    rows = {row.joint: row for row in sheet(box=(adapter, hose)).torques}
    assert rows["line"].screws.startswith("2 x ")
    assert rows["banjo"].screws.startswith("1 x ")
    assert rows["line"].torque == rows["banjo"].torque == "as the maker prints: ______"


def test_wheel_nuts_have_sockets_of_their_own():
    """17, 19 or 21 mm: an M12 nut of a wheel is not the 18 mm of a screw's table; a typed torque stands in its place."""
    wheel = next(row for row in sheet(wheel_torque=120.0).torques if row.joint == "wheel")
    assert wheel.sockets == ("wheel nut socket: 17, 19 or 21 mm, as the nuts are",)
    assert wheel.torque == both_units(120.0)
    assert wheel.wrenches
    blank = next(row for row in sheet().torques if row.joint == "wheel")
    assert blank.torque.startswith("as the maker prints: ____")
    assert any("17, 19 or 21 mm" in tool.name for tool in sheet().tools)


def test_the_disc_has_a_runout_limit_and_a_blank_hub_holds_nothing_up():
    """0.05 mm at the disc's edge is a step of the work; the hub's own runout may stay blank."""
    report = assessed(hub_face_runout=None)
    assert not any(finding.check == "hub_face_true" and finding.asks for finding in report.findings)
    told = " ".join(words for step in fit_up(report).steps for words in step.do)
    assert "0.05 mm" in told
    assert "about twice over" in told
