"""The columns of the Quote: what the customer gets is printed, what the shop types and reads stands to the right of it."""

from bomcheck.workbook.sheets.kept import FIGURE as FIGURE_HEADING
from bomcheck.workbook.sheets.kept import KEY_HEADING

ITEM, DETAIL, QUANTITY, PRICE, TOTAL, SHOP, FIGURE, USUAL, USED, KEY = range(10)
HEADINGS = (
    "Item",
    "What it is",
    "Quantity",
    "Rate",
    "Total",
    "For the shop, not printed",
    FIGURE_HEADING,
    "Usual",
    "Counts",
    KEY_HEADING,
)
FIGURES = (QUANTITY, PRICE, TOTAL, FIGURE, USUAL, USED)
WIDTHS = (40, 46, 11, 10, 12, 46, 10, 10, 10, 3)
LAST_PRINTED = TOTAL
HOURS, PERCENT, MONEY = 'General" h"', 'General" %"', "#,##0.00"
COUNT_LOOKS = ("cell", "right", "small")
"""Of quantities. Smaller than money on purpose: LibreOffice drops the indent of a figure whose left neighbour differs from it
in the number format alone, and money would then not stand below money."""

UNLESS_NONE = f"{MONEY};-{MONEY};"
"""Money, and nothing where it is 0.00."""

Value = float | str


def number(value: Value) -> float:
    """A cell's value in a sum; a text counts nothing."""
    return float(value) if isinstance(value, int | float) else 0.0
