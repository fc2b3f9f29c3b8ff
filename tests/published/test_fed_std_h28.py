"""Engagement at equal strength against the form of FED-STD-H28."""

import pytest

from bomcheck.notation import read_thread
from bomcheck.screws.engagement import engagement_of, equal_strength_engagement


def test_worked_example_in_inches():
    """At 0.1 in², d 0.5 in, P 0.1 in: 0.2927 in."""
    assert engagement_of(0.1, 0.5, 0.1) == pytest.approx(0.2927, abs=5e-5)


@pytest.mark.parametrize(("name", "millimetres"), [("M12x1.5", 10.17), ("M14x1.5", 12.18)])
def test_metric_threads(name, millimetres):
    """Recomputed from the form; the published figures come from stress areas rounded to a tenth of a mm²."""
    assert equal_strength_engagement(read_thread(name)) == pytest.approx(millimetres, abs=0.01)
    assert equal_strength_engagement(read_thread(name.split("x")[0])) is None
