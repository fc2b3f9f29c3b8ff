"""Preload and torque of fine threads against the table of VDI 2230:2003 (reprint), friction 0.12 in thread and under head."""

import pytest

from bomcheck.notation import read_thread
from bomcheck.paper.torques import tightened
from bomcheck.rules.screw_strength import nut_factors

TABLE = {
    ("M8x1", "8.8"): (20.2, 26.1),
    ("M8x1", "10.9"): (29.7, 38.3),
    ("M10x1.25", "8.8"): (31.6, 51.0),
    ("M10x1.25", "10.9"): (46.4, 75.0),
    ("M12x1.25", "8.8"): (48.0, 90.0),
    ("M12x1.25", "10.9"): (70.5, 133.0),
    ("M14x1.5", "8.8"): (64.8, 142.0),
    ("M14x1.5", "10.9"): (95.2, 209.0),
}


@pytest.mark.parametrize("name", TABLE)
def test_preload_and_torque_within_one_percent(name):
    """kN and N·m as printed."""
    found, (tension, torque) = tightened(read_thread(name[0]), name[1]), TABLE[name]
    assert found.tension / 1000 == pytest.approx(tension, rel=0.01)
    assert found.torque == pytest.approx(torque, rel=0.01)


@pytest.mark.parametrize("name", TABLE)
def test_nut_factor_of_oiled_threads_lies_near_what_the_table_implies(name):
    """T / (F d) of the table is 0.155 to 0.165 for friction 0.12: between the factors of oiled and of dry threads."""
    tension, torque = TABLE[name]
    implied = torque / (tension * read_thread(name[0]).diameter)
    assert nut_factors()["oiled"] < implied < nut_factors()["dry"]
