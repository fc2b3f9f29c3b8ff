"""The table of the fit-up's sentences: its conditions, and that each of its names is known."""

import re
from types import SimpleNamespace
from typing import Any

import pytest

from bomcheck.paper.fit_up import PLACES
from bomcheck.paper.fit_up_words import CONDITIONS, FILLED, said_of
from bomcheck.tables import rows
from bomcheck.tables.fields import fields
from tests.system.cars import car

LISTS = ("before the wheel", "bleeding", "trial")
WORK = rows("fit_up_work")


def test_every_name_of_the_table_is_known() -> None:
    """Pages are steps or lists; a condition is a name or a field; what is filled in has its function; nothing is left over."""
    assert {row["page"] for row in WORK} == {*PLACES, *LISTS}
    when = [one for row in WORK for one in row["when"].split("; ") if one]
    named = {one.removeprefix("not ") for one in when if "=" not in one}
    assert named == set(CONDITIONS)
    assert {one.removeprefix("not ").partition("=")[0] for one in when if "=" in one} <= set(fields())
    assert {name for row in WORK for name in re.findall(r"{([^}]*)}", row["says"])} == set(FILLED)


@pytest.mark.parametrize(("runout", "asked"), [(None, True), (0.0, False), (0.02, False)])
def test_a_size_of_nought_is_no_blank(runout: float | None, asked: bool) -> None:
    """A hub face that was measured to run true is not asked to be measured."""
    report: Any = SimpleNamespace(cured=car(0.0, hub_face_runout=runout), job=car(0.0), parts=(), findings=())
    told = list(said_of("Clean and check the hub", report))
    assert any("Measure the hub face's runout" in one for one in told) == asked
