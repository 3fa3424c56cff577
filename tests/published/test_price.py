"""Markup and margin against published definitions; sources in examples.json."""

from decimal import Decimal

from ledger.reckoning.price import (
    margin_of,
    margin_of_markup,
    markup_of,
    markup_of_margin,
    price_at_margin,
    price_at_markup,
)


def bp(percent):
    """A printed percentage in basis points."""
    return int(Decimal(percent) * 100)


def test_mm_01_markup_and_margin(published):
    """100 sold at 125 and 80 at 100 are both a 25 % markup and a 20 % margin."""
    inputs, expected = published["MM-01"]["inputs"], published["MM-01"]["expected"]
    for sale, answer in list(zip(inputs, expected, strict=True))[:2]:
        cost, price = int(sale["cost"]), int(sale["price"])
        assert markup_of(cost, price) == bp(answer["markup_pct"]) == markup_of_margin(bp(answer["margin_pct"]))
        assert margin_of(cost, price) == bp(answer["margin_pct"]) == margin_of_markup(bp(answer["markup_pct"]))
        assert price_at_margin(cost, bp(answer["margin_pct"])) == price


def test_mm_01_half_on_top_is_a_third_of_the_price(published):
    """40 with a 50 % markup is 60, a margin of 33.33 %."""
    sale, answer = published["MM-01"]["inputs"][2], published["MM-01"]["expected"][2]
    cost, markup = int(sale["cost"]), bp(sale["markup_pct"])
    assert price_at_markup(cost, markup) == int(answer["price"])
    assert margin_of(cost, int(answer["price"])) == bp(answer["margin_pct"]) == margin_of_markup(markup)
