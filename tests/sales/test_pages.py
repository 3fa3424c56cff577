"""The pages of sales, seen by those who may and kept from those who may not."""

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.models import User
from ledger.sales import actions
from ledger.sales.models import Order
from tests.factories.sales import CustomerFactory, Ready, StallDayFactory, invoiced, order_of, packed, ready, sent

SignIn = Callable[[User], Client]
LISTS = ("sales", "stall_days", "customers", "orders", "dispatches", "invoices", "payments")


@pytest.mark.parametrize("name", LISTS)
def test_lists_open_empty_and_with_rows(name: str, owner: User, client_as: SignIn) -> None:
    """Every list opens before there is anything, and after."""
    client = client_as(owner)
    assert client.get(reverse(f"sales:{name}")).status_code == 200

    actions.pay(by=owner, invoice=invoiced(), on=date(2024, 9, 6), amount=1)
    StallDayFactory()

    assert client.get(reverse(f"sales:{name}")).status_code == 200


@pytest.mark.parametrize("name", LISTS)
def test_a_list_asks_as_often_for_many_rows_as_for_few(
    name: str, owner: User, client_as: SignIn, django_assert_max_num_queries: Callable
) -> None:
    """The number of queries of a page does not grow with its rows."""
    for _again in range(3):
        actions.pay(by=owner, invoice=invoiced(), on=date(2024, 9, 6), amount=1)
        StallDayFactory()
    client = client_as(owner)

    with django_assert_max_num_queries(14):
        client.get(reverse(f"sales:{name}"))


@pytest.mark.parametrize("state", ["open", "packed", "to_invoice", "done"])
def test_orders_are_found_by_how_they_stand(state: str, owner: User, client_as: SignIn) -> None:
    """Each state shows its own order and no other."""
    orders = {
        "open": order_of(ready()), "packed": _packed_whole(ready()), "to_invoice": _sent_whole(ready()),
        "done": invoiced().order,
    }

    page = client_as(owner).get(reverse("sales:orders"), {"state": state}).content.decode()

    assert orders[state].get_absolute_url() in page
    others = [order for name, order in orders.items() if name != state and (state, name) != ("open", "packed")]
    assert not any(order.get_absolute_url() in page for order in others)


def _packed_whole(stock: Ready) -> Order:
    order = order_of(stock, 3)
    packed(order, stock, 3)
    return order


def _sent_whole(stock: Ready) -> Order:
    order = order_of(stock, 3)
    sent(order, stock, 3)
    return order


def test_invoices_are_found_by_what_is_owed(owner: User, client_as: SignIn) -> None:
    """Both are overdue by now; the paid one is in neither list."""
    owed, paid = invoiced(), invoiced()
    actions.pay(by=owner, invoice=paid, on=date(2024, 9, 6), amount=1026)
    for state in ("owed", "overdue"):
        page = client_as(owner).get(reverse("sales:invoices"), {"state": state}).content.decode()
        assert owed.get_absolute_url() in page and f'"{paid.get_absolute_url()}"' not in page


def test_records_show_where_they_came_from_and_went(owner: User, client_as: SignIn) -> None:
    """Each record's page opens and leads on to what it made."""
    invoice = invoiced()
    payment = actions.pay(by=owner, invoice=invoice, on=date(2024, 9, 6), amount=10, how="cash")
    client, dispatch = client_as(owner), invoice.order.dispatches.get()

    order_page = client.get(invoice.order.get_absolute_url()).content.decode()
    assert dispatch.get_absolute_url() in order_page and invoice.get_absolute_url() in order_page
    assert invoice.get_absolute_url() in client.get(dispatch.get_absolute_url()).content.decode()
    assert reverse("sales:undo_payment", args=[payment.pk]) in client.get(invoice.get_absolute_url()).content.decode()
    assert invoice.order.get_absolute_url() in client.get(invoice.customer.get_absolute_url()).content.decode()


def test_a_hand_packs_and_sees_no_money(hand: User, owner: User, client_as: SignIn) -> None:
    """A hand's order page says what to pack and nothing of prices; invoices and sales stay shut."""
    stock = ready()
    order = order_of(stock, 3, price=9876)
    client = client_as(hand)

    page = client.get(order.get_absolute_url()).content.decode()

    assert reverse("sales:pack", args=[order.pk]) in page and "98.76" not in page
    for name in ("invoices", "payments", "sales", "stall_days", "sell", "take_order"):
        assert client.get(reverse(f"sales:{name}")).status_code == 403
    assert client.get(reverse("sales:customers")).status_code == 200


def test_a_hand_cannot_open_records_of_money(hand: User, owner: User, client_as: SignIn) -> None:
    """A sale's, a stall day's and an invoice's own pages are shut to a hand too."""
    invoice, day = invoiced(), StallDayFactory()
    for page in (invoice.get_absolute_url(), day.get_absolute_url(), reverse("sales:invoice_paper", args=[invoice.pk])):
        assert client_as(hand).get(page).status_code == 403


def test_a_seller_sees_prices_and_no_costs(seller: User, owner: User, client_as: SignIn) -> None:
    """An order shows its prices to a seller, and no way to its cost."""
    order = order_of(ready(), 3, price=9876)

    page = client_as(seller).get(order.get_absolute_url()).content.decode()

    assert "98.76" in page and "/costs/of/" not in page and "/costs/figure/" not in page


def test_customers_are_added_changed_and_blanked_on_pages(owner: User, client_as: SignIn) -> None:
    """The whole life of a customer by its pages."""
    client = client_as(owner)
    page = client.get(reverse("sales:add_customer"))
    typed = {"form_key": page.context["form"]["form_key"].value(), "name": "Quill", "trade": "on", "days_to_pay": "14"}
    url = client.post(reverse("sales:add_customer"), typed).headers["Location"]
    assert "Quill" in client.get(url).content.decode()

    form = client.get(f"{url}change/").context["form"]
    typed = {name: form[name].value() for name in form.fields} | {"name": "Quill and Petal", "address": "The Yard\r\nHollow"}
    assert client.post(f"{url}change/", typed).status_code == 302
    form = client.get(f"{url}blank/").context["form"]
    assert client.post(f"{url}blank/", {"form_key": form["form_key"].value()}).status_code == 422
    assert client.post(f"{url}blank/", {"form_key": form["form_key"].value(), "sure": "on"}).status_code == 302
    assert "Quill" not in client.get(url).content.decode()


def test_a_stale_customer_form_is_refused(owner: User, client_as: SignIn) -> None:
    """A form opened before somebody else's change does not wipe that change out."""
    client, customer = client_as(owner), CustomerFactory(name="Quill")
    form = client.get(reverse("sales:change_customer", args=[customer.pk])).context["form"]
    typed = {name: form[name].value() for name in form.fields} | {"name": "Petal"}
    actions.change_customer(by=owner, customer=customer, changes={"name": "Quill and Sons"})

    answer = client.post(reverse("sales:change_customer", args=[customer.pk]), typed)

    assert answer.status_code == 422 and "Quill and Sons" in answer.content.decode()
