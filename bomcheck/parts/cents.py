"""Amounts of money rounded as spreadsheets do, so that what is stored is what is worked out."""

from decimal import ROUND_HALF_UP, Decimal


def cents(value: float) -> float:
    """Rounded as a spreadsheet's ROUND(x, 2) does: half up, of the 15 digits that a spreadsheet holds.

    >>> cents(1.005), cents(3 * 1.115)
    (1.01, 3.35)
    """
    return float(Decimal(f"{value:.15g}").quantize(Decimal("0.01"), ROUND_HALF_UP))
