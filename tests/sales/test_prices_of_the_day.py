"""Prices on the sale's and the order's form: left as shown they follow the list of the day, else they stand."""

from datetime import date
from typing import Any

import pytest
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import Sold, sell, set_own_price
from ledger.sales.models import Order, Sale
from tests.factories.pricing import OfferFactory, StallFactory
from tests.factories.sales import CustomerFactory, Ready, ready
from tests.sales.forms import fill, shown

MADE, ON, DEARER = date(2024, 1, 1), date(2024, 9, 7), date(2024, 10, 1)


@pytest.fixture
def stall(owner: User) -> Ready:
    """Twenty bunches by a stall: 3.00, from ten 2.50, and 4.00 from October on."""
    return _priced(owner, ready(20), StallFactory())


@pytest.fixture
def trade(owner: User) -> Ready:
    """Twenty bunches to trade: 3.00, from ten 2.50, and 4.00 from October on."""
    stock = ready(20)
    return _priced(owner, stock, stock.way)


def _priced(owner: User, stock: Ready, way: Any) -> Ready:
    for on, amount, at_least in ((MADE, 300, 1), (MADE, 250, 10), (DEARER, 400, 1)):
        set_price(by=owner, way=way, line=stock.line, on=on, amount=amount, at_least=at_least)
    return Ready(stock.line, stock.batch, stock.box, way)


def sold(client: Any, stall: Ready, n: int, **typed: Any) -> tuple[int, int]:
    """(price of one, off) of a sale filled in on its page for the September day."""
    fill(client, reverse("sales:sell"), on=ON, **{f"n_{stall.line.pk}": n, **typed})
    return Sale.objects.order_by("-pk")[0].lines.values_list("price", "off").get()


def ordered(client: Any, trade: Ready, n: int, **typed: Any) -> int:
    """The price of one of an order filled in on its page for the September day."""
    given = {"customer": CustomerFactory().pk, "on": ON, f"asked_{trade.line.pk}": n, **typed}
    fill(client, f"{reverse('sales:take_order')}?way={trade.way.pk}", **given)
    return Order.objects.order_by("-pk")[0].lines.get().price


def test_a_sale_of_an_earlier_day_takes_the_list_of_that_day(stall: Ready, owner: User, client_as) -> None:
    """The form shows 4.00; left so, it was 3.00 in September, 2.50 for ten, and 8.00 for three by the offer."""
    client, price = client_as(owner), f"price_{stall.line.pk}"
    assert shown(client, reverse("sales:sell"))[price] == "4.00"
    assert (sold(client, stall, 1), sold(client, stall, 10)) == ((300, 0), (250, 0))
    OfferFactory(way=stall.way, on=MADE, quantity=3, amount=800, lines=[stall.line])
    assert sold(client, stall, 3) == (300, 100)


def test_a_sale_of_an_earlier_day_takes_the_own_price(stall: Ready, owner: User, client_as) -> None:
    """2.80 own for a named customer, though the list of the day says 3.00."""
    customer = CustomerFactory(trade=False)
    set_own_price(by=owner, customer=customer, way=stall.way, line=stall.line, on=MADE, amount=280)
    assert sold(client_as(owner), stall, 1, customer=customer.pk) == (280, 0)


def test_what_the_page_showed_counts_though_the_list_changed_since(stall: Ready, owner: User, client_as) -> None:
    """Opened at 4.00 and sent untouched after the list went to 5.00: still none of its own, 3.00 in September."""
    client, price = client_as(owner), f"price_{stall.line.pk}"
    assert f'name="initial-{price}" value="4.00"' in client.get(reverse("sales:sell")).content.decode()
    set_price(by=owner, way=stall.way, line=stall.line, on=date(2024, 11, 1), amount=500)
    assert sold(client, stall, 1, **{price: "4.00", f"initial-{price}": "4.00"}) == (300, 0)
    assert sold(client, stall, 1, **{price: "4.00", f"initial-{price}": "5.00"}, why="end") == (400, 0)


def test_a_price_typed_over_or_ticked_stands(stall: Ready, owner: User, client_as) -> None:
    """3.00 typed for ten, where the step says 2.50, is 3.00; ticked, the shown 4.00 is."""
    client, price = client_as(owner), f"price_{stall.line.pk}"
    assert sold(client, stall, 10, **{price: "3.00"}) == (300, 0)
    assert sold(client, stall, 1, as_shown="on") == (400, 0)


def test_before_the_list_began_the_tick_takes_what_is_shown(owner: User, client_as) -> None:
    """Listed from October only: a September sale left as shown has no price and is refused; ticked it is the shown 4.00."""
    stock, way = ready(20), StallFactory()
    set_price(by=owner, way=way, line=stock.line, on=DEARER, amount=400)
    client, stall = client_as(owner), Ready(stock.line, stock.batch, stock.box, way)
    assert fill(client, reverse("sales:sell"), on=ON, **{f"n_{stock.line.pk}": 1}).status_code == 422
    assert sold(client, stall, 1, as_shown="on") == (400, 0)


def test_an_order_of_an_earlier_day_takes_the_list_of_that_day(trade: Ready, owner: User, client_as) -> None:
    """Left as shown 3.00, and 2.50 for ten; typed over 3.00; ticked the 4.00 shown."""
    client, price = client_as(owner), f"price_{trade.line.pk}"
    assert [ordered(client, trade, n) for n in (1, 10)] == [300, 250]
    assert ordered(client, trade, 3, **{price: "3.50"}) == 350
    assert ordered(client, trade, 1, as_shown="on") == 400


def test_the_list_price_really_taken_is_recorded(stall: Ready, owner: User) -> None:
    """Ten at 3.00 each, given, are 3.00 each whatever the step says; none given, 2.50."""
    taken = [
        sell(by=owner, on=ON, way=stall.way, lines=[Sold(10, line=stall.line, price=price)]).lines.get().price
        for price in (300, None)
    ]
    assert taken == [300, 250]
