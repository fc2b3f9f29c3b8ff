"""Lanes: code for one number gives, run on many, each lane's own answer."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.engine.many.lanes import Lanes, Split, by_lanes


def _price(size, thick):
    """A scalar function with the questions that remedies ask: branches, rounding, whole numbers, greatest and least."""
    if size < 0:
        return -size
    if thick and size > 40:
        return float(-int(-(size + 0.3) // 1)) + max(1.5, size - 60)
    return round(size * 1.1, 1) if size % 2 < 1 else abs(min(size, 7.0)) / 2


@given(st.lists(st.tuples(st.floats(-80, 120).map(lambda x: round(x, 2)), st.booleans()), min_size=1, max_size=40))
def test_each_lane_gets_its_own_answer(cases):
    """Run in step, every lane ends with what the scalar function gives for it."""
    sizes, thick = np.array([size for size, _ in cases]), np.array([float(flag) for _, flag in cases])
    found = np.full(len(cases), np.nan)
    for lanes, answer in by_lanes(np.arange(len(cases)), lambda at: _price(Lanes(sizes[at]), Lanes(thick[at]))):
        found[lanes] = answer.values if isinstance(answer, Lanes) else answer
    assert found.tolist() == [_price(size, flag) for size, flag in cases]


def test_lanes_of_two_minds_part():
    """A question that the lanes answer differently names both parties."""
    with pytest.raises(Split) as parted:
        bool(Lanes(np.array([1.0, 5.0, 2.0])) > 1.5)
    assert [part.tolist() for part in parted.value.parts] == [[1, 2], [0]]


def test_a_plain_number_is_asked_once():
    """Lanes that agree are one number."""
    assert float(Lanes(np.full(3, 2.5))) == 2.5
    assert int(Lanes(np.full(3, -2.5))) == int(-2.5)
