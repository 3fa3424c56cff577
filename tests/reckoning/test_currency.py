"""Currencies and written amounts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.currency import ACTIVE, NOT_TWO_DIGITS, format_minor, minor_digits, parse_minor


@pytest.mark.parametrize(
    ("code", "digits"), [("GBP", 2), ("USD", 2), ("ISK", 0), ("XAF", 0), ("KWD", 3), ("TND", 3), ("CLF", 4), ("UYW", 4)]
)
def test_digits_of_the_minor_unit(code, digits):
    """Most have two, some none, three or four."""
    assert minor_digits(code) == digits


def test_every_exception_is_a_currency_in_use():
    """The table of other exponents names no code the list lacks."""
    assert set(NOT_TWO_DIGITS) <= ACTIVE
    assert all(len(code) == 3 and code.isupper() for code in ACTIVE)


@pytest.mark.parametrize("code", ["", "gbp", "XXX", "XAU", "DEM", "HRK", "ZZZ"])
def test_other_codes_are_refused(code):
    """Small letters, metals, test codes and money gone out of use are none."""
    with pytest.raises(ValueError, match="not the code of a currency in use"):
        minor_digits(code)


@pytest.mark.parametrize(
    ("amount", "digits", "text"),
    [
        (1234, 2, "12.34"),
        (-5, 2, "-0.05"),
        (0, 2, "0.00"),
        (100, 2, "1.00"),
        (12, 0, "12"),
        (-12, 0, "-12"),
        (5, 3, "0.005"),
        (-12345, 4, "-1.2345"),
    ],
)
def test_amounts_are_written_plainly(amount, digits, text):
    """A dot, as many decimals as the currency has, no grouping."""
    assert format_minor(amount, digits) == text


@pytest.mark.parametrize(
    ("text", "digits", "amount"),
    [
        ("12", 2, 1200),
        ("12.3", 2, 1230),
        ("12,30", 2, 1230),
        ("12.34", 2, 1234),
        (" 12.34 ", 2, 1234),
        ("-0.05", 2, -5),
        ("-12", 0, -12),
        ("007", 0, 7),
        ("1,234", 3, 1234),
        ("0", 2, 0),
    ],
)
def test_written_amounts_are_read(text, digits, amount):
    """Dot or comma, short decimals filled up."""
    assert parse_minor(text, digits) == amount


@pytest.mark.parametrize(
    "text",
    ["", "-", "abc", "1 000", "1,234.50", "1.234,50", "12.", ".5", "+5", "1e3", "--5", "5-", "£5", "٣", "12.3.4"],
)
def test_what_is_no_amount_is_refused(text):
    """Grouping, signs of money, words and half-written decimals are not guessed at."""
    with pytest.raises(ValueError, match="is not an amount"):
        parse_minor(text, 2)


@pytest.mark.parametrize(("text", "digits"), [("12.345", 2), ("1,234", 2), ("12.0", 0)])
def test_decimals_the_currency_lacks_are_refused(text, digits):
    """1,234 in a currency of two decimals may have been meant as thousands."""
    with pytest.raises(ValueError, match=f"has more than {digits} decimals"):
        parse_minor(text, digits)


@given(amount=st.integers(-(10**15), 10**15), digits=st.integers(0, 4))
def test_what_is_written_is_read_back(amount, digits):
    """Writing and reading lose nothing, with either decimal sign."""
    text = format_minor(amount, digits)
    assert parse_minor(text, digits) == parse_minor(text.replace(".", ","), digits) == amount
