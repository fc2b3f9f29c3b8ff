"""The ± beside a value: blank, typed, exact, in another unit, as a share of the value."""

import pytest

from bomcheck.tables.fields import fields
from tests.faulty.jobs import cell_of
from tests.workbook.reading import only_fault, read_row

PILOT = "hub_pilot_diameter"


def test_blank_is_the_usual_one() -> None:
    """The usual ± of the field's instrument, and the value says so."""
    value = read_row(PILOT, 66.5).values[PILOT]
    assert (value.plus_minus, value.plus_minus_from) == (fields()[PILOT].plus_minus, "usual")


def test_nought_is_exact() -> None:
    """A typed 0 is no blank."""
    value = read_row(PILOT, 66.5, half=0).values[PILOT]
    assert (value.plus_minus, value.plus_minus_from) == (0.0, "typed")


@pytest.mark.parametrize(
    ("value", "unit", "half", "mm"),
    [
        (66.5, None, 0.05, 0.05),
        (66.5, None, "±0.05", 0.05),
        (66.5, None, "+/- 0,05", 0.05),
        (66.5, None, "2 thou", 0.0508),
        (2.62, "in", 0.002, 0.0508),
        (2.62, "in", "0.05 mm", 0.05),
        (66.5, None, "1 %", 0.665),
        ("2.62 in", None, "0.002 in", 0.0508),
        ("2.62 in", None, 0, 0.0),
    ],
)
def test_typed_in_any_unit(value: float | str, unit: str | None, half: float | str, mm: float) -> None:
    """A bare ± takes the unit of its row; 1 in = 25.4 mm (international yard and pound agreement, 1959)."""
    job = read_row(PILOT, value, unit, half)
    assert not job.faults
    assert job.values[PILOT].plus_minus == pytest.approx(mm)


def test_a_temperature_or_share_of_a_ratio_is_not_guessed() -> None:
    """3 % beside a ratio may be 3 % of it or 0.03: it is asked."""
    job = read_row("pedal_ratio", 5, half="3 %")
    assert (only_fault(job).kind, only_fault(job).place.cell) == ("unreadable text", cell_of("pedal_ratio", "±"))
    assert list(job.rejected) == ["pedal_ratio"]


def test_a_table_of_points_carries_one() -> None:
    """The ± of a profile belongs to all of its points."""
    value = read_row("wheel_barrel", "0:208; 60:206", half=0.5).values["wheel_barrel"]
    assert value.plus_minus == 0.5
    assert value.value == ((0.0, 208.0), (60.0, 206.0))


@pytest.mark.parametrize(
    ("key", "typed"), [("hub_stud_thread", "M12x1.5"), ("caliper_bores", "42+38"), ("ear_side", "inboard")]
)
def test_beside_what_takes_none_it_is_a_remark(key: str, typed: str) -> None:
    """A thread, a list of bores, a choice: the value is used, the ± is named as not used."""
    job = read_row(key, typed, half=0.1)
    fault = only_fault(job)
    assert (fault.kind, fault.place.cell, fault.stops) == ("not allowed here", cell_of(key, "±"), False)
    assert job.values[key].plus_minus == 0.0


def test_a_nominal_size_takes_a_typed_one() -> None:
    """A field without a usual ± is exact when blank, and honours a typed one."""
    assert read_row("rotor_min_thickness", 26).values["rotor_min_thickness"].plus_minus == 0.0
    assert read_row("rotor_min_thickness", 26, half=0.1).values["rotor_min_thickness"].plus_minus == 0.1


@pytest.mark.parametrize("half", ["about right", -0.1, "0.1 kg", 500])
def test_one_that_cannot_be_used_holds_the_value(half: float | str) -> None:
    """Without its ± a value would be used too surely; the fault names the cell of the ±."""
    job = read_row(PILOT, 66.5, half=half)
    assert only_fault(job).place.cell == cell_of(PILOT, "±")
    assert job.rejected[PILOT] == only_fault(job)
    assert PILOT not in job.values
