"""Two published tolerance stacks: worst case through our box, root-sum-square through the uncertainties package.

Convention: sizes with symmetric ±. Sources: two published worked examples of stack analysis (seen, recomputed):
40.00 ±0.10 - 25.00 ±0.05 - 2.00 ±0.03 - 10.00 ±0.05 = 3.00, worst case ±0.23, RSS ±0.126 mm;
4.020 ±0.005 - (2.000 ±0.005 + 1.500 ±0.003 + 0.500 ±0.002) = 0.020, worst case ±0.015, RSS ±0.0079 in.
"""

import pytest
from uncertainties import ufloat

from bomcheck.model.affine import Affine
from bomcheck.model.box import Box

STACKS = [
    ([(1, 40.0, 0.10), (-1, 25.0, 0.05), (-1, 2.0, 0.03), (-1, 10.0, 0.05)], 3.0, 0.23, 0.126, 5e-4),
    ([(1, 4.020, 0.005), (-1, 2.0, 0.005), (-1, 1.5, 0.003), (-1, 0.5, 0.002)], 0.020, 0.015, 0.0079, 5e-5),
]


@pytest.mark.parametrize(("rows", "middle", "worst", "rss", "digits"), STACKS)
def test_stack(rows: list[tuple[int, float, float]], middle: float, worst: float, rss: float, digits: float) -> None:
    """The range over the box is the published worst case; the package's standard deviation the published RSS."""
    value = Affine(0.0, {f"s{number}": float(sign) for number, (sign, _, _) in enumerate(rows)})
    box = Box(
        {f"s{n}": size for n, (_, size, _) in enumerate(rows)}, {f"s{n}": half for n, (*_, half) in enumerate(rows)}
    )
    found = box.range([value])
    assert found.middle == pytest.approx(middle, abs=1e-9)
    assert found.high - found.middle == pytest.approx(worst, abs=1e-9)
    assert found.middle - found.low == pytest.approx(worst, abs=1e-9)
    assert sum(sign * ufloat(size, half) for sign, size, half in rows).std_dev == pytest.approx(rss, abs=digits)
