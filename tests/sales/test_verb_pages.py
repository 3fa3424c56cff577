"""Doing the verbs of sales on their pages."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales import actions
from ledger.sales.models import AskedChange, Invoice, Order, Packing, Sale
from tests.factories.drying import LotFactory
from tests.factories.pricing import StallFactory
from tests.factories.sales import CustomerFactory, Ready, StallDayFactory, invoiced, line_of, order_of, packed, ready, sent
from tests.factories.stock import batch_of

from .forms import fill, shown

SignIn = Callable[[User], Client]
SOLD_ON = date(2024, 9, 7)


@pytest.fixture
def stall(owner: User) -> Ready:
    """Twenty bunches in a box, at 5.50 from a market stall."""
    stock = ready(20)
    way = StallFactory()
    set_price(by=owner, way=way, line=stock.line, on=date(2024, 1, 1), amount=550)
    return Ready(stock.line, stock.batch, stock.box, way)


def test_the_sale_page_shows_the_price_list_and_sells(stall: Ready, owner: User, client_as: SignIn) -> None:
    """The price stands there already; a number beside a line sells it."""
    url = reverse("sales:sell")
    assert shown(client_as(owner), url)[f"price_{stall.line.pk}"] == "5.50"

    answer = fill(client_as(owner), url, on="2024-09-07", **{f"n_{stall.line.pk}": "3"})

    sale = Sale.objects.with_takings().get()
    assert (answer.headers["Location"], sale.taken) == (sale.get_absolute_url(), 1650)


def test_a_sale_from_a_box_takes_from_that_box(stall: Ready, owner: User, client_as: SignIn) -> None:
    """The box in the address is where the bunches come from, though older ones lie elsewhere."""
    batch_of(stall.line, 10, on=date(2024, 7, 25))

    fill(client_as(owner), f"{reverse('sales:sell')}?box={stall.box.pk}", on="2024-09-07", **{f"n_{stall.line.pk}": "3"})

    assert Sale.objects.get().takings.get().movement.box == stall.box


def test_a_sale_at_a_stall_takes_its_day_and_what_the_record_lacks(stall: Ready, owner: User, client_as: SignIn) -> None:
    """What was sold at the market is entered, also beyond what the record knows."""
    day = StallDayFactory(way=stall.way, on=SOLD_ON)

    fill(client_as(owner), f"{reverse('sales:sell')}?stall_day={day.pk}", **{f"n_{stall.line.pk}": "25"})

    sale = Sale.objects.get()
    assert (sale.on, sale.stall_day) == (SOLD_ON, day)
    assert stall.batch.movements.get(kind="found").bunches == 5


def test_fresh_stems_are_sold_on_the_same_page(stall: Ready, owner: User, client_as: SignIn) -> None:
    """Stems in water need a price of their own; without one the page says so and keeps what was typed."""
    lot, url = LotFactory(stems=100), reverse("sales:sell")

    answer = fill(client_as(owner), url, on="2024-09-07", **{f"stems_{lot.pk}": "12"})
    assert answer.status_code == 422 and 'value="12"' in answer.content.decode()
    fill(client_as(owner), url, on="2024-09-07", **{f"stems_{lot.pk}": "12", f"fresh_{lot.pk}": "0.40"})

    line = Sale.objects.get().lines.get()
    assert (line.parting.stems, line.price) == (12, 40)


def test_a_wrong_price_is_refused_beside_its_row(stall: Ready, owner: User, client_as: SignIn) -> None:
    """A price that is no amount is refused, and nothing is sold."""
    typed = {f"n_{stall.line.pk}": "3", f"price_{stall.line.pk}": "cheap"}

    answer = fill(client_as(owner), reverse("sales:sell"), on="2024-09-07", **typed)

    assert answer.status_code == 422 and f"price_{stall.line.pk}" in answer.context["form"].errors
    assert not Sale.objects.exists()


def test_the_second_press_finds_the_first_sale(stall: Ready, owner: User, client_as: SignIn) -> None:
    """Pressing twice sells once, even when the first press took the last bunch and its row is gone."""
    client, url = client_as(owner), f"{reverse('sales:sell')}?box={stall.box.pk}"
    typed = {**shown(client, url), "on": "2024-09-07", f"n_{stall.line.pk}": "20"}

    first, second = client.post(url, typed), client.post(url, typed)

    assert first.headers["Location"] == second.headers["Location"]
    assert Sale.objects.count() == 1


def test_a_sale_page_gone_stale_says_so(stall: Ready, owner: User, client_as: SignIn) -> None:
    """When others took the last bunch meanwhile the page says that things changed, rather than selling nothing."""
    client, url = client_as(owner), f"{reverse('sales:sell')}?box={stall.box.pk}"
    typed = {**shown(client, url), "on": "2024-09-07", f"n_{stall.line.pk}": "1"}
    actions.sell(by=owner, on=SOLD_ON, way=stall.way, lines=[actions.Sold(20, line=stall.line)])

    answer = client.post(url, typed)

    assert answer.status_code == 422 and "Open it again" in answer.content.decode()


def test_without_a_way_the_pages_lead_to_adding_one(owner: User, client_as: SignIn) -> None:
    """A newcomer without any way of selling is told what to do."""
    for name in ("sell", "take_order"):
        assert reverse("pricing:add_way") in client_as(owner).get(reverse(f"sales:{name}")).content.decode()


def test_an_order_is_taken_on_its_page(owner: User, client_as: SignIn) -> None:
    """The page shows what is free; an empty promise is all that was asked."""
    stock, customer = ready(20), CustomerFactory()
    url = f"{reverse('sales:take_order')}?customer={customer.pk}"
    assert "20 free" in client_as(owner).get(url).content.decode()

    fill(client_as(owner), url, on="2024-09-01", **{f"asked_{stock.line.pk}": "8", f"price_{stock.line.pk}": "3.42"})

    line = line_of(Order.objects.get())
    assert (line.asked, line.kept, line.price, line.order.customer) == (8, 8, 342, customer)


def test_an_order_beyond_what_is_free_keeps_what_was_typed(owner: User, client_as: SignIn) -> None:
    """Promising more than is free is refused with the number that is free."""
    stock, customer = ready(20), CustomerFactory()
    typed: dict[str, Any] = {f"asked_{stock.line.pk}": "21", f"price_{stock.line.pk}": "3.42", "customer": customer.pk}

    answer = fill(client_as(owner), reverse("sales:take_order"), on="2024-09-01", **typed)

    page = answer.content.decode()
    assert answer.status_code == 422 and "Only 20" in page and 'value="21"' in page


def test_a_promise_without_asking_is_refused(owner: User, client_as: SignIn) -> None:
    """A promise of what nobody asked for is refused beside its row."""
    stock, customer = ready(20), CustomerFactory()

    answer = fill(client_as(owner), reverse("sales:take_order"), customer=customer.pk, **{f"promised_{stock.line.pk}": "2"})

    assert f"asked_{stock.line.pk}" in answer.context["form"].errors


def test_packing_ticks_the_picking_list(hand: User, owner: User, client_as: SignIn) -> None:
    """Only ticked rows are packed, with the number that stands there."""
    stock = ready(20)
    order = order_of(stock, 8)
    url = reverse("sales:pack", args=[order.pk])
    row = f"{order.lines.get().pk}_{stock.batch.contents.get().pk}"
    assert fill(client_as(hand), url, on="2024-09-03").status_code == 422

    fill(client_as(hand), url, on="2024-09-03", **{f"tick_{row}": "on"})

    assert Packing.objects.get().bunches == 8


def test_a_ticked_row_needs_a_number(hand: User, owner: User, client_as: SignIn) -> None:
    """A tick without a number is refused beside its row."""
    stock = ready(20)
    order = order_of(stock, 8)
    row = f"{order.lines.get().pk}_{stock.batch.contents.get().pk}"

    answer = fill(client_as(hand), reverse("sales:pack", args=[order.pk]), **{f"tick_{row}": "on", f"n_{row}": ""})

    assert f"n_{row}" in answer.context["form"].errors


def test_from_parcel_to_payment_by_pages(owner: User, client_as: SignIn) -> None:
    """Send, invoice, pay: each by its page, each from the one before."""
    stock, client = ready(20), client_as(owner)
    order = order_of(stock, 3, price=342)
    packed(order, stock, 3)
    fill(client, reverse("sales:send", args=[order.pk]), on="2024-09-04")
    assert "10.26" in client.get(reverse("sales:invoice_order", args=[order.pk])).content.decode()
    fill(client, reverse("sales:invoice_order", args=[order.pk]), on="2024-09-05")
    invoice = Invoice.objects.get()

    fill(client, reverse("sales:pay", args=[invoice.pk]), on="2024-09-06", how="bank")

    assert Invoice.objects.with_owed().get().owed == 0


def test_a_credit_by_its_page(owner: User, client_as: SignIn) -> None:
    """The page offers what can still be credited, and issues the next number."""
    invoice, client = invoiced(3), client_as(owner)
    url, line = reverse("sales:credit", args=[invoice.pk]), invoice.lines.get()

    answer = fill(client, url, on="2024-09-06", why="two were crushed", **{f"n_{line.pk}": "2"})

    credit = Invoice.objects.get(kind="credit")
    assert (answer.headers["Location"], credit.number, credit.net) == (credit.get_absolute_url(), 2, 684)
    assert "two were crushed" in client.get(invoice.get_absolute_url()).content.decode()
    assert invoice.get_absolute_url() in client.get(credit.get_absolute_url()).content.decode()


def test_promising_more_and_cancelling_by_pages(owner: User, client_as: SignIn) -> None:
    """Both pages begin with what is likely, and each change can be undone from the order."""
    order, client = order_of(ready(20), 10, promised=4), client_as(owner)
    line = order.lines.get()
    assert shown(client, reverse("sales:promise_more", args=[line.pk]))["bunches"] == 6

    fill(client, reverse("sales:promise_more", args=[line.pk]), on="2024-09-02")
    fill(client, reverse("sales:cancel", args=[line.pk]), on="2024-09-03", bunches="10")
    assert line_of(order).kept == 0
    fill(client, reverse("sales:undo_asked_change", args=[AskedChange.objects.get().pk]))

    assert line_of(order).kept == 10


UNDONE = {
    "undo_order": lambda: order_of(ready(20), 3), "undo_stall_day": StallDayFactory,
    "unpack": lambda: _packing(), "undo_dispatch": lambda: _dispatch(), "undo_sale": lambda: _sale(),
    "undo_payment": lambda: actions.pay(by=User.objects.get(), invoice=invoiced(), on=SOLD_ON, amount=5),
}


def _packing() -> Packing:
    stock = ready(20)
    return packed(order_of(stock, 3), stock, 3)


def _dispatch() -> Any:
    stock = ready(20)
    return sent(order_of(stock, 3), stock, 3)


def _sale() -> Sale:
    stock = ready(20)
    return actions.sell(by=User.objects.get(), on=SOLD_ON, way=StallFactory(), lines=[actions.Sold(2, line=stock.line, price=5)])


@pytest.mark.parametrize("name", UNDONE)
def test_each_undo_has_a_page(name: str, owner: User, client_as: SignIn) -> None:
    """The page shows what it would undo, and does."""
    fact = UNDONE[name]()

    answer = fill(client_as(owner), reverse(f"sales:{name}", args=[fact.pk]))

    fact.refresh_from_db()
    assert answer.status_code == 302 and not fact.stands
    assert client_as(owner).get(answer.headers["Location"]).status_code == 200
