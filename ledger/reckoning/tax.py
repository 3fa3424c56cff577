"""Tax on sales and purchases, in whole minor units, rates in basis points."""

from collections.abc import Sequence

from ledger.reckoning.sharing import share_out
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


def net_and_tax(amounts: Sequence[int], rate_bp: int, *, with_tax: bool) -> list[tuple[int, int]]:
    """Return the net and the tax of each of the amounts of one paper or sale.

    Amounts `with_tax` hold it, others are net. The tax is that of the sum, shared by amount, largest remainders first.
    Raises ValueError for a negative amount or rate.

    >>> net_and_tax([50, 50, 50], 2000, with_tax=True), net_and_tax([333, 333], 1000, with_tax=False)
    ([(41, 9), (42, 8), (42, 8)], [(333, 34), (333, 33)])
    """
    whole = sum(amounts)
    taxes = share_out(tax_within(whole, rate_bp) if with_tax else tax_on(whole, rate_bp), amounts)
    return [(amount - tax if with_tax else amount, tax) for amount, tax in zip(amounts, taxes, strict=True)]


def credit_part_of_net(net: int, *, pieces: int, before: int, now: int) -> int:
    """Return the net of `now` more of so many pieces credited, of a line whose prices held their tax, `before` credited already.

    The line's net in the proportion of all pieces credited, halves up, less that of those before: all of them take back all.
    As no line's net is above its price with tax, neither is the part of some pieces above theirs.
    Raises ValueError without a piece.

    >>> [credit_part_of_net(4333, pieces=8, before=before, now=now) for before, now in ((0, 1), (1, 1), (2, 6))]
    [542, 541, 3250]
    """
    return proportion(net, before + now, pieces) - proportion(net, before, pieces)
