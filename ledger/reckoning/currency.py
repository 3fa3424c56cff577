"""Currencies, and whole minor units as people write them."""

import re

ACTIVE = frozenset(
    """
    AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BOV BRL BSD BTN BWP BYN BZD
    CAD CDF CHE CHF CHW CLF CLP CNY COP COU CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP
    GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR
    KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN
    MXV MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD
    SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX
    USD USN UYI UYU UYW UZS VED VES VND VUV WST XAD XAF XCD XCG XOF XPF YER ZAR ZMW ZWG
    """.split()
)

NOT_TWO_DIGITS = {
    **dict.fromkeys("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF".split(), 0),
    **dict.fromkeys("BHD IQD JOD KWD LYD OMR TND".split(), 3),
    **dict.fromkeys("CLF UYW".split(), 4),
}

WRITTEN = re.compile(r"(?P<sign>-?)(?P<major>[0-9]+)(?:[.,](?P<minor>[0-9]+))?")


def minor_digits(code: str) -> int:
    """Return how many decimals a currency's minor unit has (ISO 4217).

    Raises ValueError for a code that is not an active currency's.

    >>> minor_digits("EUR"), minor_digits("JPY"), minor_digits("BHD")
    (2, 0, 3)
    """
    if code not in ACTIVE:
        raise ValueError(f"{code!r} is not the code of a currency in use")
    return NOT_TWO_DIGITS.get(code, 2)


def format_minor(amount: int, digits: int) -> str:
    """Return minor units as a plain decimal with a dot and no grouping.

    >>> format_minor(1234, 2), format_minor(-5, 2), format_minor(1234, 0)
    ('12.34', '-0.05', '1234')
    """
    sign = "-" if amount < 0 else ""
    major, minor = divmod(abs(amount), 10**digits)
    return f"{sign}{major}.{minor:0{digits}d}" if digits else f"{sign}{major}"


def parse_minor(text: str, digits: int) -> int:
    """Return the minor units of a written amount such as 12, 12.3 or 12,30.

    A dot or a comma is the decimal sign; there is no grouping. Raises
    ValueError, saying why, for anything else and for decimals the currency
    does not have.

    >>> parse_minor("12,3", 2), parse_minor("-0.05", 2)
    (1230, -5)
    """
    written = WRITTEN.fullmatch(text.strip())
    if written is None:
        raise ValueError(f"{text!r} is not an amount: digits, with at most one dot or comma before the decimals")
    minor = written["minor"] or ""
    if len(minor) > digits:
        raise ValueError(f"{text!r} has more than {digits} decimals (thousands are written without a sign)")
    amount = int(written["major"] + minor.ljust(digits, "0"))
    return -amount if written["sign"] else amount
