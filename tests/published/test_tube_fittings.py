"""Threads of line fittings against AN924 / SAE J514, SAE J512, ISO 4038 and ASME B1.20.1."""

import pytest

from bomcheck.notation import read_line_end, read_thread
from bomcheck.notation.thread_sizes import look_alike
from bomcheck.tables import rows

# AN924 dimension sheet and SAE J514: nominal thread diameter [in] and threads per inch of each dash size.
AN924 = {2: (0.3125, 24), 3: (0.375, 24), 4: (0.4375, 20), 5: (0.5, 20), 6: (0.5625, 18), 8: (0.75, 16)}


@pytest.mark.parametrize("dash", AN924)
def test_dash_sizes_are_those_of_an924(dash):
    """-6 is 9/16-18; a table that prints 5/8-18 for it is wrong."""
    end = read_line_end(f"-{dash}")
    assert end is not None
    assert end.thread is not None
    assert end.seat == "37"
    assert (end.thread.diameter / 25.4, 25.4 / end.thread.pitch) == pytest.approx(AN924[dash])


# SAE J512: tube [in] and thread of its inverted flare nut; 5/16 and 3/8 from memory.
@pytest.mark.parametrize(
    ("tube", "nut"), [("3/16", "3/8-24"), ("1/4", "7/16-24"), ("5/16", "1/2-20"), ("3/8 tube", "5/8-18")]
)
def test_inverted_flare_nuts_are_those_of_sae_j512(tube, nut):
    """The size names the tube, not the thread."""
    end = read_line_end(f"{tube} inverted flare")
    assert end is not None
    assert end.thread == read_thread(nut)


# ISO 4038: tube [mm] and thread of the nut on a single (bubble) flare; from memory.
@pytest.mark.parametrize(("tube", "nut"), [("4.75", "M10x1.0"), ("6", "M12x1.0")])
def test_bubble_nuts_are_those_of_iso_4038(tube, nut):
    """The table knows them; the reader still asks for the thread, because cars have others too."""
    row = next(row for row in rows("tube_fittings") if row["seat"] == "bubble" and row["tube"] == tube)
    assert row["thread"] == nut
    end = read_line_end(f"{tube} mm bubble")
    assert end is not None
    assert end.thread is None
    assert end.tube == float(tube)


def test_the_eighth_inch_taper_pipe_thread_is_that_of_asme_b1_20_1():
    """1/8-27 NPT: pipe 0.405 in, pitch 0.03704 in, E0 0.36351 in, E1 0.37360 in (table 2), and E0 by its formula."""
    thread = read_thread("1/8 NPT")
    assert thread is not None
    assert thread.pitch is not None
    diameter, pitch = thread.diameter / 25.4, thread.pitch / 25.4
    assert (diameter, pitch) == pytest.approx((0.405, 0.03704), abs=5e-6)
    at_small_end = diameter - (0.05 * diameter + 1.1) * pitch
    assert at_small_end == pytest.approx(0.36351, abs=1e-5)
    assert at_small_end + 0.1615 / 16 == pytest.approx(0.37360, abs=1e-5)


# From ASME B1.1, ISO 724 and ASME B1.20.1 basic sizes [mm]: how far apart the diameters and the pitches are.
PAIRS = [
    ("3/8-24", "M10x1.0", 10 - 9.525, 25.4 / 24 - 1),
    ("7/16-20", "7/16-24", 0.0, 25.4 / 20 - 25.4 / 24),
    ("1/2-20", "M12x1.25", 0.7, 0.02),
    ("1/8-27 NPT", "M10x1.0", 10.287 - 10, 1 - 25.4 / 27),
]


@pytest.mark.parametrize(("one", "other", "diameters", "pitches"), PAIRS)
def test_look_alikes_differ_by_what_the_standards_say(one, other, diameters, pitches):
    """Half a millimetre and a twentieth of a pitch: no eye sees it, and no such joint holds."""
    a, b = read_thread(one), read_thread(other)
    assert a
    assert b
    assert a.pitch
    assert b.pitch
    assert a != b
    assert abs(a.diameter - b.diameter) == pytest.approx(diameters, abs=1e-6)
    assert abs(a.pitch - b.pitch) == pytest.approx(pitches, abs=1e-6)
    assert look_alike(a, b)


# AN3 to AN8 drawings: thread of the bolt, whose dash is its diameter in sixteenths of an inch; from memory.
@pytest.mark.parametrize(
    ("dash", "name"),
    [(3, "#10-32"), (4, "1/4-28"), (5, "5/16-24"), (6, "3/8-24"), (7, "7/16-20"), (8, "1/2-20")],
)
def test_the_dash_of_a_bolt_is_not_the_dash_of_a_fitting(dash, name):
    """An AN6 bolt is 3/8-24, a -6 fitting is 9/16-18."""
    bolt = read_thread(f"AN{dash} bolt")
    assert bolt is not None
    assert bolt.name == name
    assert bolt.diameter == pytest.approx(dash * 25.4 / 16, abs=0.07)
    fitting = read_line_end(f"AN{dash}") if dash != 7 else None
    assert fitting is None or fitting.thread != bolt
