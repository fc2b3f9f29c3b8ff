"""The shims of the Fit-up sheet in the job's units. 1 in = 25.4 mm: NIST SP 811, exact."""

import pytest

from bomcheck.model.stack import Stack
from bomcheck.paper.setting import lengths, shim_rows, stack_words
from tests.helpers.jobs import assessed


@pytest.mark.parametrize(
    ("pieces", "system", "text"),
    [
        ((), "inch", "no shims"),
        (((0.762, 1),), "inch", "0.030 in (1 x 0.030 in)"),
        (((1.0668, 1), (0.254, 2)), "inch", "0.062 in (1 x 0.042 in + 2 x 0.010 in)"),
        (((0.8, 1), (0.4, 2)), "metric", "1.60 mm (1 x 0.80 mm + 2 x 0.40 mm)"),
    ],
)
def test_a_stack_in_words(pieces: tuple[tuple[float, int], ...], system: str, text: str) -> None:
    """Thousandths of an inch from the exact sizes, not from rounded millimetres."""
    assert stack_words(Stack(pieces), system) == text


def test_a_span_may_begin_at_nothing() -> None:
    """A bare 0, as the trade writes it."""
    assert lengths((0.0, 0.762), "inch") == "0 to 0.030 in"


def test_an_inch_job_has_no_millimetres_in_its_shims() -> None:
    """Start, span and how to go on; the same stack as in mm."""
    inch, metric = shim_rows(assessed(units="inch")), shim_rows(assessed())
    assert inch
    assert len(inch) == len(metric)
    for row, same in zip(inch, metric, strict=True):
        words = f"{row.start} {row.span} {' '.join(row.adjust)}"
        assert " mm" not in words
        assert " in" in row.start or row.start == "no shims"
        assert row.start.count(" x ") == same.start.count(" x ")


def test_nothing_is_laid_under_an_axial_lug() -> None:
    """Its screws run along the axle: shims there move the caliper along, never outward."""
    assert [one.title for one in shim_rows(assessed(caliper_mount="axial lug"))] == ["Caliper centred on the rotor"]
    assert len(shim_rows(assessed())) == 2
