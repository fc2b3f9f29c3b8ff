"""The Limits sheet: own figures replace the house's, side by side with it."""

import pytest

from bomcheck.model.job import Job
from bomcheck.model.limits import SHEET, house_limits, limit_for
from tests.faulty.making import Put, address, number, text, with_cells
from tests.workbook.reading import job_bytes, only_fault, read, read_bytes, read_cells

PILOT = house_limits()["pilot_clearance"]
STEEL = house_limits()["screw_engagement_steel"]


def typed(title: str, **cells: Put) -> Job:
    """The good job with cells of a limit's row; headings with "_" for a space."""
    named = {f"Limits!{address('Limits', title, heading.replace('_', ' '))}": put for heading, put in cells.items()}
    return read_cells(named)


def test_a_side_that_is_left_blank_keeps_the_house() -> None:
    """Only the high bound is replaced; the finding's limit then says that the Limits sheet rules."""
    job = read(limits={"pilot_clearance": (None, 0.3)})
    assert not job.faults
    limit = limit_for("pilot_clearance", job)
    assert (limit.low, limit.high, limit.ruled_by) == (PILOT.low, 0.3, SHEET)
    assert set(job.limits) == {"pilot_clearance"}


def test_an_inch_job_shows_and_reads_inches() -> None:
    """Nothing typed: no word. Own figures with their unit hold exactly, bare ones count in the row's inches: 0.006 in is 0.1524 mm."""
    job = read("inch", limits={"pilot_clearance": (None, 0.3)})
    assert job.faults == read("inch").faults
    assert limit_for("pilot_clearance", job).high == 0.3
    at = address("Limits", PILOT.title, "Your high")
    bare = read_bytes(with_cells({f"Limits!{at}": number(0.006)}, job_bytes("inch")))
    assert limit_for("pilot_clearance", bare).high == pytest.approx(0.1524)
    high = address("Limits", PILOT.title, "High")
    over = read_bytes(with_cells({f"Limits!{high}": number(0.009)}, job_bytes("inch")))
    assert "the usual limit here is 0.2 mm" in over.faults[-1].wrong


@pytest.mark.parametrize(
    ("put", "ratio"),
    [(number(65), None), (text("65"), None), (number(1.2), None), (text("65 %"), 0.65), (number(0.65), 0.65)],
)
def test_a_part_of_the_whole_is_not_typed_in_percent(put: Put, ratio: float | None) -> None:
    """65 for 65 % would allow 6500 %; a figure with its sign is read."""
    job = typed(house_limits()["master_stroke_use"].title, Your_high=put)
    if ratio is None:
        assert "a part of the whole belongs here" in only_fault(job).wrong
    else:
        assert job.limits["master_stroke_use"].high == pytest.approx(ratio)


def test_none_takes_a_bound_away() -> None:
    """The word "none" means no bound on that side."""
    job = typed(PILOT.title, Your_high=text("none"))
    assert (job.limits["pilot_clearance"].low, job.limits["pilot_clearance"].high) == (PILOT.low, None)


@pytest.mark.parametrize(
    ("put", "mm"), [(number(0.25), 0.25), (text("0.25"), 0.25), (text("10 thou"), 0.254), (text("0.01 in"), 0.254)]
)
def test_a_figure_in_any_unit_of_its_kind(put: Put, mm: float) -> None:
    """1 thou = 0.0254 mm."""
    assert typed(PILOT.title, Your_high=put).limits["pilot_clearance"].high == pytest.approx(mm)


def test_the_unit_cell_is_honoured_or_refused() -> None:
    """Inches beside the figure convert it; a unit that a plain multiple cannot have is refused, not read past."""
    assert typed(PILOT.title, Your_high=number(0.01), Unit=text("in")).limits["pilot_clearance"].high == pytest.approx(
        0.254
    )
    fault = only_fault(typed(STEEL.title, Your_low=number(12), Unit=text("mm")))
    assert (fault.kind, fault.stops) == ("unknown unit", True)
    assert typed(STEEL.title, Your_low=number(1.2)).limits["screw_engagement_steel"].low == 1.2


def test_out_of_order_is_not_used() -> None:
    """Low above high, also where one of them is the house's: named, and the house rules."""
    job = read(limits={"pilot_clearance": (0.5, None)})
    assert (only_fault(job).kind, job.limits) == ("entries disagree", {})


def test_a_title_that_is_nearly_right() -> None:
    """Did you mean: the figure beside it is not used."""
    cell = address("Limits", PILOT.title, "What")
    own = address("Limits", PILOT.title, "Your high")
    fault = only_fault(read_cells({f"Limits!{cell}": text(PILOT.title[:-3]), f"Limits!{own}": number(0.3)}))
    assert (fault.kind, fault.place.cell, fault.stops) == ("unknown label", cell, True)
    assert PILOT.title in fault.instead


def test_a_title_twice_is_not_used() -> None:
    """Two rows for one limit, both filled in: neither is used."""
    own = address("Limits", PILOT.title, "Your high")
    cells = {own: number(0.3), "A300": text(PILOT.title), "F300": number(0.4)}
    job = read_cells({f"Limits!{cell}": put for cell, put in cells.items()})
    assert (only_fault(job).kind, job.limits) == ("label used twice", {})
