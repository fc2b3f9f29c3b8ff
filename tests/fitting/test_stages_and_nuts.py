"""Stages in both units, threadlocker beside nylon nuts, the second wrench of a screw with a nut."""

import pytest

from bomcheck.model.finding import said_in
from tests.fitting.test_fit_up import sheet


@pytest.mark.parametrize(
    ("units", "torque", "said"),
    [
        ("inch", 200 * 0.112984829, "in 3 stages: 80, 140, 200 lb·in (9, 15.8, 22.6 N·m)"),
        ("metric", 200 * 0.112984829, "in 3 stages: 9, 15.8, 22.6 N·m (80, 140, 200 lb·in)"),
        ("inch", 29.99, "lb·in (12, 21, 30 N·m)"),
        ("inch", 30.01, "lb·ft (12, 21, 30 N·m)"),
    ],
)
def test_stages_are_in_both_units_the_jobs_first(units, torque, said):
    """Every stage in the unit of the last one. 1 lb·in = 0.112 984 8 N·m, 1 lb·ft = 1.355 818 N·m: NIST SP 811."""
    made = sheet(units=units, hat_screw_torque=torque, hat_screw_thread="5/16-24")
    row = next(row for row in made.torques if row.joint == "hat")
    assert said in row.how


NYLON = {"caliper_screw_condition": "threadlocker", "caliper_nut_kind": "nylon lock"}


@pytest.mark.parametrize(
    ("fastening", "kind", "asks"),
    [
        ("screw and nut", "nylon lock", True),
        ("stud in bracket", "nylon lock", True),
        (None, "nylon lock", True),
        ("screw and nut", "all-metal lock", False),
        ("screw into bracket", "nylon lock", False),
    ],
)
def test_threadlocker_with_a_nylon_nut_is_asked_about(fastening, kind, asks):
    """Threadlocker is never used with a nylon lock nut: common practice, no source."""
    changes = {**NYLON, "caliper_fastening": fastening, "caliper_nut_kind": kind}
    how = {row.joint: row for row in sheet(**changes).torques}["caliper"].how
    assert ("ask the kit maker" in how) is asks
    assert ("threadlocker as the kit's sheet names it" in how) is not asks


@pytest.mark.parametrize(
    ("fastening", "thread", "name"),
    [
        ("screw and nut", "M10x1.5", "second wrench of 16 mm or 17 mm for the nuts"),
        ("screw and nut", "7/16-20", "second wrench of 11/16 in for the nuts"),
        ("screw into bracket", "M10x1.5", ""),
        ("stud in bracket", "M10x1.5", ""),
    ],
)
def test_a_screw_with_a_nut_takes_a_second_wrench(fastening, thread, name):
    """One holds, one turns. 16 mm ISO 4032, 17 mm DIN 934, 11/16 in ASME B18.2.2: sizes from memory."""
    made = sheet(caliper_fastening=fastening, caliper_screw_thread=thread, caliper_nut_kind="nylon lock")
    found = [tool for tool in made.tools if tool.name.startswith("second wrench") and "caliper to bracket" in tool.use]
    assert [tool.name.partition(":")[0] for tool in found] == ([name] if name else [])


def test_an_inch_job_reads_its_own_units_first():
    """Torques, wrenches, forces and speeds of Fit-up and of the findings: lb·in, lb·ft, lbf, psi, mph. NIST SP 811."""
    with said_in("inch"):
        made = sheet(units="inch", hat_screw_torque=200 * 0.112984829, hat_screw_thread="5/16-24")
        row = next(row for row in made.torques if row.joint == "hat")
        assert row.torque == "200 lb·in (22.6 N·m)"
        assert "lbf" in row.strength
        assert "kN" not in row.strength
        assert any("4 to 18 lb·ft" in tool.name for tool in made.tools)
        text = " ".join([*made.test, *made.bedding])
        assert "from 6 mph (10 km/h)" in text
        assert "6 mph (" in text
