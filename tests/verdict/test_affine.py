"""Affine numbers behave as the sizes they stand for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.affine import Affine, Least, Most, NotAffine, keys_of, least, most, pieces

KEYS = ("a", "b", "c")
sizes = st.floats(-50, 50)
places = st.fixed_dictionaries(dict.fromkeys(KEYS, sizes))
affine = st.builds(Affine, sizes, st.dictionaries(st.sampled_from(KEYS), sizes))


@given(affine, affine, st.floats(-5, 5), st.floats(0.1, 5), places)
def test_arithmetic_is_that_of_the_sizes(
    one: Affine, two: Affine, factor: float, divisor: float, at: dict[str, float]
) -> None:
    """Adding, taking away, scaling and dividing first or putting in the sizes first comes to the same."""
    a, b = one.at(at), two.at(at)
    assert (one + two).at(at) == pytest.approx(a + b)
    assert (one - two).at(at) == pytest.approx(a - b, abs=1e-9)
    assert (factor - one * factor / divisor).at(at) == pytest.approx(factor - a * factor / divisor, abs=1e-7)
    assert (-one + 3).at(at) == pytest.approx(3 - a, abs=1e-9)


@given(affine, st.fixed_dictionaries(dict.fromkeys(KEYS, st.floats(0, 3))), places)
def test_spread_is_reached_at_a_corner_and_never_passed(
    one: Affine, half: dict[str, float], at: dict[str, float]
) -> None:
    """Over the box the value reaches just as far as `spread` says, whichever way."""
    corner = {key: (1 if one.slopes.get(key, 0.0) > 0 else -1) * half[key] for key in KEYS}
    assert one.at(corner) - one.at(dict.fromkeys(KEYS, 0.0)) == pytest.approx(one.spread(half), abs=1e-9)
    inside = {key: max(-half[key], min(half[key], at[key])) for key in KEYS}
    assert abs(one.at(inside) - one.const) <= one.spread(half) + 1e-9


@given(affine, places)
def test_split_takes_one_size_out(one: Affine, at: dict[str, float]) -> None:
    """Rest plus slope times the size is the whole."""
    rest, slope = one.split("b")
    assert "b" not in rest.slopes
    assert rest.at(at) + slope * at["b"] == pytest.approx(one.at(at), abs=1e-9)


def test_two_measured_sizes_are_not_multiplied() -> None:
    """A product or quotient of measured sizes has no exact range over a box and is refused."""
    a, b = Affine(0.0, {"a": 1.0}), Affine(0.0, {"b": 1.0})
    with pytest.raises(NotAffine, match="multiplied"):
        a * b
    with pytest.raises(NotAffine, match="below the line"):
        a / b
    assert (a * Affine(3.0)).at({"a": 2.0}) == 6.0
    assert (Affine(3.0) * a / Affine(2.0)).at({"a": 2.0}) == 3.0


@given(st.lists(affine, min_size=2, max_size=4), places)
def test_least_and_most_agree_with_numbers(many: list[Affine], at: dict[str, float]) -> None:
    """The pieces of a least or most, put in numbers, give the least and the most."""
    numbers = [one.at(at) for one in many]
    small, great = least(*many), most(*many)
    assert isinstance(small, Least)
    assert isinstance(great, Most)
    assert min(piece.at(at) for piece in pieces(small)) == pytest.approx(least(*numbers))
    assert max(piece.at(at) for piece in pieces(great)) == pytest.approx(most(*numbers))
    assert min(piece.at(at) for piece in pieces((small - 1.0) / 2.0)) == pytest.approx((min(numbers) - 1) / 2)


def test_least_takes_numpy_arrays() -> None:
    """The same function screens whole columns."""
    numpy = pytest.importorskip("numpy")
    found = least(numpy.array([1.0, 5.0]), numpy.array([2.0, 3.0]), 4.0)
    assert found.tolist() == [1.0, 3.0]
    assert most(numpy.array([1.0, 5.0]), 4.0).tolist() == [4.0, 5.0]


def test_pieces_of_a_plain_number() -> None:
    """A result without any ± is one piece without slopes; keys are named once."""
    assert [piece.const for piece in pieces(3)] == [3.0]
    assert keys_of([Affine(0, {"a": 1, "b": 0}), Affine(0, {"a": 2, "c": 1})]) == ("a", "c")
