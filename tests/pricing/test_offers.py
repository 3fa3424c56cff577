"""Offers: made, ended, undone, and their pages."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import add_offer, end_offer, set_price, undo_offer, undo_offer_end
from ledger.pricing.models import Offer
from ledger.sales.actions import Sold, sell, undo_sale
from tests.factories.pricing import OfferFactory, StallFactory, TradeFactory
from tests.factories.sales import ready
from tests.factories.stock import LineFactory
from tests.refusals import refused
from tests.sales.forms import fill

MAY, JUNE = date(2024, 5, 1), date(2024, 6, 1)


def test_an_offer_holds_from_its_day_to_its_last(owner: User) -> None:
    """From May until 1 June, that day included; the day after no more."""
    offer = OfferFactory(on=MAY, until=JUNE)
    days = [date(2024, 4, 30), MAY, JUNE, date(2024, 6, 2)]
    assert [offer in Offer.objects.open_on(on) for on in days] == [False, True, True, False]


def test_an_offer_ended_holds_no_longer_from_that_day(owner: User) -> None:
    """Ended on 1 June it holds on 31 May; the ending undone, it holds again; ended twice is refused."""
    offer = OfferFactory(on=MAY)
    end = end_offer(by=owner, offer=offer, on=JUNE)
    assert [offer in Offer.objects.open_on(on) for on in (date(2024, 5, 31), JUNE)] == [True, False]
    with refused("already_ended"):
        end_offer(by=owner, offer=offer, on=date(2024, 7, 1))
    with refused("rested_on"):
        undo_offer(by=owner, offer=offer)
    undo_offer_end(by=owner, end=end)
    assert offer in Offer.objects.open_on(JUNE)


def test_it_ends_after_it_began_and_before_its_last_day(owner: User) -> None:
    """On its first day it is to be undone; after its last it has ended; one undone is not ended."""
    offer = OfferFactory(on=MAY, until=JUNE)
    with refused("too_early"):
        end_offer(by=owner, offer=offer, on=MAY)
    with refused("past"):
        end_offer(by=owner, offer=offer, on=date(2024, 6, 2))
    undo_offer(by=owner, offer=offer)
    with refused("undone"):
        end_offer(by=owner, offer=offer, on=date(2024, 5, 15))


def test_an_offer_sold_by_stands(owner: User) -> None:
    """While a sale rests on it, it is neither undone nor ended before that sale; the sale undone, it may be."""
    stock, way = ready(20), StallFactory()
    set_price(by=owner, way=way, line=stock.line, on=MAY, amount=450)
    offer = OfferFactory(way=way, on=MAY, lines=[stock.line])
    sale = sell(by=owner, on=date(2024, 9, 7), way=way, lines=[Sold(3, line=stock.line)])
    with refused("rested_on"):
        undo_offer(by=owner, offer=offer)
    with refused("rested_on"):
        end_offer(by=owner, offer=offer, on=date(2024, 9, 7))
    undo_sale(by=owner, sale=sale)
    undo_offer(by=owner, offer=offer)
    assert not Offer.objects.open_on(date(2024, 9, 7)).exists()


@pytest.mark.parametrize(
    ("code", "given"),
    [("no_lines", {"lines": []}), ("too_few", {"quantity": 1}), ("too_few", {"amount": 0}),
     ("too_early", {"until": date(2024, 4, 30)}), ("not_yet", {"on": date(2999, 1, 1)})],
)
def test_an_offer_that_cannot_be_is_refused(code: str, given: dict, owner: User) -> None:
    """Of no line, of one, for nothing, ending before it begins, of a day that has not come."""
    with refused(code):
        OfferFactory(**{"on": MAY, **given})


def test_a_line_named_twice_and_trade_are_refused(owner: User) -> None:
    """Trade has quantity steps."""
    line = LineFactory()
    with refused("twice"):
        OfferFactory(lines=[line, line])
    with refused("trade"):
        OfferFactory(way=TradeFactory())


def test_the_second_press_makes_one_offer(owner: User) -> None:
    """The same form's key gives the first offer again."""
    given = {"by": owner, "key": "k" * 36, "way": StallFactory(), "on": MAY, "name": "Pair", "quantity": 2, "amount": 800,
             "lines": [LineFactory()]}
    assert add_offer(**given) == add_offer(**given)
    assert Offer.objects.count() == 1


def test_neither_hand_nor_bookkeeper_makes_offers(hand: User, bookkeeper: User, owner: User) -> None:
    """Prices are for owner and seller."""
    way, line = StallFactory(), LineFactory()
    for who in (hand, bookkeeper):
        with pytest.raises(PermissionDenied):
            add_offer(by=who, way=way, on=MAY, name="Pair", quantity=2, amount=800, lines=[line])


def test_an_offer_from_its_making_to_its_ending_on_the_pages(owner: User, client_as) -> None:
    """Made, shown on the list and on the way's price list, ended; the list says so."""
    client, way, line = client_as(owner), StallFactory(), LineFactory()
    set_price(by=owner, way=way, line=line, on=MAY, amount=450)
    sent = {"way": way.pk, "name": "Three for 12.00", "amount": "12", "lines": [line.pk], "on": "2024-05-01"}
    url = fill(client, reverse("pricing:add_offer"), **sent).headers["Location"]
    offer = Offer.objects.get()
    assert (offer.quantity, offer.amount, offer.lines.get().line) == (3, 1200, line)
    shown = client.get(reverse("pricing:price_list", args=[way.pk])).content.decode()
    assert "Three for 12.00" in shown and "any 3 together for" in shown

    fill(client, reverse("pricing:end_offer", args=[offer.pk]), on="2024-06-01")
    assert "holds no longer from" in client.get(url).content.decode()
    assert "ended" in client.get(reverse("pricing:offers")).content.decode()
