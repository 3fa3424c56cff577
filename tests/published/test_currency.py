"""ISO 4217 minor units against a published table; sources in examples.json."""

from ledger.reckoning.currency import minor_digits


def test_cu_01_digits(published):
    """Pound and euro have two, yen none, Bahraini dinar three."""
    codes, digits = published["CU-01"]["inputs"], published["CU-01"]["expected"]
    assert [minor_digits(code) for code in codes] == digits
