"""A size and its tolerance in one cell."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.errors import Unreadable
from bomcheck.notation.tolerance import read_toleranced

READ = [
    ("66.60 H8", 66.60, 66.646), ("66.6H7", 66.6, 66.63), ("Ø66.6 H7", 66.6, 66.63), ("12 h9", 11.957, 12.0),
    ("72.6 g6", 72.571, 72.590), ("40 js7", 39.9875, 40.0125), ("60F8", 60.030, 60.076),
    ("66.6 +0.05/-0", 66.6, 66.65), ("66.6 +0.05 -0.00", 66.6, 66.65), ("66.6 (+0.05/-0)", 66.6, 66.65),
    ("66.6 0/-0.05", 66.55, 66.6), ("66.6 -0.02/-0.05", 66.55, 66.58), ("66.6 +0.05/+0.02", 66.62, 66.65),
    ("66.6 +50/-0 μm", 66.6, 66.65), ("66,6 +0,05/-0", 66.6, 66.65), ("2.6220 +.002/-.000 in", 66.5988, 66.6496),
    ("64.1 ±0.05", 64.05, 64.15), ("64,1 ±0,05 mm", 64.05, 64.15), ("64.1 +/- 0.05", 64.05, 64.15),
    ("64.1 mm ± 0.05 mm", 64.05, 64.15), ("2.692 ±.002 in", 68.326, 68.4276), ("1-3/4 in ± 1/64 in", 44.053125, 44.846875),
    ("66.60 to 66.65", 66.6, 66.65), ("28 to 30", 28.0, 30.0), ("66.60..66.65 mm", 66.6, 66.65), ("66.60-66.65", 66.6, 66.65),
    ("50 H7", 50.0, 50.025), ("50 h6", 49.984, 50.0), ("100 g6", 99.966, 99.988), ("30 f7", 29.959, 29.98), ("80 H8", 80.0, 80.046),
    ("120 h9", 119.913, 120.0), ("25 js6", 24.9935, 25.0065), ("65 H9", 65.0, 65.074), ("72.6 e8", 72.494, 72.54),
    ("63 d9", 62.826, 62.9), ("⌀66.6H7", 66.6, 66.63), ("66.6 H 7", 66.6, 66.63), ("66.6 (H7)", 66.6, 66.63),
    ("66.6mm ±.05", 66.55, 66.65), ("Ø 66.6 +0.05/0", 66.6, 66.65), ("66.60 -0 +0.05", 66.6, 66.65), ("66.6 -0.05 +0", 66.55, 66.6),
    ("66.6+0.05-0", 66.6, 66.65), ("66.6 + 0.05 / - 0.02", 66.58, 66.65), ("66.6 -0.05/+0.05", 66.55, 66.65),
    ("66.6 ±50 µm", 66.55, 66.65), ("66.5 … 66.6", 66.5, 66.6), ("66.5—66.6", 66.5, 66.6), ('2-5/8" ± 1/64"', 66.278125, 67.071875),
    ("66.60 – 66.65", 66.6, 66.65), ("66,60 to 66,65 mm", 66.6, 66.65), ("2.620 to 2.622 in", 66.548, 66.5988),
]  # fmt: skip
NONE = [
    "330,00",
    "20,0",
    "20,00 mm",
    "1.890,00",
    "66.60,0",
    "40/0",
    "66.6",
    "66.6 mm",
    "1-3/4",
    "1 3/4 in",
    "M12x1.5",
    "330/28",
    "ET45",
    "?",
    "TBC",
    "",
    "2,692",
    "8,5J",
    "-3",
    "1/2-20",
    "28 or 30",
]
REFUSED = ["66.6 k6", "14 n6", "40 p6", "66.6 -0.05", "66.6 H42", "66.6 Q8", "66.65 to 66.60", "612 H7", "66.6 H3"]


@pytest.mark.parametrize(("typed", "low", "high"), READ)
def test_read(typed: str, low: float, high: float) -> None:
    """Hand-computed intervals [mm]."""
    found = read_toleranced(typed, "mm", "mm")
    assert found is not None
    assert (found.middle - found.half, found.middle + found.half) == pytest.approx((low, high), abs=2e-6)


@pytest.mark.parametrize("typed", NONE)
def test_no_tolerance_in_it(typed: str) -> None:
    """Everything that is a size, a thread or a pair alone stays with its own reader."""
    assert read_toleranced(typed, "mm", "mm") is None


@pytest.mark.parametrize("typed", REFUSED)
def test_refused_in_one_line(typed: str) -> None:
    """What is wrong, and what to type instead."""
    with pytest.raises(Unreadable) as bad:
        read_toleranced(typed, "mm", "mm")
    assert bad.value.wrong
    assert bad.value.instead


@given(st.integers(2000, 40000), st.integers(1, 90), st.integers(0, 90))
def test_two_deviations_are_exact(size: int, up: int, down: int) -> None:
    """Whatever the sides, the interval is the one that is written."""
    nominal = size / 100
    found = read_toleranced(f"{nominal:.2f} +{up / 1000:.3f}/-{down / 1000:.3f}", "mm", "mm")
    assert found is not None
    assert found.middle - found.half == pytest.approx(nominal - down / 1000, abs=2e-6)
    assert found.middle + found.half == pytest.approx(nominal + up / 1000, abs=2e-6)


def test_words_of_the_trade_beside_figures() -> None:
    """A rim as stamped, a class with a decimal comma, pieces in other languages."""
    from bomcheck.io.cells import Cell
    from bomcheck.io.read.value import read_value
    from bomcheck.tables.fields import fields, part_fields

    def read(field: object, typed: str) -> object:
        return read_value(field, Cell("A1", 1, 1, "text", typed, typed), "in" if field is rim else None)  # type: ignore[arg-type]

    rim, strength, quantity = fields()["wheel_rim_width"], fields()["bracket_screw_class"], part_fields()["quantity"]
    assert [read(rim, text) for text in ("8,5J", "8.5J", "8½J", "8.5Jx18", "18x8.5", "7")] == [
        8.5,
        8.5,
        8.5,
        8.5,
        8.5,
        7.0,
    ]
    assert [read(strength, text) for text in ("10,9", "10.9", "8,8")] == ["10.9", "10.9", "8.8"]
    assert [read(quantity, text) for text in ("4 Stk", "8 pcs", "8 pcs.", "2 off", "x5", "12")] == [4, 8, 8, 2, 5, 12]
    with pytest.raises(Unreadable) as bad:
        read(quantity, "8 mm")
    assert "quantity" in bad.value.wrong


def test_sixty_ways_to_write_a_size() -> None:
    """As many as people and drawings were seen to use, each with its outcome in the tables above; classes by ISO 286-2."""
    assert len({*READ_TEXTS, *REFUSED}) >= 60


READ_TEXTS = [typed for typed, _, _ in READ]


@given(st.integers(0, 99999), st.integers(0, 3), st.sampled_from(",."), st.sampled_from(["", " mm", " in"]))
def test_a_plain_figure_is_never_taken_apart(digits: int, places: int, mark: str, unit: str) -> None:
    """330,00 is a size of 330, not 33 with two deviations of 0."""
    whole, part = divmod(digits, 10**places)
    typed = f"{whole}{mark}{part:0{places}}{unit}" if places else f"{whole}{unit}"
    assert read_toleranced(typed, "mm", "mm") is None
