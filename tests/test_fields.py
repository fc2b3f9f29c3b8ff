"""The fields of a job against their own promises, JSON Schema 2020-12 and a public set of car data."""

import dataclasses
import re
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from bomcheck.model.job import Part
from bomcheck.notation import units
from bomcheck.tables import fields as f
from tests.helpers.schema import validate

NOTATIONS = {
    *("text", "number", "count", "choice", "choices", "thread", "bolt circle", "bolt circles", "line end", "shims"),
    *("bores", "pairs", "date"),
}
EVERY = [*f.fields().values(), *f.part_fields().values()]
JOB = {
    "job": {"axle": "front", "corners": 2, "needed_by": "2026-03-01"},
    "corner": {"hub_bolt_circle": "5x114.3", "hub_pilot_diameter": 66.1, "wheel_barrel": [[0, 190.0], [60, 188.5]]},
    "kit": {"caliper_bores": [42, 38], "shim_sizes_axial": [{"thickness": 0.8, "count": 8}], "pad_duty": ["road"]},
}


@pytest.mark.parametrize("name", ["job", "part"])
def test_schema_is_json_schema(name: str) -> None:
    """The schemas are valid JSON Schema. Source: the 2020-12 metaschema, as the jsonschema package ships it."""
    Draft202012Validator.check_schema(f.schema(name))


def test_keys_and_labels_are_unambiguous() -> None:
    """No key and no label occurs twice in a job, and labels are short enough for their column."""
    labels = [f.plain(field.label) for field in f.fields().values()]
    assert len(set(labels)) == len(labels)
    assert all(re.fullmatch(r"[a-z]+(_[a-z]+)*", key) for key in f.fields())
    assert max(len(field.label) for field in EVERY) <= 32
    assert sum(len(f.section_fields(section)) for section in f.SECTIONS) == len(f.fields())


@pytest.mark.parametrize("field", EVERY, ids=lambda field: f"{field.section}.{field.key}")
def test_field_is_complete(field: f.Field) -> None:
    """Each field has a help text and a notation; its units are known, and both templates show the same quantity."""
    assert field.help.endswith(".")
    assert field.notation in NOTATIONS
    assert bool(field.choices) == (field.notation in ("choice", "choices"))
    shown = [units.named(name) for name in {field.unit, field.metric_unit, field.inch_unit} - {""}]
    assert all(shown)
    assert len({unit.quantity for unit in shown if unit}) <= 1
    if field.section != "part":
        assert "?" in field.question
        assert field.instrument
        assert field.group


@pytest.mark.parametrize("field", [x for x in EVERY if x.notation in ("number", "count")], ids=lambda x: x.key)
def test_number_has_a_range_and_a_modest_plus_minus(field: f.Field) -> None:
    """Each number has a plausible range, and its usual ± is small beside it."""
    assert field.low is not None
    assert field.high is not None
    assert field.low < field.high
    assert field.plus_minus <= 0.2 * (field.high - field.low)
    assert not (field.notation == "count" and field.plus_minus)


@pytest.mark.parametrize(
    ("key", "low", "high", "unit"), [("wheelbase", 90, 119, "in"), ("vehicle_mass", 1695, 4105, "lb")]
)
def test_real_cars_are_plausible(key: str, low: float, high: float, unit: str) -> None:
    """The lightest to heaviest, shortest to longest of 93 cars are plausible. Source: data set Cars93 (R package MASS)."""
    field, typed, inside = f.fields()[key], units.named(unit), units.named(f.fields()[key].unit)
    assert typed
    assert inside
    assert field.low is not None
    assert field.high is not None
    assert field.low < units.convert(low, typed, inside) < units.convert(high, typed, inside) < field.high


@given(
    st.sampled_from(list(f.fields().values())),
    st.sampled_from([str.upper, str.title, str.lower]),
    st.sampled_from(" .-:"),
)
def test_label_is_found_however_it_is_written(field: f.Field, change: object, mark: str) -> None:
    """Capitals, spaces and punctuation do not count; the key does as well as the label."""
    assert callable(change)
    assert f.find_label(change(field.label).replace(" ", mark) + mark, field.section) == field
    assert f.find_label(field.key, field.section) == field


@pytest.mark.parametrize(
    ("typed", "section", "meant"),
    [
        ("Hub pilot diametre", "corner", "hub_pilot_diameter"),
        ("Rotor thicknes", "kit", "rotor_thickness"),
        ("Wheel base", "system", "wheelbase"),
    ],
)
def test_nearest_label(typed: str, section: str, meant: str) -> None:
    """A misspelt label finds the field that was meant, and nonsense finds none."""
    near = f.nearest_label(typed, section)
    assert near is not None
    assert near.key == meant
    assert f.nearest_label("zzqx 99", section) is None


def test_good_job_is_valid() -> None:
    """A job of every kind of value breaks nothing."""
    assert validate(JOB) == []
    assert validate({"role": "hose", "part_number": "0012", "length": 400.0, "road_marked": "yes"}, "part") == []


@pytest.mark.parametrize(
    ("section", "key", "value", "path", "rule"),
    [
        ("corner", "hub_fixing", "glue", ("corner", "hub_fixing"), "enum"),
        ("corner", "ear_spacing", 5.0, ("corner", "ear_spacing"), "minimum"),
        ("corner", "hub_pilot_diametre", 66.0, ("corner",), "additionalProperties"),
        ("corner", "wheel_barrel", [[0, 190], [60, 9]], ("corner", "wheel_barrel", 1, 1), "minimum"),
        ("kit", "rotor_diameter", "330", ("kit", "rotor_diameter"), "type"),
        ("kit", "caliper_bores", [42, 380], ("kit", "caliper_bores", 1), "maximum"),
        ("kit", "shim_sizes_axial", [{"thickness": 0.8}], ("kit", "shim_sizes_axial", 0), "required"),
        ("job", "corners", 3, ("job", "corners"), "maximum"),
    ],
)
def test_what_is_broken_is_named(section: str, key: str, value: object, path: tuple[str | int, ...], rule: str) -> None:
    """One wrong value gives one line: where it stands and which rule it breaks."""
    assert [broken[:2] for broken in validate({section: {key: value}})] == [(path, rule)]


def test_columns_are_those_of_a_part() -> None:
    """Every column of the tables is an attribute of a Part, and the other way round."""
    attributes = {"class" if x.name == "strength_class" else x.name for x in dataclasses.fields(Part)} - {
        "place",
        "axle",
    }  # from where it stands
    assert attributes == set(f.part_fields())


def test_loading_is_light() -> None:
    """Reading the fields loads no library beyond the standard one."""
    code = "import sys, bomcheck.tables.fields as f; f.fields(); print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert not {"jsonschema", "openpyxl", "pandas", "numpy", "pint", "xlsxwriter"} & set(loaded)


def test_torque_unit_is_never_assumed() -> None:
    """No template shows a unit beside a torque: a figure in ft-lb and one in in-lb look alike, so it must be typed."""
    torques = [field for field in f.fields().values() if field.unit == "N·m"]
    assert torques
    assert not any(field.shown_unit(system) for field in torques for system in ("metric", "inch"))
