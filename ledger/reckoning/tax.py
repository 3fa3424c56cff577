"""Tax on sales and purchases, in whole minor units, rates in basis points."""

from ledger.reckoning.taking import proportion

WHOLE_BP = 10_000


def tax_on(net: int, rate_bp: int) -> int:
    """Return the tax on a net sum, halves away from zero.

    One sum per rate, never line by line, so that tax agrees with the total it
    stands under (EN 16931, BR-CO-17). Raises ValueError for a negative rate.

    >>> tax_on(1026, 2000), tax_on(-1026, 2000)
    (205, -205)
    """
    return proportion(net, _rate(rate_bp), WHOLE_BP)


def tax_within(gross: int, rate_bp: int) -> int:
    """Return the tax a sum with tax holds, halves away from zero.

    >>> tax_within(550, 2000)
    92
    """
    return proportion(gross, _rate(rate_bp), WHOLE_BP + rate_bp)


def _rate(rate_bp: int) -> int:
    if rate_bp < 0:
        raise ValueError(f"a rate of tax cannot be {rate_bp}")
    return rate_bp


def credit_tax(credited_net_before: int, tax_before: int, net: int, rate_bp: int) -> int:
    """Return the tax of one more credit of `net` to an invoice.

    The tax on all credits so far less the tax already credited, so that
    credits in any parts give back exactly the tax of the whole.

    >>> credit_tax(0, 0, 513, 2000), credit_tax(513, 103, 513, 2000)
    (103, 102)
    """
    return tax_on(credited_net_before + net, rate_bp) - tax_before


def purchase_cost(net: int, tax: int, *, recoverable: bool) -> int:
    """Return what a purchase costs: net, and the tax that does not come back."""
    return net if recoverable else net + tax
