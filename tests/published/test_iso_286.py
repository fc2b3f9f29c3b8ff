"""Pilot fits against ISO 286-2, through the pressfit package (test extra) and figures that two packages agree on.

Figures: 54.1 H9/h8 0 to 0.120 mm; 66.6 H7/h6 0 to 0.049 mm; 72.6 H7/g6 0.010 to 0.059 mm (ISO 286-2, hole basis).
"""

import pytest
from pressfit import fit

from bomcheck.assess import assess
from tests.helpers.jobs import finding, good_job

FITS = [("H9/h8", 54.1, 0.0, 0.120), ("H7/h6", 66.6, 0.0, 0.049), ("H7/g6", 72.6, 0.010, 0.059)]


@pytest.mark.parametrize(("spec", "size", "least", "most"), FITS)
def test_clearances_of_the_standard(spec: str, size: float, least: float, most: float) -> None:
    """The package gives the standard's least and greatest clearance."""
    found = fit(spec, size)
    assert (found.hole_ei_um - found.shaft_es_um) / 1000 == pytest.approx(least, abs=5e-4)
    assert (found.hole_es_um - found.shaft_ei_um) / 1000 == pytest.approx(most, abs=5e-4)


@pytest.mark.parametrize(("spec", "size"), [("H7/g6", 66.5), ("H8/f7", 66.5), ("H9/h8", 54.1)])
def test_pilot_fit_spans_the_clearances_of_the_standard(spec: str, size: float) -> None:
    """Bore and pilot in the middle of their fields, ± half of each field: the check's range is the standard's clearance."""
    found = fit(spec, size)
    bore = size + (found.hole_ei_um + found.hole_es_um) / 2000
    pilot = size + (found.shaft_ei_um + found.shaft_es_um) / 2000
    half_bore = (found.hole_es_um - found.hole_ei_um) / 2000
    half_pilot = (found.shaft_es_um - found.shaft_ei_um) / 2000
    job = good_job(hat_bore=(bore, half_bore), hub_pilot_diameter=(pilot, half_pilot))
    value = finding("pilot_fit", assess(job)).value
    assert value is not None
    assert value.low == pytest.approx((found.hole_ei_um - found.shaft_es_um) / 1000, abs=1e-6)
    assert value.high == pytest.approx((found.hole_es_um - found.shaft_ei_um) / 1000, abs=1e-6)
