"""Lists as people type them: sizes, pairs and profiles. What notations mean: common practice, no source."""

import pytest

from bomcheck.model.errors import Unreadable
from bomcheck.notation import read_numbers, read_pair_sizes, read_pairs


@pytest.mark.parametrize(
    ("typed", "cell_unit", "sizes"),
    [
        ("12.19 x .81 in", None, (309.626, 20.574)),
        ('12.19"x.810"', None, (309.626, 20.574)),
        ("12.19x.81", "in", (309.626, 20.574)),
        ("330x28", None, (330.0, 28.0)),
        ("330/28", "mm", (330.0, 28.0)),
        ("330 × 28 mm", "in", (330.0, 28.0)),
    ],
)
def test_two_sizes_share_the_unit_that_stands_once(typed, cell_unit, sizes):
    """A rotor's diameter and thickness."""
    assert read_pair_sizes(typed, cell_unit) == pytest.approx(sizes)


@pytest.mark.parametrize(
    ("typed", "cell_unit", "points"),
    [
        ("20:212; 60:210", None, ((20, 212), (60, 210))),
        ("60:210; 20:212", None, ((20, 212), (60, 210))),
        ("20:212, 60:210", None, ((20, 212), (60, 210))),
        ("20,5:212; 60:210,25", None, ((20.5, 212), (60, 210.25))),
        ("-20:55\n0:80", None, ((-20, 55), (0, 80))),
        ("1:8; 2:8.25", "in", ((25.4, 203.2), (50.8, 209.55))),
    ],
)
def test_profiles_are_sorted_and_in_mm(typed, cell_unit, points):
    """Pairs are sorted by the first figure."""
    read = read_pairs(typed, cell_unit)
    assert read is not None
    assert [value for pair in read for value in pair] == pytest.approx([value for pair in points for value in pair])


def test_two_points_at_one_place_disagree():
    """Neither of the two is used."""
    with pytest.raises(Unreadable) as caught:
        read_pairs("20:212; 20:210")
    assert caught.value.kind == "entries disagree"


def test_numbers_take_the_unit_at_the_end_and_decimal_commas():
    """A comma between digits is a decimal comma, a comma and a space divides."""
    assert read_numbers("1,5; 2", "mm") == (1.5, 2.0)
    assert read_numbers("1,5, 2", "mm") == (1.5, 2.0)
    assert read_numbers("1, 2 in", "mm") == (25.4, 50.8)
    assert read_numbers(".030/.060 shim", "mm", "in") == pytest.approx((0.762, 1.524))
    with pytest.raises(Unreadable):
        read_numbers("0.4; ?", "mm")


@pytest.mark.parametrize("reader", [read_pairs, read_pair_sizes])
@pytest.mark.parametrize("typed", ["20;60", "x", "20:212; ?", True])
def test_half_a_list_is_refused(reader, typed):
    """A list with a hole in it is not used in part."""
    with pytest.raises(Unreadable):
        reader(typed)
