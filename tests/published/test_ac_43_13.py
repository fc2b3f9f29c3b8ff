"""Safety wire and castellated nuts against FAA Advisory Circular 43.13-1B, chapter 7 (p. 7-22)."""

import pytest

from bomcheck.paper.wrenches import LONGEST_IN_GROUP, castellated_reach, wire, wire_pairs
from bomcheck.supply.needs_mount import WIRE_PER_PAIR, WIRE_SPARE

INCH = 25.4


def test_the_usual_wire():
    """0.032 in, 6 to 8 twists an inch; common on drilled hat screws (common practice, no source)."""
    usual = wire()
    assert usual.diameter == pytest.approx(0.032 * INCH)
    assert (usual.twists_low, usual.twists_high) == (6, 8)


def test_a_group_takes_at_most_24_inches():
    """The advisory circular's figure."""
    assert pytest.approx(24 * INCH) == LONGEST_IN_GROUP


@pytest.mark.parametrize("count", range(2, 17))
def test_every_drilled_head_is_on_one_wire(count):
    """Pairs, three together at the end of an odd count; the wire bought is enough for all pairs."""
    groups = wire_pairs(count)
    assert sorted(number for group in groups for number in group) == list(range(1, count + 1))
    assert all(2 <= len(group) <= 3 for group in groups)
    assert (count + 1) // 2 * WIRE_PER_PAIR * WIRE_SPARE * 1000 >= len(groups) * 6 * INCH


def test_a_castellated_nut_goes_on_to_the_next_slot():
    """Six slots and one cross hole: at most 60 degrees."""
    assert castellated_reach(6, 1) == 60.0
