"""Ways of selling and prices, made by the stage's own verbs."""

from datetime import date

import factory

from ledger.pricing import actions
from ledger.pricing.models import Offer, Price, Way, WayTerms

from .drying import ByOwner
from .stock import LineFactory


class StallFactory(ByOwner):
    """A retail way: prices with tax."""

    class Meta:
        model = Way

    name = factory.Sequence(lambda n: f"Market stall {n}")
    with_tax = True
    trade = False
    _act = staticmethod(actions.add_way)


class TradeFactory(ByOwner):
    """A way to trade customers on order: prices net."""

    class Meta:
        model = Way

    name = factory.Sequence(lambda n: f"Florists {n}")
    with_tax = False
    trade = True
    _act = staticmethod(actions.add_way)


class TermsFactory(ByOwner):
    class Meta:
        model = WayTerms

    way = factory.SubFactory(StallFactory)
    on = date(2024, 1, 1)
    margin_bp = 3000
    _act = staticmethod(actions.set_terms)


class PriceFactory(ByOwner):
    class Meta:
        model = Price

    way = factory.SubFactory(StallFactory)
    line = factory.SubFactory(LineFactory)
    on = date(2024, 1, 1)
    amount = 550
    _act = staticmethod(actions.set_price)


class OfferFactory(ByOwner):
    """Three of one line for 12.00 at a stall."""

    class Meta:
        model = Offer

    way = factory.SubFactory(StallFactory)
    on = date(2024, 1, 1)
    name = "Three for 12.00"
    quantity = 3
    amount = 1200
    lines = factory.LazyFunction(lambda: [LineFactory()])
    _act = staticmethod(actions.add_offer)
