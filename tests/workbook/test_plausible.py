"""Plausible ranges: always those of the JSON Schema; and what an implausible figure looks like."""

import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck.io.read.plausible import bounded, refuse_implausible
from bomcheck.model.errors import Unreadable
from bomcheck.model.types import Pieces
from bomcheck.tables.fields import Field, fields, part_fields
from tests.helpers.schema import validate
from tests.workbook.reading import only_fault, read_row

MEASURED = ("number", "count", "bores", "shims", "pairs")
RANGED = [field for field in fields().values() if field.notation in MEASURED]
COLUMNS = [field for field in part_fields().values() if field.notation in MEASURED]


def as_json(value: Any) -> Any:
    """A value as the schema has it."""
    if isinstance(value, Pieces):
        return {"thickness": value.thickness, "count": value.count}
    return [as_json(one) for one in value] if isinstance(value, tuple) else value


def refused(field: Field, value: Any) -> bool:
    try:
        refuse_implausible(field, value, "typed", None, "metric")
    except Unreadable:
        return True
    return False


@st.composite
def figures(draw: st.DrawFn, low: float, high: float) -> float:
    """Inside, at, just beyond and far beyond the bounds."""
    width = high - low
    near = st.sampled_from([low, high, low - 1e-6, high + 1e-6, low + 1e-6, high - 1e-6])
    value: float = draw(st.one_of(near, st.floats(low - width, high + width)))
    return value


@st.composite
def values(draw: st.DrawFn, field: Field) -> Any:
    low, high = (field.low or 0.0), (field.high or 0.0)
    if field.notation == "count":
        return draw(st.integers(int(low) - 2, int(high) + 2))
    if field.notation == "pairs":
        pair = st.tuples(*(figures(*bounds) for bounds in field.pair_ranges))
        return tuple(draw(st.lists(pair, min_size=1, max_size=4)))
    if field.notation == "bores":
        return tuple(draw(st.lists(figures(low, high), min_size=1, max_size=10)))
    if field.notation == "shims":
        return tuple(draw(st.lists(st.builds(Pieces, figures(low, high), st.integers(0, 210)), max_size=3)))
    return draw(figures(low, high))


@pytest.mark.parametrize("field", RANGED, ids=lambda field: field.key)
def test_agrees_with_jsonschema(field: Field) -> None:
    """For every measured field: refused here exactly where jsonschema finds the schema broken (JSON Schema 2020-12)."""

    @settings(max_examples=25, deadline=None)
    @given(values(field))
    def agrees(value: Any) -> None:
        if field.unit == "%" and 0 < value < 1:
            return
        assert refused(field, value) == bool(validate({field.section: {field.key: as_json(value)}})), value

    agrees()


@pytest.mark.parametrize("field", COLUMNS, ids=lambda field: field.key)
def test_columns_agree_with_jsonschema(field: Field) -> None:
    """The same for every measured column of the tables."""

    @settings(max_examples=40, deadline=None)
    @given(values(field))
    def agrees(value: Any) -> None:
        assert refused(field, value) == bool(validate({"role": "hose", field.key: as_json(value)}, "part")), value

    agrees()


def test_every_measured_field_has_a_range() -> None:
    """No number can be typed that nothing is compared with."""
    for field in (*RANGED, *COLUMNS):
        assert field.pair_ranges or (field.low is not None and field.high is not None), field.key


@pytest.mark.parametrize(
    ("key", "typed", "unit", "candidates"),
    [
        ("rotor_diameter", 13, None, ["inches: 13 in would be 330.2 mm"]),
        ("rotor_diameter", 33, None, ["centimetres: 33 cm would be 330 mm"]),
        ("rotor_diameter", 165, None, ["a radius in place of the diameter: 330 mm"]),
        ("rotor_diameter", 330, "in", ["millimetres: 330 mm"]),
        ("rotor_diameter", "3.3 cm", None, ["a decimal point one place too far left: 330 mm"]),
        ("rotor_diameter", 8382, None, ["a size converted from inches twice: 330 mm"]),
        ("kit_effective_radius", 300, None, ["a diameter in place of the radius: 150 mm"]),
        ("ear_spacing", 12.5, None, ["centimetres: 12.5 cm would be 125 mm"]),
        ("ear_spacing", 5, None, ["inches: 5 in would be 127 mm", "centimetres: 5 cm would be 50 mm"]),
        ("hat_screw_torque", "162 ft-lb", None, ["lb·in: 162 lb·in would be 18.3 N·m"]),
        ("bracket_screw_torque", "30 in-lb", None, ["N·m: 30 N·m", "lb·ft: 30 lb·ft would be 40.7 N·m"]),
        (
            "vehicle_mass",
            5500,
            None,
            ["pounds: 5500 lb would be 2494.76 kg", "a decimal point one place too far right: 550 kg"],
        ),
        ("front_mass_share", 55, None, ["percent: 55 % would be 0.55"]),
        ("fluid_dry_boiling", 500, None, ["°F: 500 °F would be 260 °C"]),
        (
            "booster_runout_pressure",
            900,
            None,
            ["psi: 900 psi would be 6.21 MPa", "a decimal point one place too far right: 9 MPa"],
        ),
        ("wheel_barrel", "0:8.2; 2:8.1", None, ["inches: 8.2 in would be 208.28 mm"]),
        ("wheel_rim_code", 431.8, None, ["millimetres: 431.8 mm would be 17.000 in"]),
        ("master_bore", 0.9375, None, ["inches: 0.9375 in would be 23.812 mm"]),
    ],
)
def test_slips_are_named_all_and_none_is_converted(
    key: str, typed: float | str, unit: str | None, candidates: list[str]
) -> None:
    """Each reading that would be plausible is named, several side by side; the value is held (common practice, no source).

    The figures follow from 1 in = 25.4 mm, 1 lb = 0.45359237 kg (international yard and pound agreement, 1959),
    1 lbf = 4.4482216 N and 1 psi = 6.894757 kPa (NIST SP 811, B.8), and °C = (°F - 32) / 1.8.
    """
    job = read_row(key, typed, unit)
    fault = only_fault(job)
    assert fault.kind == "looks like another unit"
    assert job.rejected == {key: fault}
    assert key not in job.values
    assert re.split(r", or like ", fault.wrong.split("this looks like ")[1]) == candidates


@pytest.mark.parametrize(
    ("key", "typed"), [("hub_face_runout", 30), ("bracket_screw_torque", "9000 N·m"), ("corners", 3)]
)
def test_no_slip_is_made_up(key: str, typed: float | str) -> None:
    """A figure that no slip explains is out of range, no more."""
    fault = only_fault(read_row(key, typed))
    assert fault.kind == "out of range"
    assert "looks like" not in fault.wrong


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(RANGED), st.data())
def test_a_plausible_value_is_never_refused(field: Field, data: st.DataObject) -> None:
    """Inside the range nothing looks like anything else: also 25.4 mm, 10 mm or 2 mm are what they are."""
    if field.notation != "number" or field.unit == "%":
        return
    value = data.draw(st.floats(field.low, field.high))
    assert all(one.inside() for one in bounded(field, value))
    assert not refused(field, value)
