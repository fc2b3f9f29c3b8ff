"""Regulations: FMVSS 135, 106 and 116, Directive 71/320/EEC, SAE J866. Figures as the check names them."""

import pytest

from bomcheck.car.balance import Brakes, G, Loads, grip_used, legal_distance, rate_asked
from bomcheck.car.figures import RATES
from bomcheck.car.hydraulics import boiling_points, fluids_for, friction_of, legal_hose_compliance
from bomcheck.model.job import Job
from bomcheck.model.limits import limit_for


def test_fmvss_135_distance_and_force():
    """S7.5: S <= 0.10 V + 0.0060 V² (coefficients from memory), 70 m from 100 km/h; at most 500 N on the pedal."""
    assert legal_distance(100 / 3.6) == pytest.approx(70.0)
    assert legal_distance(80 / 3.6) == pytest.approx(0.10 * 80 + 0.0060 * 80**2)
    assert limit_for("pedal_force", Job({})).high == 500.0


def test_fmvss_135_failed_circuit():
    """S7.10, from memory: S <= 0.10 V + 0.0158 V², 168 m from 100 km/h, at most 500 N; its steady part is 2.44 m/s²,
    which UN R13-H asks for as well (from memory)."""
    assert limit_for("failed_circuit", Job({})).low == 2.44
    assert pytest.approx(168.0) == 0.10 * 100 + 0.0158 * 100**2
    assert limit_for("failed_circuit", Job({})).low == pytest.approx(1 / (2 * 0.0158 * 3.6**2), abs=0.01)


def test_directive_71_320_adhesion():
    """Annex II: front above rear for braking rates of 0.15 to 0.80; z >= 0.1 + 0.7 (k - 0.2) by UN R13-H, annex 5 (from memory);
    the repealed directive had 0.85."""
    assert (min(RATES), max(RATES)) == (0.15, 0.80)
    assert [rate_asked(grip) for grip in (0.2, 0.5, 0.8)] == pytest.approx([0.1, 0.31, 0.52])
    loads = Loads(1450.0, 0.55, 0.2)
    for share, keeps in ((0.75, True), (0.62, False)):
        curves = [grip_used(Brakes(share, 1 - share), loads, z * G) for z in RATES]
        assert all(front > rear for front, rear in curves) is keeps


@pytest.mark.parametrize(("psi", "cubic_centimetres"), [(1000, 0.33), (1500, 0.42), (2900, 0.61)])
def test_fmvss_106_expansion_of_the_low_expansion_hose(psi, cubic_centimetres):
    """Table I, 1/8 in: cm³ a foot; back from mm³/(m·MPa)."""
    found = legal_hose_compliance("1/8", "low", psi)
    assert found * psi * 0.00689475729 * 0.3048 / 1000 == pytest.approx(cubic_centimetres)


def test_fmvss_106_has_no_figure_where_none_was_seen():
    """An empty cell of the table is no figure."""
    assert legal_hose_compliance("1/4", "low", 2900) is None
    assert legal_hose_compliance("1/2", "low", 1000) is None


def test_fmvss_116_boiling_points():
    """Least dry and wet boiling points [°C]."""
    assert boiling_points() == {"DOT 3": (205, 140), "DOT 4": (230, 155), "DOT 5.1": (260, 180), "DOT 5": (260, 180)}
    assert fluids_for(160.0) == ("DOT 5.1",)
    assert fluids_for(181.0) == ()


@pytest.mark.parametrize(
    ("friction", "letter"), [(0.15, "C"), (0.16, "D"), (0.25, "D"), (0.35, "E"), (0.45, "F"), (0.55, "G"), (0.56, "H")]
)
def test_sae_j866_letters(friction, letter):
    """Edge code: C to 0.15, D to 0.25, E to 0.35, F to 0.45, G to 0.55, H above."""
    found = friction_of(letter + "E")
    assert found is None if letter == "H" else found.low < friction <= found.high
