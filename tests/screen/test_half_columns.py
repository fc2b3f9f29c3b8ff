"""A ± that cannot be used is named by its own column and by what stands in it."""

import pytest

from bomcheck.screen.tables import read_rows


@pytest.mark.parametrize(
    ("half", "typed", "wrong"),
    [
        ("-1", '"-1"', "a ± is never below 0"),
        ("wide", '"wide"', "cannot be read"),
        ("5000", '"5000"', "wider than everything that is plausible"),
    ],
)
@pytest.mark.parametrize("heading", ["Rotor diameter ±", "rotor_diameter ± [mm]", "rotor_diameter +/-"])
def test_the_place_of_a_bad_plus_minus(heading, half, typed, wrong, tmp_path):
    """Row, the heading of the ± as it stands in the file, what was typed there."""
    path = tmp_path / "kits.csv"
    path.write_text(f"kit_number,Rotor diameter [mm],{heading}\nA,310.0,{half}\nB,310.0,0.5\n", "utf-8")
    table = read_rows(path, "kits")
    assert table.rows.names == ["B"]
    (fault,) = [str(one) for one in table.faults if one.stops]
    assert fault.startswith(f"kits.csv: row 2, column {heading}: {typed}: ")
    assert wrong in fault


def test_a_bad_size_is_still_named_by_its_own_column(tmp_path):
    """The size's trouble comes first, whatever stands in the ±."""
    path = tmp_path / "kits.csv"
    path.write_text("kit_number,Rotor diameter [mm],Rotor diameter ±\nA,round,-1\nB,310.0,0.5\n", "utf-8")
    (fault,) = [str(one) for one in read_rows(path, "kits").faults if one.stops]
    assert fault.startswith('kits.csv: row 2, column Rotor diameter [mm]: "round": ')


def test_a_plus_minus_alone(tmp_path):
    """A ± without a size is named by the heading that it has in the file."""
    path = tmp_path / "kits.csv"
    path.write_text("kit_number,Rotor diameter [mm],rotor_diameter +/-\nA,,1\nB,310.0,0.5\n", "utf-8")
    (fault,) = [str(one) for one in read_rows(path, "kits").faults if one.stops]
    assert 'row 2, column rotor_diameter +/-: "1": this ± stands beside no size' in fault


def test_a_column_of_numbers_in_parquet(tmp_path):
    """The same where the ± is a number."""
    pandas = pytest.importorskip("pandas")
    pytest.importorskip("pyarrow")
    frame = {"kit_number": ["A", "B"], "Rotor diameter": [310.0, 310.0], "Rotor diameter ±": [-1, 1]}
    pandas.DataFrame(frame).to_parquet(tmp_path / "kits.parquet")
    (fault,) = [str(one) for one in read_rows(tmp_path / "kits.parquet", "kits").faults if one.stops]
    assert fault.startswith('kits.parquet: row 1, column Rotor diameter ±: "-1": a ± is never below 0')
