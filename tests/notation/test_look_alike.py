"""Threads that are easily taken for one another.

Which pairs: common practice, no source; their figures: see tests/published.
"""

import pytest

from bomcheck.notation import read_thread
from bomcheck.notation.thread_sizes import look_alike

NEVER_THE_SAME = [
    ("3/8-24", "M10x1.0", "0.47"),
    ("7/16-20", "7/16-24", "same diameter"),
    ("1/2-20", "M12x1.25", "0.70"),
    ("1/8-27 NPT", "M10x1.0", "tapered"),
    ("1/2-20", "M12x1.5", "0.70"),
    ("M12x1.5", "M12x1.25", "same diameter"),
]


@pytest.mark.parametrize(("one", "other", "says"), NEVER_THE_SAME)
def test_look_alikes_are_told_with_their_figures(one, other, says):
    """In either order, and they never read as the same thread."""
    a, b = read_thread(one), read_thread(other)
    assert a
    assert b
    assert a != b
    assert says in (look_alike(a, b) or "")
    assert says in (look_alike(b, a) or "")


@pytest.mark.parametrize(
    ("one", "other"), [("M10x1.0", "M10x1.0"), ("M10x1.0", "M12x1.0"), ("M6x1", "M6x0.5"), ("M10", "3/8-24")]
)
def test_same_far_apart_or_unknown_threads_are_no_look_alikes(one, other):
    """Nothing is said about a thread whose pitch is unknown."""
    a, b = read_thread(one), read_thread(other)
    assert a
    assert b
    assert look_alike(a, b) is None
