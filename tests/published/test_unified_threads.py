"""Unified inch threads against ASME B1.1, SAE J429 and the package screw_thread_lib."""

import pytest

from bomcheck.notation import is_standard, read_thread, stress_area

# SAE J429, tensile stress areas [in²], as printed in its strength chart.
STRESS_AREAS = {
    "1/4-20": 0.0318,
    "5/16-24": 0.0580,
    "3/8-24": 0.0878,
    "7/16-20": 0.1187,
    "1/2-20": 0.1599,
    "9/16-18": 0.203,
}


@pytest.mark.parametrize("name", STRESS_AREAS)
def test_stress_areas_are_those_of_sae_j429(name):
    """pi/4 (d - 0.9743/n)², ASME B1.1 appendix B."""
    thread = read_thread(name)
    assert thread is not None
    assert (stress_area(thread) or 0) / 25.4**2 == pytest.approx(STRESS_AREAS[name], rel=0.003)


def test_inch_threads_agree_with_screw_thread_lib():
    """Every inch row of the package (ASME B1.1-2019): all figures that both have."""
    library = pytest.importorskip("screw_thread_lib")
    from screw_thread_lib.data import ASME_UN_2A2B_dict as table

    assert len(table) > 8
    for name, row in table.items():
        thread, theirs = read_thread(name), library.Assembly(row)
        assert thread is not None, name
        assert read_thread(f"{name} {row['series']}") == thread, name
        assert is_standard(thread) or row["series"] == "UNS", name
        assert thread.diameter == pytest.approx(theirs.dbsc * 25.4, abs=1e-6), name
        assert 25.4 / thread.pitch == pytest.approx(theirs.n), name
        assert stress_area(thread) == pytest.approx(theirs.As_FEDSTD_1b() * 25.4**2, rel=1e-4), name


@pytest.mark.parametrize(
    ("size", "coarse", "fine"),
    [
        ("1/4", 20, 28),
        ("5/16", 18, 24),
        ("3/8", 16, 24),
        ("7/16", 14, 20),
        ("1/2", 13, 20),
        ("9/16", 12, 18),
        ("5/8", 11, 18),
    ],
)
def test_coarse_and_fine_name_one_pitch(size, coarse, fine):
    """UNC and UNF of ASME B1.1 (from memory): the trade's "1/2 fine" is 1/2-20."""
    for word, tpi in (("coarse", coarse), ("UNC", coarse), ("fine", fine), ("UNF", fine)):
        thread = read_thread(f"{size} {word}")
        assert thread is not None
        assert 25.4 / thread.pitch == pytest.approx(tpi)
