"""Units: the table of factors against pint, against published factors, and the spellings people use."""

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.notation import units
from bomcheck.tables import head, rows

# Exact by definition unless marked: NIST SP 811 (2008), appendix B.8 and B.9; SI prefixes: BIPM SI brochure (2019).
PUBLISHED = {
    ("in", "mm"): 25.4,
    ("ft", "mm"): 304.8,
    ("thou", "mm"): 0.0254,
    ("cm", "mm"): 10.0,
    ("µm", "mm"): 0.001,
    ("in²", "mm²"): 645.16,
    ("in³", "mm³"): 16387.064,
    ("l", "mm³"): 1e6,
    ("cm³", "mm³"): 1000.0,
    ("lbf", "N"): 4.4482216152605,
    ("kgf", "N"): 9.80665,
    ("lb·ft", "N·m"): 1.3558179483314004,
    ("lb·in", "N·m"): 0.1129848290276167,
    ("kgf·m", "N·m"): 9.80665,
    ("psi", "MPa"): 6.894757e-3,  # SP 811 prints 7 figures
    ("ksi", "MPa"): 6.894757,  # SP 811 prints 7 figures
    ("bar", "MPa"): 0.1,
    ("kgf/cm²", "MPa"): 0.0980665,
    ("lb", "kg"): 0.45359237,
    ("g", "kg"): 0.001,
    ("mph", "m/s"): 0.44704,
    ("km/h", "m/s"): 1 / 3.6,
    ("ft/s", "m/s"): 0.3048,
    ("°F", "°C"): 5 / 9,
    ("ft/s²", "m/s²"): 0.3048,
    ("cm³/bar", "mm³/MPa"): 10_000.0,
    ("min", "s"): 60.0,
    ("h", "s"): 3600.0,
}


@pytest.mark.parametrize(("unit", "to"), PUBLISHED)
def test_factors_are_the_published_ones(unit, to):
    """Each factor of the table against the figure that NIST prints."""
    there = units.named(to)
    assert there is not None
    found = next(u for u in units.spelled(unit) if u.quantity == there.quantity)
    assert found.factor / there.factor == pytest.approx(PUBLISHED[unit, to], rel=5e-8)


def test_the_standard_acceleration_of_free_fall():
    """g is 9.80665 m/s² (NIST SP 811, exact) where a deceleration belongs, a gram where a mass belongs."""
    as_deceleration, as_mass = units.find("g", "acceleration"), units.find("g", "mass")
    assert as_deceleration
    assert as_deceleration.factor == 9.80665
    assert as_mass
    assert as_mass.factor == 0.001


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0), (212, 100), (-40, -40)])
def test_temperatures_have_an_offset(fahrenheit, celsius):
    """Freezing and boiling point of water, and where both scales meet (definition of the scales)."""
    f, c = units.named("°F"), units.named("°C")
    assert f
    assert c
    assert units.convert(fahrenheit, f, c) == celsius
    assert units.convert(celsius, c, f) == fahrenheit


def test_the_table_is_what_pint_gives_today():
    """Every row is computed again from pint and compared, so the file cannot go stale."""
    pytest.importorskip("pint")
    made = {(unit, quantity): (factor, offset) for unit, quantity, factor, offset in units.factor_rows()}
    kept = {(row["unit"], row["quantity"]): (row["factor"], row["offset"]) for row in rows("unit_factors")}
    assert list(made) == list(kept)
    for key, (factor, offset) in kept.items():
        assert (float(factor), float(offset)) == pytest.approx(made[key], rel=1e-12, abs=1e-12), key


def test_the_heads_of_the_tables_explain_themselves():
    """Each table says where it comes from and what its columns are."""
    for name in ("unit_names", "unit_factors", "threads_metric", "threads_unified", "threads_pipe", "tube_fittings"):
        text = head(name)
        assert "Columns" in text
        assert all(column in text for column in rows(name)[0]), name


@pytest.mark.parametrize(
    ("typed", "quantity", "name"),
    [
        ("ft-lb", "torque", "lb·ft"),
        ("lbf.ft", "torque", "lb·ft"),
        ("Ft Lbs", "torque", "lb·ft"),
        ("in*lb", "torque", "lb·in"),
        ("N m", "torque", "N·m"),
        ("Nm", "torque", "N·m"),
        ("N⋅m", "torque", "N·m"),
        ("kgm", "torque", "kgf·m"),
        ("N/mm²", "pressure", "MPa"),
        ("mm3", "volume", "mm³"),
        ("cu in", "volume", "in³"),
        ("inches", "length", "in"),
        ('"', "length", "in"),
        ("deg F", "temperature", "°F"),
        ("kph", "speed", "km/h"),
    ],
)
def test_spellings(typed, quantity, name):
    """What pint would misread (Nm, in*lb) or refuse (ft-lb) is read by our own list."""
    found = units.find(typed, quantity)
    assert found is not None
    assert found.name == name


def test_every_printed_name_is_a_spelling_of_itself():
    """What a report prints may be typed into a cell."""
    for row in rows("unit_names"):
        found = units.find(row["unit"], row["quantity"])
        assert found is not None
        assert found.name == row["unit"]


@given(
    st.floats(-1e6, 1e6), st.sampled_from([row["unit"] for row in rows("unit_names") if row["quantity"] == "length"])
)
def test_there_and_back_is_the_same(value, name):
    """Within the 12 figures that are kept."""
    unit, mm = units.named(name), units.named("mm")
    assert unit
    assert mm
    assert units.convert(units.convert(value, unit, mm), mm, unit) == pytest.approx(value, rel=1e-11, abs=1e-15)


def test_reading_a_size_imports_neither_pint_nor_another_slow_package():
    """The check path stays quick."""
    code = (
        "import sys; from bomcheck.notation import *; read_quantity('120 in-lb', 'N·m'); read_line_end('-3');"
        "slow = {'pint', 'numpy', 'pandas', 'openpyxl', 'difflib'} & set(sys.modules); sys.exit(', '.join(slow) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
