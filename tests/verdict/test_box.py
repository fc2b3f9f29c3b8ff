"""Exact ranges over the box of true sizes."""

from itertools import product
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.affine import Affine
from bomcheck.model.box import FINE, Box
from tests.verdict.test_meet import KEYS, most_room, random_rows

BOX = Box(dict.fromkeys(KEYS, 0.0), dict.fromkeys(KEYS, 1.0))


def corners() -> list[dict[str, float]]:
    return [dict(zip(KEYS, signs, strict=True)) for signs in product((-1.0, 1.0), repeat=len(KEYS))]


@given(st.floats(-20, 20), st.dictionaries(st.sampled_from(KEYS), st.floats(-5, 5)))
def test_one_piece_is_exact_at_both_ends(const: float, slopes: dict[str, float]) -> None:
    """Least, stated and greatest value are those of the corners and the middle."""
    piece = Affine(const, slopes)
    values = [piece.at(corner) for corner in corners()]
    found = BOX.range([piece])
    assert found.low == pytest.approx(min(values), abs=1e-9)
    assert found.middle == const
    assert found.high == pytest.approx(max(values), abs=1e-9)


@pytest.mark.parametrize("count", [2, 3, 4])
def test_the_top_of_a_smallest_is_found_inside_the_box(count: int) -> None:
    """Against the reference solver: never below the true top, and no more than a hair above it."""
    dice = Random(count)
    for _ in range(50):
        rows = random_rows(dice, count, False)
        found = BOX.range([Affine(row.constant, row.reach) for row in rows])
        top = most_room(rows)
        assert top - 1e-9 <= found.high <= top + 2 * FINE
        assert found.low == pytest.approx(min(row.least for row in rows))


def test_the_greatest_of_two_is_the_smallest_turned_round() -> None:
    """|x| over x in -1..3 reaches from 0 to 3, not from 1."""
    x = Affine(0.0, {"x": 1.0})
    box = Box({"x": 1.0}, {"x": 2.0})
    found = box.range_of_most([x, -x])
    assert (found.low, found.middle, found.high) == pytest.approx((0.0, 1.0, 3.0), abs=2 * FINE)


def test_inputs_without_a_plus_minus_do_not_spread() -> None:
    """A size that is exact adds to the value and not to its range."""
    piece = Affine(1.0, {"x": 2.0, "y": 5.0})
    found = Box({"x": 1.0, "y": 3.0}, {"x": 0.5}).range([piece])
    assert (found.low, found.middle, found.high) == (17.0, 18.0, 19.0)


def test_a_smallest_never_stands_above_its_lowest_piece() -> None:
    """(slot - off, slot + off): the same size pulls both ways, so the top is at off = 0."""
    off, slot = Affine(0.0, {"off": 1.0}), Affine(3.0)
    found = Box({"off": 0.5}, {"off": 2.0}).range([slot - off, slot + off])
    assert (found.low, found.middle) == (0.5, 2.5)
    assert found.high == pytest.approx(3.0, abs=2 * FINE)
