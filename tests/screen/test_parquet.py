"""Parquet tables: numbers that are words, a row of units, figures of four bytes, and files that are not there."""

import numpy as np
import pytest

from bomcheck.model.errors import WorkbookError
from bomcheck.screen.tables import read_rows
from tests.helpers import tables
from tests.screen.table_rows import rows

pandas = pytest.importorskip("pandas", reason="the extra [cluster] is not installed")
pytest.importorskip("pyarrow", reason="the extra [cluster] is not installed")

SIZES = {"kit_number": ["A", "B"], "rotor_diameter": [310.0, 330.0]}


def _read(folder, columns, kind="kits"):
    path = folder / "table.parquet"
    pandas.DataFrame(columns).to_parquet(path)
    return read_rows(path, kind)


def _values(table, key):
    return [table.rows.values(row)[key].value for row in range(len(table.rows))]


@pytest.mark.parametrize("dtype", ["float64", "float32", "Float64", "Float32", "category"])
def test_strength_classes_stored_as_numbers(dtype, tmp_path):
    """10.9 as a number is the class 10.9, however many bytes it takes."""
    classes = pandas.Series([10.9, 8.8]).astype(dtype)
    table = _read(tmp_path, {**SIZES, "caliper_screw_class": classes})
    assert _values(table, "caliper_screw_class") == ["10.9", "8.8"]


@pytest.mark.parametrize("numbers", [[8.0, 12.0], [8, 12], pandas.array([8, 12], "Int64")])
def test_texts_stored_as_numbers(numbers, tmp_path):
    """8.0 reads "8", as a person sees it; also where it names the kit."""
    table = _read(tmp_path, {**SIZES, "kit_number": numbers, "kit_label": numbers})
    assert table.rows.names == _values(table, "kit_label") == ["8", "12"]


def test_long_whole_numbers_keep_their_digits(tmp_path):
    """A Parquet file holds whole numbers exactly, and as a text they stay exact."""
    table = _read(tmp_path, {**SIZES, "kit_number": [123456789012345678, 1234567890123456789]})
    assert table.rows.names == ["123456789012345678", "1234567890123456789"]


def test_a_word_that_is_none_does_not_contradict_itself(tmp_path):
    """A number that is no class is named as a person reads it, in its own row, and the others are read."""
    table = _read(tmp_path, {**SIZES, "caliper_screw_class": [10.9, 9.9]})
    assert table.rows.names == ["A"]
    (fault,) = [str(one) for one in table.faults if one.stops]
    assert fault.startswith('table.parquet: row 2, column caliper_screw_class: "9.9": this is not one of the choices')


def test_truth_values_and_blanks(tmp_path):
    """True is yes; what is missing is blank, in every type."""
    table = _read(
        tmp_path,
        {
            "vehicle_label": ["A", "B", "C"],
            "road_use": pandas.array([True, False, None], "boolean"),
            "line_clip": [True, False, None],
            "corners": pandas.array([2, None, 1], "Int64"),
        },
        "corners",
    )
    first, second, third = (table.rows.values(row) for row in range(3))
    assert (first["road_use"].value, second["road_use"].value, "road_use" in third) == ("yes", "no", False)
    assert (first["line_clip"].value, second["line_clip"].value, "line_clip" in third) == ("yes", "no", False)
    assert (first["corners"].value, "corners" in second, third["corners"].value) == (2, False, 1)


@pytest.mark.parametrize("days", [["2026-12-01", None], pandas.to_datetime(["2026-12-01", None])])
def test_days(days, tmp_path):
    """A day is a day, as text or as a moment at midnight."""
    table = _read(tmp_path, {"vehicle_label": ["A", "B"], "needed_by": days}, "corners")
    assert not [fault for fault in table.faults if fault.stops]
    assert str(table.rows.values(0)["needed_by"].value) == "2026-12-01"
    assert "needed_by" not in table.rows.values(1)


def test_sizes_of_four_bytes_and_endless_ones(tmp_path):
    """66.6 in four bytes is 66.6; a size without end is no size."""
    bores = np.array([66.6, np.inf], dtype=np.float32)
    table = _read(tmp_path, {**SIZES, "hat_bore": bores, "caliper_washer_count": [2.0, np.inf]})
    assert table.rows.names == ["A"]
    assert _values(table, "hat_bore") == [66.6]
    assert {"hat_bore", "caliper_washer_count"} == {
        str(one.place).rpartition(" ")[2] for one in table.faults if one.stops
    }


def test_without_a_row_of_units(tmp_path):
    """Bare figures are in mm, MPa, m/s and so on; a heading's brackets say otherwise."""
    table = _read(tmp_path, {"kit_number": ["A"], "rotor_diameter": [330.2], "rotor_thickness [in]": [1.1]})
    assert _values(table, "rotor_diameter") == [330.2]
    assert _values(table, "rotor_thickness") == [pytest.approx(27.94)]


@pytest.mark.parametrize("kind", ["corners", "kits"])
def test_a_csv_with_its_row_of_units(kind, tmp_path):
    """A CSV table loaded as it is and stored as Parquet gives the same values as the CSV."""
    made = getattr(tables, kind)(40, 3)
    frame = pandas.read_csv(tables.write_csv(tmp_path / "table.csv", made), keep_default_na=False, na_values=[""])
    table = _read(tmp_path, frame, kind)
    assert not table.faults
    expected = rows(kind, made)
    assert table.rows.names == expected.names
    for row in range(len(expected)):
        mine, theirs = table.rows.values(row), expected.values(row)
        assert mine.keys() == theirs.keys()
        for key, value in mine.items():
            wanted = theirs[key].value
            assert value.value == (pytest.approx(wanted) if isinstance(wanted, float) else wanted)
            assert value.plus_minus == pytest.approx(theirs[key].plus_minus)


def test_a_row_of_inches(tmp_path):
    """The row of units rules, as in CSV; a column that it leaves out is asked for, not guessed."""
    columns = {"kit_number": [None, "A"], "rotor_diameter": ["in", "13"], "hat_bore": ["mm", "66.6"]}
    table = _read(tmp_path, columns)
    assert (_values(table, "rotor_diameter"), _values(table, "hat_bore")) == ([pytest.approx(330.2)], [66.6])
    with pytest.raises(WorkbookError, match=r"row 2, column hat_bore.*nothing tells the unit"):
        _read(tmp_path, {**columns, "hat_bore": [None, 66.6]})
    with pytest.raises(WorkbookError, match='row 1, column hat_bore: "bar" is no unit of'):
        _read(tmp_path, {**columns, "hat_bore": ["bar", "66.6"]})


@pytest.mark.parametrize("name", ["gone.parquet", "gone.pq", "gone.csv", "gone.xlsx"])
def test_a_file_that_is_not_there(name, tmp_path):
    """It says so, and nothing of damage or libraries."""
    with pytest.raises(WorkbookError, match=f"^{name}: there is no such file. Check the name and the folder") as said:
        read_rows(tmp_path / name, "kits")
    assert "damaged" not in said.value.fault.kind
