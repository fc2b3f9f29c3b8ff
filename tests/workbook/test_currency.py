"""The currency of a job: one code of ISO 4217, or a sign that only one currency has."""

import pytest

from bomcheck.io.read.value import SIGNS, read_currency
from bomcheck.model.errors import Unreadable
from bomcheck.tables import rows
from tests.workbook.reading import only_fault, read, read_row


@pytest.mark.parametrize(
    ("typed", "code"), [("EUR", "EUR"), (" eur ", "EUR"), ("€", "EUR"), ("£", "GBP"), ("CHF", "CHF"), ("usd", "USD")]
)
def test_one_currency(typed: str, code: str) -> None:
    """Codes: ISO 4217, from memory."""
    job = read_row("currency", typed)
    assert (job.get("currency"), job.faults) == (code, ())


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("EUR USD", "three letters"),
        ("EUR/USD", "three letters"),
        ("euros", "three letters"),
        ("QQQ", "three letters"),
        ("XXX", "three letters"),
        ("$", "USD, CAD"),
        ("kr", "SEK, NOK or DKK"),
        ("¥", "JPY or CNY"),
    ],
)
def test_no_currency_or_several(typed: str, says: str) -> None:
    """One line that names the cell; prices without a currency are no trouble besides."""
    job = read_row("currency", typed)
    fault = only_fault(job)
    assert (fault.key, fault.typed, fault.stops, fault.place.sheet) == ("currency", typed, True, "Job")
    assert says in fault.instead
    assert job.get("currency") is None


def test_blank_is_none_stated() -> None:
    """A currency may be left blank."""
    assert read(job={"currency": None}).faults == ()


def test_every_meaning_of_a_sign_is_a_code() -> None:
    """And is read."""
    for code in (code for meant in SIGNS.values() for code in meant):
        assert read_currency(code) == code


def test_codes_are_three_letters_once_each() -> None:
    """No code for gold, tests or none (ISO 4217: XAU, XTS, XXX)."""
    codes = [row["code"] for row in rows("currencies")]
    assert len(set(codes)) == len(codes) > 150
    assert all(len(code) == 3 and code.isalpha() and code.isupper() for code in codes)
    for code in ("XAU", "XTS", "XXX"):
        with pytest.raises(Unreadable):
            read_currency(code)
