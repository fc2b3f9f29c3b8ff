"""Sizes, torques, pressures and the rest as people type them. What notations mean: common practice, no source."""

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.errors import Unreadable
from bomcheck.notation import read_quantity

LENGTHS = [
    ('1-3/4"', "mm", 44.45),
    ("1-3/4", "in", 44.45),
    ("1 3/4", "in", 44.45),
    ("1.75", "in", 44.45),
    ('1.75"', "mm", 44.45),
    ("1\u202f3/4 in", "mm", 44.45),
    ("1\u00a01/2″", "mm", 38.1),
    ("1¾", "in", 44.45),
    ("1¾”", None, 44.45),
    ("¾ inch", None, 19.05),
    ("1⁄2 in.", None, 12.7),
    ("1.38 in", None, 35.052),
    ("12.19", "in", 309.626),
    (".81", "in", 20.574),
    (".81 in", "mm", 20.574),
    (".030 shim", "in", 0.762),
    ("30 thou", "mm", 0.762),
    ("1/32", "in", 0.79375),
    (".032 wire", "in", 0.8128),
    ("15/16", "in", 23.8125),
    (".9375", "in", 23.8125),
    ("23.8", "mm", 23.8),
    ("23.8", None, 23.8),
    ("3,5", "mm", 3.5),
    ("1.524,0", "mm", 1524.0),
    ("1,524.0", "mm", 1524.0),
    ("1 524 mm", "mm", 1524.0),
    ("12mm", "in", 12.0),
    ("12 mm", "in", 12.0),
    ("3.3 cm", None, 33.0),
    ("12.0 mm", None, 12.0),
    ("Ø12", None, 12.0),
    ("−12.5", None, -12.5),
    ("+45", None, 45.0),
    ("8' 6\"", None, 2590.8),
    ("12.", None, 12.0),
    (12, "in", 304.8),
    (12.5, None, 12.5),
    ("0", None, 0.0),
]


@pytest.mark.parametrize(("typed", "cell_unit", "mm"), LENGTHS)
def test_lengths_are_read_with_the_unit_typed_or_the_one_beside_the_cell(typed, cell_unit, mm):
    """A unit in the cell wins; a bare number takes the unit beside the cell, else mm."""
    assert read_quantity(typed, "mm", cell_unit) == pytest.approx(mm, abs=1e-9)


# 1 in = 25.4 mm, 1 lbf = 4.4482216152605 N, g = 9.80665 m/s²: exact, NIST SP 811 appendix B.
OTHERS = [
    ("120 in-lb", "N·m", None, 120 * 4.4482216152605 * 0.0254),
    ("120 inlb", "N·m", None, 13.55818),
    ("120 lb-in", "N·m", None, 13.55818),
    ("10 ft-lb", "N·m", None, 10 * 4.4482216152605 * 0.3048),
    ("10 lbf.ft", "N·m", None, 13.55818),
    ("10 lb·ft", "N·m", None, 13.55818),
    ("10 ft/lbs", "N·m", None, 13.55818),
    ("10 foot pounds", "N·m", None, 13.55818),
    ("14 Nm", "N·m", None, 14.0),
    ("14 N.m", "N·m", "lb·ft", 14.0),
    ("14", "N·m", "N·m", 14.0),
    (14, "N·m", "lb·in", 14 * 4.4482216152605 * 0.0254),
    ("1.4 kgm", "N·m", None, 1.4 * 9.80665),
    ("80 bar", "MPa", None, 8.0),
    ("1200 psi", "MPa", None, 1200 * 4.4482216152605 / 645.16),
    ("8", "MPa", None, 8.0),
    ("100 km/h", "m/s", None, 100 / 3.6),
    ("100", "m/s", "km/h", 100 / 3.6),
    ("60 mph", "m/s", "km/h", 60 * 1609.344 / 3600),
    ("230 °C", "°C", None, 230.0),
    ("32 °F", "°C", None, 0.0),
    ("212 F", "°C", None, 100.0),
    ("21 lb", "kg", None, 21 * 0.45359237),
    ("9,5 kg", "kg", None, 9.5),
    ("0.9 g", "m/s²", None, 0.9 * 9.80665),
    ("500 g", "kg", None, 0.5),
    ("60 %", "-", None, 0.6),
    ("60", "-", "%", 0.6),
    ("0.38", "-", None, 0.38),
    ("20", "%", None, 20.0),
    ("0.25 cc", "mm³", None, 250.0),
    ("112 lbf", "N", None, 112 * 4.4482216152605),
    ("2 min", "s", None, 120.0),
]


@pytest.mark.parametrize(("typed", "unit", "cell_unit", "value"), OTHERS)
def test_other_quantities_are_read_into_the_internal_unit(typed, unit, cell_unit, value):
    """Torque, pressure, speed, temperature, mass, deceleration, share, volume, force and time."""
    assert read_quantity(typed, unit, cell_unit) == pytest.approx(value, rel=1e-6, abs=1e-9)


FAULTS = [
    ("14", "N·m", None, "unit missing"),
    (14, "N·m", None, "unit missing"),
    (14, "N·m", "", "unit missing"),
    ("1-3/4", "mm", "mm", "unit missing"),
    ("1/32", "mm", None, "unit missing"),
    ("44 N·m", "mm", None, "unknown unit"),
    ("44 mm", "N·m", None, "unknown unit"),
    ("44 furlongs", "mm", None, "unknown unit"),
    ("44 mil", "mm", None, "unknown unit"),
    ("44", "mm", "kg", "unknown unit"),
    ("60 %", "mm", None, "unknown unit"),
    ("330x28", "mm", None, "unreadable text"),
    ("330/28", "mm", None, "unreadable text"),
    ("12.19 x .81 in", "mm", None, "unreadable text"),
    ("44-45", "mm", None, "unreadable text"),
    ("44.45 ± 0.1", "mm", None, "unreadable text"),
    ("1.75 in (44.45 mm)", "mm", None, "unreadable text"),
    ("about so", "mm", None, "unreadable text"),
    ("~ 12", "mm", None, "unreadable text"),
    ("12 mm approx.", "mm", None, "unreadable text"),
    ("≈12 mm", "mm", None, "unreadable text"),
    ("approx 12", "mm", None, "unreadable text"),
    ("ca. 12", "mm", None, "unreadable text"),
    (True, "mm", None, "unreadable text"),
    (float("nan"), "mm", None, "unreadable text"),
    (float("inf"), "mm", None, "unreadable text"),
    ("1e999", "mm", None, "unreadable text"),
    ("1,23,456", "mm", None, "unreadable text"),
    ("7" * 5000, "mm", None, "unreadable text"),
    ("Jan-10", "mm", None, "date in a size"),
    ("2026-10-01", "mm", None, "date in a size"),
    ("2026-10-01 00:00:00", "mm", None, "date in a size"),
    (datetime(2026, 10, 1), "mm", None, "date in a size"),
    (date(2026, 10, 1), "N·m", "N·m", "date in a size"),
]


@pytest.mark.parametrize(("typed", "unit", "cell_unit", "kind"), FAULTS)
def test_what_cannot_be_taken_is_refused_with_its_kind_and_a_remedy(typed, unit, cell_unit, kind):
    """Nothing is guessed: the fault says what is wrong and what to type instead."""
    with pytest.raises(Unreadable) as caught:
        read_quantity(typed, unit, cell_unit)
    assert caught.value.kind == kind
    assert caught.value.wrong
    assert caught.value.instead


def test_a_pair_of_sizes_says_where_the_second_one_goes():
    """A rotor typed as 330x28 in one cell is not read as 330."""
    with pytest.raises(Unreadable, match=r"two sizes.*own cell"):
        read_quantity("330x28", "mm")


def test_a_torque_typed_as_a_length_is_named():
    """The message says which unit stands there and which kind of size belongs there."""
    with pytest.raises(Unreadable, match="N·m is a unit of torque, but a length belongs here"):
        read_quantity("44 Nm", "mm")


@pytest.mark.parametrize(
    "typed", [None, "", "  ", "?", "??", "TBC", "tbc.", "N/A", "n/a", "tba", "unknown", "-", "–", "—"]
)
def test_a_cell_that_says_nothing_is_blank(typed):
    """Blank is not zero."""
    assert read_quantity(typed, "mm") is None
    assert read_quantity(typed, "N·m") is None


def test_a_difference_of_temperature_takes_no_offset():
    """A ± of 9 °F is 5 °C."""
    assert read_quantity("9 °F", "°C", difference=True) == pytest.approx(5.0)


def test_a_unit_outside_the_table_is_taken_only_as_it_stands():
    """A currency is no unit of measure, but its own name may stand behind the number."""
    assert read_quantity("5 EUR", "EUR") == 5.0
    with pytest.raises(Unreadable):
        read_quantity("5 mm", "EUR")


@given(st.integers(1, 40_000))
def test_the_same_length_typed_in_mm_and_in_inches_reads_the_same(thousandths):
    """To the last digit, so that a limit is met or missed alike."""
    inches = thousandths / 1000
    mm = round(inches * 25.4, 7)
    assert read_quantity(f"{inches!r} in", "mm") == read_quantity(f"{mm:.7f} mm", "mm")
    assert read_quantity(inches, "mm", "in") == read_quantity(mm, "mm")


@given(st.integers(0, 20), st.sampled_from([2, 4, 8, 16, 32, 64]), st.data())
def test_every_inch_fraction_reads_the_same_however_it_is_written(whole, below, data):
    """1-3/4", 1 3/4 in and 1.75 in are one size."""
    above = data.draw(st.integers(1, below - 1))
    expected = (whole + above / below) * 25.4
    written = [f"{whole}-{above}/{below}", f"{whole} {above}/{below}", f"{whole}\u2009{above}⁄{below}"]
    for text in written if whole else [f"{above}/{below}"]:
        assert read_quantity(text + '"', "mm") == pytest.approx(expected, abs=1e-9)
        assert read_quantity(text, "mm", "in") == pytest.approx(expected, abs=1e-9)
