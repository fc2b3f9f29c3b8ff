"""A torque in the wrong unit: the right reading of the figure is named."""

import pytest

from bomcheck.notation import read_thread
from bomcheck.rules.screw_strength import POUND_FOOT, POUND_INCH, UNITS, proof_load, proof_use, slips

# Screw, class, the unit that is typed and the one that is meant; figures below 2 are not printed in a unit.
CASES = [
    (*screw, *units)
    for screw in (("1/4-28", "grade 8"), ("3/8-24", "grade 5"), ("M8x1.25", "10.9"), ("M12x1.5", "8.8"))
    for units in (("lb·ft", "lb·in"), ("lb·in", "lb·ft"), ("N·m", "kgf·m"))
    if (screw[0], units[1]) != ("1/4-28", "kgf·m")
]


def test_factors_are_those_of_nist():
    """NIST SP 811: 1 lbf·ft = 1.355 818 N·m, 1 lbf·in = 0.112 984 8 N·m, 1 kgf·m = 9.806 65 N·m."""
    assert pytest.approx(1.355818, abs=1e-6) == POUND_FOOT
    assert pytest.approx(0.1129848, abs=1e-7) == POUND_INCH
    assert UNITS["kgf·m"] == 9.80665
    assert pytest.approx(12.0, rel=1e-9) == POUND_FOOT / POUND_INCH


@pytest.mark.parametrize(("thread", "grade", "typed", "meant"), CASES)
def test_a_figure_typed_in_the_wrong_unit_is_found(thread, grade, typed, meant):
    """The chart's torque, rounded in the unit that was meant and read in another."""
    screw = read_thread(thread)
    figure = float(round(0.75 * proof_load(screw, grade) * screw.diameter * 0.15 / 1000 / UNITS[meant]))
    assert figure >= 2
    read = figure * UNITS[typed]
    use = proof_use(read, screw, grade, "oiled")
    assert any((slip.figure, slip.typed, slip.meant) == (figure, typed, meant) for slip in slips(read, use))


def test_a_torque_that_is_in_order_in_its_unit_is_never_asked_about():
    """`slips` is only asked where the use is impossible; its own answers are all plausible ones."""
    use = proof_use(500.0, read_thread("M8x1.25"), "8.8", "dry")
    assert all(0.40 <= slip.use <= 0.90 for slip in slips(500.0, use))
