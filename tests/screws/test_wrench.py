"""Torque wrenches, crow-feet, the order and stages of tightening."""

import pytest

from bomcheck.paper.wrenches import crow_foot_setting, stages, star_order, torque_wrenches, wrench_for, wrenches_for


@pytest.mark.parametrize("count", range(2, 17))
def test_the_order_takes_every_screw_once_and_jumps_across(count):
    """From four screws on, no two neighbours follow each other at the start, and the second lies about opposite."""
    order = star_order(count)
    assert sorted(order) == list(range(1, count + 1))
    if count >= 4:
        step = abs(order[1] - order[0]) % count
        assert min(step, count - step) >= (count - 1) // 2


def test_a_crow_foot_that_lengthens_the_wrench_needs_less_on_the_scale():
    """T L / (L + a): moments about the screw; square to the wrench nothing changes."""
    set_to = crow_foot_setting(104.4, 400.0, 35.0)
    assert set_to * (400.0 + 35.0) / 400.0 == pytest.approx(104.4)
    assert set_to < 104.4
    assert crow_foot_setting(104.4, 400.0, 0.0) == 104.4


@pytest.mark.parametrize("torque", [5.0, 13.6, 24.0, 63.7, 104.4, 190.0, 450.0])
def test_the_wrench_measures_the_torque_and_not_at_the_end_of_its_scale(torque):
    """ISO 6789 has wrenches tested from a fifth of their range: no torque is set below that."""
    found = wrench_for(torque)
    assert found.low <= torque <= found.high
    assert found.low >= 0.2 * found.high - 1e-9
    assert wrench_for(4.0) is None
    assert wrench_for(900.0) is None
    assert torque_wrenches()[0].high < torque_wrenches()[-1].high


def test_stages_end_at_the_torque():
    """Two stages for a pair, three for a circle of screws."""
    assert stages(100.0, 2) == (50.0, 100.0)
    assert stages(13.6, 8)[-1] == 13.6
    assert len(stages(13.6, 8)) == 3


@pytest.mark.parametrize("torque", [10.0, 24.0, 30.0, 36.0, 62.0, 104.4, 180.0, 240.0])
@pytest.mark.parametrize("count", [2, 8])
def test_all_stages_of_a_torque_are_measured(torque, count):
    """Each stage lies in the range of one of the wrenches, and no wrench is named that no stage needs."""
    figures = stages(torque, count)
    named = wrenches_for(figures)
    measured = [figure for figure in figures if any(one.low <= figure <= one.high for one in named)]
    assert len(measured) == len([figure for figure in figures if wrench_for(figure)])
    assert all(any(one.low <= figure <= one.high for figure in figures) for one in named)
