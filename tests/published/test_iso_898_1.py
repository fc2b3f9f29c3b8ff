"""Strength of metric screws against ISO 898-1: stress areas, proof stress, proof loads."""

import pytest

from bomcheck.notation import read_thread
from bomcheck.rules.screw_strength import preload, proof_load, strength

# ISO 898-1, proof loads [N] of coarse threads, classes 8.8 / 10.9 / 12.9.
PROOF_LOADS = {
    "M8x1.25": (21200, 30400, 35500),
    "M10x1.5": (33700, 48100, 56300),
    "M12x1.75": (48900, 70000, 81800),
}


@pytest.mark.parametrize("name", PROOF_LOADS)
def test_proof_loads_are_those_of_the_table(name):
    """Stress area times proof stress, within 0.3 percent (the table rounds both)."""
    for grade, load in zip(("8.8", "10.9", "12.9"), PROOF_LOADS[name], strict=True):
        assert proof_load(read_thread(name), grade) == pytest.approx(load, rel=0.003)


@pytest.mark.parametrize(
    ("grade", "diameter", "proof"), [("8.8", 16, 580), ("8.8", 18, 600), ("10.9", 12, 830), ("12.9", 12, 970)]
)
def test_proof_stress(grade, diameter, proof):
    """8.8 is stronger above 16 mm."""
    assert strength(grade, diameter)[0] == proof


def test_worked_example_m12():
    """M12 8.8 at 70 percent of proof, nut factor 0.2: 34.2 kN and 82.1 N·m (worked example on a public page)."""
    thread = read_thread("M12x1.75")
    torque = 0.70 * proof_load(thread, "8.8") * 12.0 * 0.20 / 1000
    assert torque == pytest.approx(82.1, rel=0.003)
    assert preload(torque, 12.0, 0.20) == pytest.approx(34200, rel=0.003)
