"""One customer's own prices, and that what is promised keeps its price."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import (
    Asked,
    Sold,
    blank_customer,
    invoice,
    pack,
    sell,
    send,
    set_own_price,
    take_order,
    undo_own_price,
)
from ledger.sales.models import Customer, CustomerPrice, OrderLine
from ledger.sales.queries.agreed import agreed_price
from ledger.sales.queries.own_list import own_list
from tests.factories.pricing import OfferFactory, StallFactory
from tests.factories.sales import BILLED, ORDERED, PACKED, SENT, CustomerFactory, Ready, ready
from tests.refusals import refused
from tests.sales.forms import fill

MADE = date(2024, 1, 1)


def priced(
    owner: User, *, listed: int = 500, step: int | None = None, own: dict[int, int] | None = None
) -> tuple[Ready, Customer]:
    """Forty bunches with a price list (a step at ten), and a customer with own prices by step."""
    stock, customer = ready(40), CustomerFactory()
    set_price(by=owner, way=stock.way, line=stock.line, on=MADE, amount=listed)
    if step:
        set_price(by=owner, way=stock.way, line=stock.line, on=MADE, amount=step, at_least=10)
    for at_least, amount in (own or {}).items():
        own_price(owner, stock, customer, amount, at_least=at_least)
    return stock, customer


def own_price(
    owner: User, stock: Ready, customer: Customer, amount: int | None, *, on: date = MADE, at_least: int = 1
) -> CustomerPrice:
    """An own price of the one line by its way."""
    return set_own_price(
        by=owner, customer=customer, way=stock.way, line=stock.line, on=on, amount=amount, at_least=at_least
    )


def ordered(
    owner: User, stock: Ready, customer: Customer, asked: int, price: int | None = None, *, on: date = ORDERED
) -> OrderLine:
    """The line of an order of so many."""
    order = take_order(by=owner, on=on, customer=customer, way=stock.way, lines=[Asked(stock.line, asked, price=price)])
    return order.lines.get()


@pytest.mark.parametrize(
    ("asked", "price"), [(5, 500), (10, 450), (12, 450)], ids=["under the step", "the step itself", "above it"]
)
def test_an_order_takes_the_step_for_what_is_asked(asked: int, price: int, owner: User) -> None:
    """5.00, and 4.50 for ten or more; the list's price of one, once given, is left alone."""
    stock, customer = priced(owner, step=450)
    assert ordered(owner, stock, customer, asked).price == price
    assert ordered(owner, stock, customer, asked, 500).price == 500


def test_own_prices_come_before_the_list(owner: User) -> None:
    """4.80 own, 4.40 for twenty: the list's 4.50 for ten is not asked; another customer pays the list."""
    stock, customer = priced(owner, step=450, own={1: 480, 20: 440})
    assert [ordered(owner, stock, customer, asked, on=ORDERED).price for asked in (1, 10)] == [480, 480]
    assert ordered(owner, stock, customer, 20).price == 440
    assert ordered(owner, stock, CustomerFactory(), 2).price == 500


def test_an_own_step_alone_leaves_the_rest_to_the_list(owner: User) -> None:
    """Only twenty and more are own: five cost what the list says; a price given stays."""
    stock, customer = priced(owner, own={20: 440})
    assert ordered(owner, stock, customer, 5).price == 500
    assert ordered(owner, stock, customer, 20, 470).price == 470


def test_an_own_price_holds_from_its_day_until_it_is_ended_or_undone(owner: User) -> None:
    """From September own, from 1 October the list again; the ending undone, own again."""
    stock, customer = priced(owner)
    own_price(owner, stock, customer, 450, on=ORDERED)
    end = own_price(owner, stock, customer, None, on=date(2024, 10, 1))
    prices = [ordered(owner, stock, customer, 1, on=on).price for on in (date(2024, 8, 31), ORDERED, date(2024, 10, 1))]
    assert prices == [500, 450, 500]
    undo_own_price(by=owner, own_price=end)
    assert ordered(owner, stock, customer, 1, on=date(2024, 10, 1)).price == 450


def test_own_steps_end_with_the_own_price_of_one_and_come_back_with_it(owner: User) -> None:
    """From October twenty cost the list's 4.50 again, not the own 4.40; the ending undone, 4.40; another's step stays."""
    stock, customer = priced(owner, step=450, own={1: 480, 20: 440})
    other = CustomerFactory()
    own_price(owner, stock, other, 430, at_least=20)
    october = date(2024, 10, 1)
    end = own_price(owner, stock, customer, None, on=october)
    of = [(customer, date(2024, 9, 30)), (customer, october), (other, october)]
    assert [agreed_price(who, stock.line, stock.way, on, 20) for who, on in of] == [440, 450, 430]
    assert agreed_price(customer, stock.line, stock.way, october) == 500

    undo_own_price(by=owner, own_price=end)

    assert [agreed_price(customer, stock.line, stock.way, october, n) for n in (1, 20)] == [480, 440]


def test_an_own_step_ended_leaves_the_own_price_of_one(owner: User) -> None:
    """Only the twenty: twenty cost what one costs."""
    stock, customer = priced(owner, own={1: 480, 20: 440})
    own_price(owner, stock, customer, None, on=ORDERED, at_least=20)
    assert [agreed_price(customer, stock.line, stock.way, ORDERED, n) for n in (1, 20)] == [480, 480]


def test_what_is_promised_keeps_its_price_and_so_does_its_invoice(owner: User) -> None:
    """Ten at 4.50; then the list, the step and an own price change: sent and invoiced, it is 45.00."""
    stock, customer = priced(owner, step=450)
    line = ordered(owner, stock, customer, 10)
    for at_least, amount in ((1, 900), (10, 800)):
        set_price(by=owner, way=stock.way, line=stock.line, on=date(2024, 9, 2), amount=amount, at_least=at_least)
    own_price(owner, stock, customer, 700, on=date(2024, 9, 2))
    pack(by=owner, order_line=line, on=PACKED, batch=stock.batch, box=stock.box, bunches=10)
    send(by=owner, order=line.order, on=SENT)
    billed = invoice(by=owner, order=line.order, on=BILLED)
    assert (OrderLine.objects.get(pk=line.pk).price, billed.net, billed.lines.get().price) == (450, 4500, 450)


def test_a_retail_sale_names_its_customer_and_takes_the_own_price(owner: User) -> None:
    """4.00 own instead of 4.50, and in no offer; a sale to nobody takes the offer."""
    stock, way, customer = ready(20), StallFactory(), CustomerFactory(trade=False)
    set_price(by=owner, way=way, line=stock.line, on=MADE, amount=450)
    OfferFactory(way=way, lines=[stock.line])
    set_own_price(by=owner, customer=customer, way=way, line=stock.line, on=MADE, amount=400)
    sold = [sell(by=owner, on=SENT, way=way, lines=[Sold(3, line=stock.line)], customer=who) for who in (customer, None)]
    assert [(one.lines.get().price, one.lines.get().off) for one in sold] == [(400, 0), (450, 150)]


def test_own_prices_that_cannot_be_are_refused(owner: User) -> None:
    """Nothing, an ending of what does not hold, a day to come, a customer whose details were removed."""
    stock, customer = priced(owner)
    for code, amount, on in (("too_few", 0, MADE), ("no_price", None, MADE), ("not_yet", 450, date(2999, 1, 1))):
        with refused(code):
            own_price(owner, stock, customer, amount, on=on)
    blank_customer(by=owner, customer=customer)
    with refused("blanked"):
        own_price(owner, stock, customer, 450)


def test_the_second_press_sets_one_own_price(owner: User) -> None:
    """The same form's key gives the first again."""
    stock, customer = priced(owner)
    given = {"by": owner, "key": "k" * 36, "customer": customer, "way": stock.way, "line": stock.line, "on": MADE, "amount": 450}
    assert set_own_price(**given) == set_own_price(**given)
    assert CustomerPrice.objects.count() == 1


def test_neither_hand_nor_bookkeeper_sets_own_prices(hand: User, bookkeeper: User, owner: User) -> None:
    """Prices are for owner and seller."""
    stock, customer = priced(owner)
    for who in (hand, bookkeeper):
        with pytest.raises(PermissionDenied):
            own_price(who, stock, customer, 450)


def test_a_customers_list_has_own_prices_where_there_are(owner: User) -> None:
    """Own 4.80 and 4.40 for twenty, not the list's step; a step of its own alone stands behind the list's price."""
    stock, customer = priced(owner, step=450, own={1: 480, 20: 440})
    (row,) = own_list(customer, stock.way, ORDERED)
    assert (row.amount, row.steps, row.own) == (480, "from 20: 4.40", True)
    (other,) = own_list(CustomerFactory(), stock.way, ORDERED)
    assert (other.amount, other.steps, other.own) == (500, "from 10: 4.50", False)


def test_an_own_price_from_its_setting_to_its_ending_on_the_pages(owner: User, client_as) -> None:
    """Set on the customer's page, told on the order's form, on the customer's paper, ended."""
    stock, customer = priced(owner)
    client, page = client_as(owner), customer.get_absolute_url()
    url = reverse("sales:set_own_price", args=[customer.pk])
    fill(client, url, on="2024-01-01", line=stock.line.pk, way=stock.way.pk, amount="4.20")
    assert "4.20" in client.get(page).content.decode()
    form = client.get(f"{reverse('sales:take_order')}?way={stock.way.pk}&customer={customer.pk}").content.decode()
    assert f"{customer}: 4.20" in form
    assert client.get(reverse("sales:own_list_paper", args=[customer.pk])).status_code == 200

    own = CustomerPrice.objects.get()
    fill(client, reverse("sales:end_own_price", args=[own.pk]), on="2024-06-01")
    end = CustomerPrice.objects.get(amount=None)
    shown = client.get(page).content.decode()
    assert "the price list holds" in shown and "Ended on 1 Jun 2024" in shown.replace("\xa0", " ")
    assert reverse("sales:undo_own_price", args=[end.pk]) in shown and reverse("sales:undo_own_price", args=[own.pk]) not in shown
    fill(client, reverse("sales:undo_own_price", args=[end.pk]))
    shown = client.get(page).content.decode()
    assert "Ended on" not in shown and "4.20" in shown
    assert fill(client, reverse("sales:undo_own_price", args=[own.pk])).headers["Location"] == page
