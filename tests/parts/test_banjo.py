"""The banjo screw reaches far enough into the port and does not touch its bottom. Common practice, no source."""

import pytest

from bomcheck.model.types import Thread
from bomcheck.notation.thread import read_thread
from bomcheck.supply.line_arrangement import Grip, reach


def thread(text: str) -> Thread:
    """The thread that the text names."""
    found = read_thread(text)
    assert found is not None
    return found


M10 = thread("M10x1.0")
GRIP = Grip(M10, eye=(8.0, 0.0), washer=(1.0, 0.0), port_depth=(14.0, 0.0))


@pytest.mark.parametrize(
    ("length", "verdict"),
    [(19.9, "does not fit"), (20.0, "fits"), (22.0, "fits"), (23.0, "fits"), (23.1, "does not fit")],
)
def test_at_least_one_diameter_and_one_millimetre_off_the_bottom(length: float, verdict: str) -> None:
    """20 - 8 - 2 x 1 = 10 mm is 1.0 diameter of M10; 23 leaves 1 mm below in a port of 14 mm."""
    assert reach((length, 0.0), GRIP).verdict == verdict


def test_for_every_true_size_or_not_known() -> None:
    """±0.1 mm on washers counts twice: 20.3 with ±0.2 in all surely does, 20.1 only perhaps."""
    grip = Grip(M10, (8.0, 0.0), (1.0, 0.1), (14.0, 0.0))
    assert reach((20.3, 0.0), grip).verdict == "fits"
    assert reach((20.1, 0.0), grip).verdict == "not known"
    assert reach((19.7, 0.0), grip).verdict == "does not fit"


def test_a_port_too_shallow_for_any_screw_does_not_fit() -> None:
    """10.5 mm of thread leaves 9.5, less than one diameter: no ± of the screw makes it good."""
    grip = Grip(M10, (8.0, 0.5), (1.0, 0.1), (10.5, 0.0))
    assert reach((19.8, 1.0), grip).verdict == "does not fit"


def test_what_is_missing_is_named() -> None:
    """Without eye or depth the verdict is not known and says which sizes to measure."""
    answer = reach((20.0, 0.0), Grip(M10, None, (1.0, 0.0), None))
    assert answer.verdict == "not known"
    assert answer.missing == ("thickness of the banjo eye", "depth of thread in the port")


def test_the_sum_is_shown_with_its_numbers() -> None:
    """The text can be checked by hand."""
    assert reach((20.0, 0.0), GRIP).text.startswith("20 - 8 - 2 x 1 = 10.0 ±0.0 mm in the port")
