"""Threads as people type them. What notations mean: common practice, no source."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.errors import Unreadable
from bomcheck.notation import read_thread, remark

THREADS = [
    ("12x1.5", "M12x1.5"),
    ("M12-1.5", "M12x1.5"),
    ("M12x1.50", "M12x1.5"),
    ("12-1.5", "M12x1.5"),
    ("m12 x 1,5", "M12x1.5"),
    ("M12×1.5", "M12x1.5"),
    ("M12 pitch 1.5", "M12x1.5"),
    ("M12x1.5-6g", "M12x1.5"),
    ("M12 coarse", "M12x1.75"),
    ("M8 fine", "M8x1.0"),
    ("10x1", "M10x1.0"),
    ("10-1", "M10x1.0"),
    ("M10x1.25", "M10x1.25"),
    ("M12", "M12"),
    ("12 mm", "M12"),
    ("wheel stud M12x1.5", "M12x1.5"),
    ("1/2-20 stud", "1/2-20"),
    ("1/2-20", "1/2-20"),
    ("1/2x20", "1/2-20"),
    (".5-20", "1/2-20"),
    ('1/2" fine', "1/2-20"),
    ("1/2 fine", "1/2-20"),
    ("½-20", "1/2-20"),
    ("1/2 - 20 UNF-2A", "1/2-20"),
    ("1/2 20 tpi", "1/2-20"),
    ("1/2 UNC", "1/2-13"),
    ("1/2", "1/2"),
    ("7/16-20 UNF", "7/16-20"),
    ("7/16-24", "7/16-24"),
    ("1 1/8-12", "1-1/8-12"),
    ("1-14", "1-14"),
    ("#10-32", "#10-32"),
    ("10-32", "#10-32"),
    ("10/32", "#10-32"),
    ("AN3 bolt", "#10-32"),
    ("AN4 bolt", "1/4-28"),
    ("1/8-27 NPT", "1/8-27 NPT"),
    ("1/8 NPT", "1/8-27 NPT"),
    ("1/8-27", "1/8-27 NPT"),
    ("1/8 pipe", "1/8-27 NPT"),
    ("1/4-18 NPT", "1/4-18 NPT"),
]


@pytest.mark.parametrize(("typed", "name"), THREADS)
def test_threads_are_read_to_one_canonical_name(typed, name):
    """However it is typed, the same thread has the same name, and the name reads to the same thread."""
    thread = read_thread(typed)
    assert thread is not None
    assert thread.name == name
    assert read_thread(name) == thread


@pytest.mark.parametrize("typed", ["M12", "1/2", "#10", "M10", '3/8"'])
def test_a_pitch_that_is_not_stated_is_not_assumed(typed):
    """A size alone has no pitch."""
    thread = read_thread(typed)
    assert thread is not None
    assert thread.pitch is None


FAULTS = [
    ("M12 fine", "pitch missing"),
    ("M12x40", "pitch missing"),
    ("1/8", "pitch missing"),
    ("1/4-18", "pitch missing"),
    ("M12x1.5x40", "unreadable text"),
    ("12", "unreadable text"),
    (12, "unreadable text"),
    ("-3", "unreadable text"),
    ("AN3", "unreadable text"),
    ("#3", "unreadable text"),
    ("dash 3", "unreadable text"),
    ("M12x1.5 LH", "unreadable text"),
    ("1/8 BSP", "unreadable text"),
    ("G1/8", "unreadable text"),
    ("7/16-24 UNF", "entries disagree"),
    ("1/8-18 NPT", "entries disagree"),
    ("3/8-24 inverted flare", "unreadable text"),
    ("M12x9", "pitch missing"),
    ("M0", "unreadable text"),
    ("1/2-2", "unreadable text"),
    (".49-20", "unreadable text"),
    ("bolt", "unreadable text"),
    ("M8 8.8", "pitch missing"),
    (date(2026, 10, 1), "date in a size"),
    ("Jan-10", "date in a size"),
]


@pytest.mark.parametrize(("typed", "kind"), FAULTS)
def test_what_is_no_single_thread_is_refused(typed, kind):
    """A length, a fitting size, a foreign form or a contradiction never becomes a thread."""
    with pytest.raises(Unreadable) as caught:
        read_thread(typed)
    assert caught.value.kind == kind


def test_fine_names_the_choices_where_there_are_several():
    """M12 fine may be 1.5 or 1.25 (ISO 262, from memory)."""
    with pytest.raises(Unreadable, match=r"M12x1\.5 or M12x1\.25"):
        read_thread("M12 fine")


def test_a_pitch_outside_the_standards_is_read_and_remarked():
    """It may be a slip of the key, or a thread that somebody cut; the remark says what the standard has."""
    odd, tube_nut = read_thread("M12x1.6"), read_thread("7/16-24")
    assert odd is not None
    assert "1.5 mm" in (remark(odd) or "")
    assert tube_nut is not None
    assert remark(tube_nut) is None


@given(st.integers(3, 30), st.integers(2, 60))
def test_every_metric_name_reads_to_itself(diameter, twentieths):
    """Canonical names are stable."""
    pitch = twentieths / 20
    if pitch >= diameter / 2 or pitch < 0.2:
        return
    thread = read_thread(f"{diameter} x {pitch}")
    assert thread is not None
    assert (thread.diameter, thread.pitch) == (diameter, pitch)
    assert read_thread(thread.name) == thread


@given(st.integers(16, 127), st.integers(19, 40))
def test_every_inch_name_reads_to_itself(sixtyfourths, tpi):
    """Canonical names are stable, for every 64th of an inch up to two inches."""
    thread = read_thread(f"{sixtyfourths / 64!r}-{tpi} UNS")
    assert thread is not None
    assert thread.pitch == pytest.approx(25.4 / tpi)
    assert read_thread(thread.name) == thread
