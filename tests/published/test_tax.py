"""Tax on a total against the standard's own rules; sources in examples.json."""

from decimal import Decimal

from ledger.reckoning.tax import tax_on


def cents(major):
    """A printed amount in whole cents."""
    return int(Decimal(major) * 100)


def test_en_01_tax_stands_on_the_summed_net(published):
    """42.00 and 21.30 make 63.30, 20 % of it 12.66, 75.96 in all (BR-CO-10, 15 and 17)."""
    inputs, expected = published["EN-01"]["inputs"], published["EN-01"]["expected"]
    net = sum(cents(line) for line in inputs["lines"])
    tax = tax_on(net, cents(inputs["vat_rate"]))
    assert (net, tax, net + tax) == tuple(cents(expected[key]) for key in ("line_total", "vat", "gross"))
