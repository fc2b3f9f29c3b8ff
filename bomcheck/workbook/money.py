"""Prices as people type them: 12.5, "12.50 EUR", "€12.50". No currency is ever converted."""

import re

from bomcheck import notation
from bomcheck.errors import Unreadable
from bomcheck.notation.clean import refuse
from bomcheck.notation.number import decimal
from bomcheck.tables import rows
from bomcheck.workbook.cells import Cell

SIGNS = {
    "€": ("EUR",),
    "£": ("GBP",),
    "$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD"),
    "¥": ("JPY", "CNY"),
    "kr": ("SEK", "NOK", "DKK"),
}
"""What a sign may stand for, by ISO 4217."""

TYPE = "Type the number alone, in the currency of the Job sheet"
_MONEY = re.compile(
    r"(?P<before>[^\d\s.,+-]{1,4})?\s*(?P<number>[+-]?[\d.,' ]*\d[.,]?-?)\s*(?P<behind>[^\d\s.,+-]{1,4})?"
)


CURRENCY = "Type the three letters of one currency, such as EUR, GBP or USD"


def read_currency(typed: str) -> str:
    """The ISO 4217 code of a currency, from its three letters or a sign that only one has. Raises Unreadable.

    >>> read_currency("eur"), read_currency("€")
    ('EUR', 'EUR')
    """
    text = notation.plain(typed)
    if text.upper() in {row["code"] for row in rows("currencies")}:
        return text.upper()
    meant = SIGNS.get(text.lower(), ())
    if len(meant) == 1:
        return meant[0]
    if meant:
        wrong, instead = "this sign stands for several currencies", f"Type {', '.join(meant[:-1])} or {meant[-1]}"
        raise refuse(typed, wrong, instead)
    raise refuse(typed, "this is not the code of one currency", CURRENCY)


def read_money(cell: Cell, currency: str) -> float | None:
    """A price; raises Unreadable for another currency than that of the job, and for what is no price."""
    if cell.kind == "number" and isinstance(cell.value, float):
        return cell.value
    if cell.kind == "bool":
        raise Unreadable("unreadable text", cell.text, "this is no price", TYPE)
    text = notation.plain(cell.text)
    if notation.is_blank(text):
        return None
    found = _MONEY.fullmatch(text)
    value = decimal(found["number"].rstrip("-").rstrip(".,")) if found else None
    if found is None or value is None or (found["before"] and found["behind"]):
        raise Unreadable("unreadable text", cell.text, "this cannot be read as one price", TYPE)
    typed = found["before"] or found["behind"]
    if typed:
        refuse_other_currency(cell.text, typed, currency)
    return value


def refuse_other_currency(text: str, typed: str, currency: str) -> None:
    """Raises Unreadable where a price names another currency than the job, or the job names none."""
    if typed.upper() == currency.upper() or currency.upper() in SIGNS.get(typed.lower(), ()):
        return
    if not currency:
        raise Unreadable(
            "unit missing",
            text,
            "this names a currency, but the Job sheet states none",
            "Type the currency on the Job sheet",
        )
    wrong = f"this price is not in {currency.upper()}, the currency of the Job sheet, and is not converted"
    raise Unreadable("entries disagree", text, wrong, f"Type the price in {currency.upper()}")
