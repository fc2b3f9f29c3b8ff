"""Wrench sizes against ISO 4017, DIN 933, ASME B18.2.1 and B18.2.2 as public tables print them."""

import pytest

from bomcheck.notation import read_thread
from bomcheck.paper.wrenches import heads, tools

METRIC = {"M8": (13, 13), "M10": (16, 17), "M12": (18, 19), "M14": (21, 22), "M16": (24, 24)}
INCH = {"5/16-24": "1/2 in", "3/8-24": "9/16 in", "7/16-20": "5/8 in", "1/2-20": "3/4 in"}


@pytest.mark.parametrize("name", METRIC)
def test_metric_hexagons(name):
    """ISO 4017 first, then the older DIN size."""
    found = {head.kind: head.flats for head in heads(read_thread(name))}
    assert (found["hexagon"], found["older hexagon"]) == METRIC[name]


@pytest.mark.parametrize("name", INCH)
def test_inch_cap_screws(name):
    """ASME B18.2.1; the 7/16 nut is larger than its screw's head (ASME B18.2.2)."""
    found = {head.kind: head.size for head in heads(read_thread(name))}
    assert found["hexagon"] == INCH[name]
    if name == "7/16-20":
        assert found["hexagon nut"] == "11/16 in"


def test_sockets_of_the_trade():
    """A 14 mm bracket screw takes 21 mm, a quarter-inch 12-point hat screw 5/16 in (common practice, no source)."""
    assert tools(read_thread("M14x1.5"))[0] == "21 mm socket"
    assert "5/16 in 12-point socket" in tools(read_thread("1/4-28"))


@pytest.mark.parametrize(
    ("flats", "tool"), [(21.0, "21 mm"), (19.05, "3/4 in"), (14.2875, "9/16 in"), (7.9375, "5/16 in"), (19.0, "19 mm")]
)
def test_a_head_that_was_measured_rules(flats, tool):
    """Across flats as typed, whatever the thread."""
    assert tools(read_thread("M12x1.75"), flats) == (f"{tool} socket",)
