"""Machining and labour are done by people: no line of a box stands for them, and a price for them breaks nothing."""

import pytest

from bomcheck.model.demand import Demand
from bomcheck.model.job import Job, Part, Value
from bomcheck.model.line import SURPLUS, WORK
from bomcheck.supply.balance import balance
from bomcheck.supply.counting import per_unit

BORE = Demand("machining", 1, said="Bore the hat to 60.2 mm", used_at="machine shop")
HOURS = Demand("labour", 0.5, unit="hour", said="move the weights", used_at="wheel")


def job(box: tuple[Part, ...] = (), prices: tuple[Part, ...] = ()) -> Job:
    """Two corners, and what is there."""
    return Job({"corners": Value("corners", 2)}, box=box, prices=prices)


@pytest.mark.parametrize(("demand", "unit", "need"), [(BORE, "each", 2), (HOURS, "hour", 1)])
def test_a_box_cannot_hold_work(demand: Demand, unit: str, need: float) -> None:
    """What somebody typed into the box as machining or labour is reported; the work stays to be done."""
    work, extra = balance(job(box=(Part(demand.role, "X", quantity=5.0, unit=unit),)), [demand])
    assert (work.status, work.needed, work.to_order, work.in_kit) == (WORK, need, need, 0)
    assert (extra.status, extra.in_kit, extra.note.split(";")[0]) == (SURPLUS, 5.0, "Work is no part of a box")


@pytest.mark.parametrize("unit", ["each", "hour", "", "L"])
def test_a_price_for_machining_is_read(unit: str) -> None:
    """A machine shop's line of the price list, however it is counted: the two jobs are still asked for."""
    offer = Part("machining", "M-1", "bore a hat", "Machine shop", unit=unit, unit_price=45.0)
    (line,) = balance(job(prices=(offer,)), [BORE])
    assert (line.needed, line.to_order) == (2, 2)
    assert line.line_total in (None, 90.0)


def test_jobs_are_counted_in_pieces() -> None:
    """One job is one; an hour says nothing about how many jobs it is."""
    assert per_unit("machining", "each", "job") == 1.0
    assert per_unit("machining", "hour", "job") is None
