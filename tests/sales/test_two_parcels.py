"""Two parcels of one order here at once: which one goes is said, never guessed."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.sales import actions as sales
from ledger.sales.models import Order, Packing
from ledger.sales.today import notes
from tests.factories.pricing import TradeFactory
from tests.factories.sales import ORDERED, SENT, CustomerFactory, order_of, packed, ready, sent
from tests.filling import read
from tests.refusals import refused

NEXT = date(2024, 9, 6)


@pytest.fixture
def stock(owner):
    """Twenty bunches in a box."""
    return ready(20)


@pytest.fixture
def two(owner, stock):
    """Four sent, six packed since, and the four back again: their parcels, the older first."""
    order = order_of(stock, 10)
    first = sent(order, stock, 4)
    second = packed(order, stock, 6, on=SENT).parcel
    sales.undo_dispatch(by=owner, dispatch=first)
    return order, first.parcel, second


@pytest.fixture
def two_to_hand_over(owner, stock):
    """The same on sale or return: four handed over, six packed since, the handing over undone."""
    order = sales.take_order(
        by=owner, on=ORDERED, customer=CustomerFactory(), way=TradeFactory(), lines=[sales.Asked(stock.line, 10, price=500)],
        sale_or_return=True,
    )
    packed(order, stock, 4)
    first = sales.hand_over(by=owner, order=order, on=SENT)
    second = packed(order, stock, 6, on=SENT).parcel
    sales.undo_hand_over(by=owner, handed_over=first)
    return order, first.parcel, second


def test_the_parcel_named_is_sent(owner, two):
    """The six go, the four stay; not named, the older goes."""
    order, first, second = two

    dispatch = sales.send(by=owner, order=order, on=NEXT, parcel=second)
    assert (dispatch.parcel, [line.bunches for line in dispatch.lines.all()]) == (second, [6])
    assert sales.send(by=owner, order=order, on=NEXT).parcel == first


def test_a_parcel_that_is_gone_empty_or_anothers_is_refused(owner, stock, two):
    """What is to go is said of what is here."""
    order, first, second = two
    sales.send(by=owner, order=order, on=NEXT, parcel=second)
    with refused("nothing_packed"):
        sales.send(by=owner, order=order, on=NEXT, parcel=second)
    other = packed(order_of(stock, 2), stock, 2).parcel
    with refused("nothing_packed"):
        sales.send(by=owner, order=order, on=NEXT, parcel=other)
    sales.unpack(by=owner, packing=Packing.objects.standing().get(parcel=first))
    with refused("nothing_packed"):
        sales.send(by=owner, order=order, on=NEXT, parcel=first)


def test_the_page_asks_which_of_two_goes_and_sends_that(owner, stock, two, client_as):
    """Each parcel with what is in it, none chosen beforehand; one alone is not asked about."""
    order, first, second = two
    client, address = client_as(owner), reverse("sales:send", args=[order.pk])
    page = read(client, address)
    assert f"{first}: 4 {stock.line}" in page and f"{second}: 6 {stock.line}" in page and "checked" not in page

    given = {"form_key": "two-parcels", "on": "2024-09-06"}
    assert client.post(address, given).status_code == 422
    assert client.post(address, {**given, "parcel": second.pk}).status_code == 302
    assert client.post(address, {**given, "parcel": second.pk}).status_code == 302
    assert [one.parcel for one in order.dispatches.standing()] == [second]
    assert "Which parcel" not in read(client, address)


def test_the_order_names_both(owner, two, client_as):
    """Its page leads to sending, and shows each parcel apart."""
    order, first, second = two
    page = read(client_as(owner), order.get_absolute_url())

    assert str(first) in page and str(second) in page
    assert Order.objects.with_standing().get(pk=order.pk).here == 10


def test_today_counts_both(owner, two):
    """Two parcels are to be sent, of one order."""
    assert "2 parcels are to be sent" in [str(said) for said, _where in notes(owner, NEXT)]


def test_of_two_the_one_named_is_handed_over(owner, two_to_hand_over, client_as):
    """By the page, which asks; the other stays here."""
    order, first, second = two_to_hand_over
    client, address = client_as(owner), reverse("sales:hand_over", args=[order.pk])
    assert "Which parcel" in read(client, address)

    sent = client.post(address, {"form_key": "hand-over", "on": "2024-09-06", "parcel": second.pk})
    assert sent.status_code == 302
    assert list(second.handed_over.standing()) and not first.handed_over.standing().exists()
    with refused("nothing_packed"):
        sales.hand_over(by=owner, order=order, on=NEXT, parcel=second)


def test_the_page_asks_as_often_for_three_parcels_as_for_two(owner, stock, two, client_as, django_assert_num_queries):
    """What is in each is read together."""
    order, _first, second = two
    client, address = client_as(owner), reverse("sales:send", args=[order.pk])
    client.get(address)
    with CaptureQueriesContext(connection) as asked:
        client.get(address)
    sales.ask_more(by=owner, order_line=order.lines.get(), on=NEXT, bunches=2)
    sales.promise_more(by=owner, order_line=order.lines.get(), on=NEXT, bunches=2)
    dispatch = sales.send(by=owner, order=order, on=NEXT, parcel=second)
    sales.send(by=owner, order=order, on=NEXT)
    packed(order, stock, 2, on=NEXT)
    for one in (dispatch, order.dispatches.standing().last()):
        sales.undo_dispatch(by=owner, dispatch=one)

    with django_assert_num_queries(len(asked)):
        assert read(client, address).count('type="radio"') == 3
