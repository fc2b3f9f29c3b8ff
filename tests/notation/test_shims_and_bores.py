"""Shims in the box and bores of a caliper as people type them. What notations mean: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.errors import Unreadable
from bomcheck.notation import Pieces, read_bores, read_shims
from bomcheck.notation.lists import read_stack


@pytest.mark.parametrize(
    ("typed", "cell_unit", "pieces"),
    [
        ("0.8x8, 0.4x8", None, [(0.8, 8), (0.4, 8)]),
        ("0.8 x 8; 0.4 x 8", "mm", [(0.8, 8), (0.4, 8)]),
        ("0,8x8; 0,4x8", None, [(0.8, 8), (0.4, 8)]),
        ("8x0.8", None, [(0.8, 8)]),
        ("8 off 0.8 mm", None, [(0.8, 8)]),
        ("1x8", None, [(1.0, 8)]),
        ("30 thou x 8", None, [(0.762, 8)]),
        (".030 x 4 in", None, [(0.762, 4)]),
        ('.030" x 4; .060" x 4', None, [(0.762, 4), (1.524, 4)]),
        ("1/32 x 4", "in", [(0.79375, 4)]),
        ("0.8x8; 0.8x4", None, [(0.8, 12)]),
        ("none", None, []),
    ],
)
def test_shims_are_thickness_and_pieces(typed, cell_unit, pieces):
    """In mm; pieces of one thickness are added up."""
    assert read_shims(typed, cell_unit) == tuple(Pieces(*piece) for piece in pieces)


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        (".030/.060", "part of it missing"),
        ("0.8", "part of it missing"),
        ("0.8x", "part of it missing"),
        ("0.8x8,0.4x8", "part of it missing"),
        ("0.8x0", "part of it missing"),
        ("8x1", "unreadable text"),
        (".030x8", "looks like another unit"),
        ("0.8 kg x 8", "unknown unit"),
    ],
)
def test_a_shim_without_its_pieces_is_asked(typed, kind):
    """How many are in the box decides whether the kit's shims will do."""
    with pytest.raises(Unreadable) as caught:
        read_shims(typed)
    assert caught.value.kind == kind


@pytest.mark.parametrize(
    ("typed", "cell_unit", "bores"),
    [
        ("42+38+34", None, (42, 38, 34)),
        ("34 + 38 + 42 mm", "in", (42, 38, 34)),
        ("38,1+41,3", None, (41.3, 38.1)),
        ("4x44.45", None, (44.45,) * 4),
        ("4x1.75", "in", (44.45,) * 4),
        ('4x1-3/4"', None, (44.45,) * 4),
        ("2x1.88/1.75 in", None, (47.752, 47.752, 44.45, 44.45)),
        ("1.38, 1.62, 1.88 in", None, (47.752, 41.148, 35.052)),
        ('1-3/4" + 1-5/8"', None, (44.45, 41.275)),
        (44.45, None, (44.45,)),
    ],
)
def test_bores_are_in_mm_largest_first(typed, cell_unit, bores):
    """Count x bore is that many pistons."""
    assert read_bores(typed, cell_unit) == pytest.approx(bores)


@pytest.mark.parametrize("typed", ["4x1.75", "1.75+1.62"])
def test_inch_bores_in_a_mm_cell_are_held(typed):
    """A piston of 1.75 mm does not exist; the unit is asked, not assumed."""
    with pytest.raises(Unreadable) as caught:
        read_bores(typed)
    assert caught.value.kind == "looks like another unit"


def test_a_rounded_inch_bore_is_within_one_per_cent_of_area():
    """1.38, 1.62 and 1.88 are 1-3/8, 1-5/8 and 1-7/8 rounded; the areas differ by less than 1 % (geometry)."""
    rounded = read_bores("1.38+1.62+1.88", "in")
    exact = read_bores("1-3/8+1-5/8+1-7/8", "in")
    assert rounded
    assert exact
    assert all(abs((a / b) ** 2 - 1) < 0.01 for a, b in zip(rounded, exact, strict=True))


@pytest.mark.parametrize("typed", ["40,40", "42,38", "38,42 mm", "40+40/40+40", "42+38 / 42+38 mm"])
def test_bores_that_may_be_one_or_two_or_of_both_sides_are_asked(typed):
    """40.40 is no inch size in sixteenths; a fixed caliper's two sides are not eight pistons of one."""
    with pytest.raises(Unreadable) as caught:
        read_bores(typed)
    assert caught.value.kind == "both sides or one"


@pytest.mark.parametrize(("typed", "bore"), [("44,45", 44.45), ("41,28", 41.28), ("38,10", 38.1), ("42,5", 42.5)])
def test_a_decimal_comma_of_one_bore_is_read(typed, bore):
    """1-3/4, 1-5/8 and 1-1/2 in; a second figure below 20 is no bore."""
    assert read_bores(typed) == pytest.approx((bore,))


@given(st.lists(st.integers(200, 500), min_size=1, max_size=6))
def test_bores_joined_by_plus_are_read_back(tenths):
    """Whatever the sizes are."""
    bores = sorted((value / 10 for value in tenths), reverse=True)
    assert read_bores("+".join(str(bore) for bore in bores)) == tuple(bores)


@pytest.mark.parametrize(
    ("typed", "unit", "thick"),
    [("1.0 + 0.5 mm", "in", 1.5), ("0.020+0.010 in", "mm", 0.762), ("2 x 0.5 + 0.3", "mm", 1.3)],
)  # fmt: skip
def test_a_unit_behind_the_last_piece(typed: str, unit: str, thick: float) -> None:
    """It is that of every piece before it that has none, but never makes a shim too thin to be one. By hand: 0.030 in are 0.762 mm."""
    assert read_stack(typed, unit) == pytest.approx(thick)
    with pytest.raises(Unreadable, match="no thickness of a shim"):
        read_stack("0.030 + 0.4 mm", unit)
