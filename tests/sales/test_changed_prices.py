"""Another price than the list's is asked a reason for, and what it took off is told."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import Sold, sell, set_own_price, undo_sale
from ledger.sales.models import SaleLine, StallDay
from ledger.sales.queries.changed import changed_at, changed_between, fresh_before, listed_at
from tests.factories.growing import LotFactory
from tests.factories.sales import CustomerFactory, Ready, StallDayFactory, ready
from tests.refusals import refused

ON = date(2024, 9, 7)
SENT = {"form_key": "k", "on": "2024-09-07", "paid": "cash"}


@pytest.fixture
def stall(owner: User) -> tuple[StallDay, Ready]:
    """Twenty bunches at 5.00, from ten on at 4.50."""
    day, stock = StallDayFactory(), ready(20)
    set_price(by=owner, way=day.way, line=stock.line, on=date(2024, 8, 1), amount=500)
    set_price(by=owner, way=day.way, line=stock.line, on=date(2024, 8, 1), amount=450, at_least=10)
    return day, stock


def test_a_changed_price_wants_its_reason(owner: User, stall) -> None:
    """Refused without; kept with it, and told of with what it took off: 2 x 1.00."""
    day, stock = stall
    given = {"by": owner, "on": ON, "way": day.way, "stall_day": day}
    with refused("no_why"):
        sell(**given, lines=[Sold(2, line=stock.line, price=400)])
    with refused("no_why"):
        sell(**given, lines=[Sold(2, line=stock.line, price=400, why="  ")])
    sale = sell(**given, lines=[Sold(2, line=stock.line, price=400, why="end of the day")])

    found = changed_at(day)

    assert [(one.line.sale, one.listed, one.took_off, one.line.why) for one in found] == [(sale, 500, 200, "end of the day")]
    assert [one.line for one in changed_between(ON, ON)] == [found[0].line]
    undo_sale(by=owner, sale=sale)
    assert changed_at(day) == [] == changed_between(ON, ON)


@pytest.mark.parametrize(("quantity", "price"), [(1, 500), (10, 450), (10, 500), (1, 420)])
def test_a_price_the_list_or_the_customer_has_wants_none(owner: User, stall, quantity: int, price: int) -> None:
    """The price of one, the step's, the customer's own; a reason given for none of these is not kept."""
    day, stock = stall
    customer = CustomerFactory()
    set_own_price(by=owner, customer=customer, way=day.way, line=stock.line, on=date(2024, 8, 1), amount=420)
    lines = [Sold(quantity, line=stock.line, price=price, why="a friend")]
    sale = sell(by=owner, on=ON, way=day.way, lines=lines, customer=customer)
    assert sale.lines.get().why == "" and changed_between(ON, ON) == []


def test_a_price_where_the_list_has_none_wants_none(owner: User) -> None:
    """Nothing was changed."""
    day, stock = StallDayFactory(), ready(2)
    assert sell(by=owner, on=ON, way=day.way, lines=[Sold(1, line=stock.line, price=1)]).lines.get().why == ""


def test_more_than_the_list_took_less_than_nothing_off(owner: User, stall) -> None:
    """Twelve at 5.20 where the step says 4.50: 8.40 more; a list ended since has nothing to say."""
    day, stock = stall
    sell(by=owner, on=ON, way=day.way, lines=[Sold(12, line=stock.line, price=520, why="wrapped")], stall_day=day)
    assert [(one.listed, one.took_off) for one in changed_at(day)] == [(450, -840)]
    assert listed_at([(10, 450)], 3) is None


def test_the_reason_is_chosen_on_the_page(owner: User, stall, client_as) -> None:
    """Typed over without a reason it says so beside the reason; with one the sale's page shows both prices."""
    client, (day, stock) = client_as(owner), stall
    page = f"{reverse('sales:sell')}?stall_day={day.pk}"
    price = f"price_{stock.line.pk}"
    sent = {**SENT, f"n_{stock.line.pk}": 2, f"initial-{price}": "5.00", price: "4.00"}
    refusal = client.post(page, sent)
    assert refusal.status_code == 422 and refusal.context["form"].has_error("why", "no_why")

    assert client.post(page, {**sent, "why": "regular", "why_words": "third bunch"}).status_code == 302

    line = SaleLine.objects.get()
    assert line.why == "a regular or a friend: third bunch"
    shown = client.get(line.sale.get_absolute_url()).content.decode()
    assert line.why in shown and "5.00" in shown
    assert "Prices changed at the sale" in client.get(day.get_absolute_url()).content.decode()


def test_the_list_as_it_was_shown_is_a_reason_by_itself(owner: User, stall, client_as) -> None:
    """Ticked, the shown 5.00 counts on a day when the list said 6.00; that is kept as the reason."""
    client, (day, stock) = client_as(owner), stall
    set_price(by=owner, way=day.way, line=stock.line, on=ON, amount=600)
    page, price = f"{reverse('sales:sell')}?stall_day={day.pk}", f"price_{stock.line.pk}"
    sent = {**SENT, f"n_{stock.line.pk}": 1, f"initial-{price}": "5.00", price: "5.00"}
    client.post(page, {**sent, "as_shown": "on"})
    assert (SaleLine.objects.get().price, SaleLine.objects.get().why) == (500, "as the list was shown")


def test_fresh_bunches_of_so_many_stems_are_sold_from_water(owner: User, client_as) -> None:
    """Three bunches of ten at 4.00 beside dried ones: 30 stems leave the lot, 12.00 come in; the next page remembers."""
    client, day, stock = client_as(owner), StallDayFactory(), ready(2)
    lot = LotFactory(stems=200, on=date(2024, 9, 6))
    page = f"{reverse('sales:sell')}?stall_day={day.pk}"
    sent = {**SENT, f"stems_{lot.pk}": 3, f"each_{lot.pk}": 10, f"fresh_{lot.pk}": "4.00"}

    client.post(page, {**sent, f"n_{stock.line.pk}": 1, f"price_{stock.line.pk}": "5.00"})

    fresh = SaleLine.objects.get(line=None)
    assert (fresh.quantity, fresh.stems_each, fresh.parting.stems, fresh.amount) == (3, 10, 30, 1200)
    assert "of 10 stems" in client.get(fresh.sale.get_absolute_url()).content.decode()
    assert fresh_before(day.way, [lot]) == {lot.pk: (10, 400)}
    form = client.get(page).context["form"]
    assert (form[f"each_{lot.pk}"].value(), form[f"fresh_{lot.pk}"].value()) == (10, "4.00")


def test_fresh_bunches_of_no_stems_or_beyond_the_lot_are_refused(owner: User) -> None:
    """Of 200 stems no 21 bunches of ten can go."""
    day, lot = StallDayFactory(), LotFactory(stems=200, on=date(2024, 9, 6))
    with refused("absurd"):
        sell(by=owner, on=ON, way=day.way, lines=[Sold(1, lot=lot, price=1, stems_each=0)])
    with refused("too_many"):
        sell(by=owner, on=ON, way=day.way, lines=[Sold(21, lot=lot, price=1, stems_each=10)])


def test_the_changed_prices_of_some_days_are_listed_with_their_sum(owner: User, stall, client_as) -> None:
    """2.00 off on the seventh; none today; days the wrong way round are said to be so."""
    client, (day, stock) = client_as(owner), stall
    sell(by=owner, on=ON, way=day.way, lines=[Sold(2, line=stock.line, price=400, why="at the gate")])
    page = reverse("sales:changed_prices")
    assert client.get(page).context["changed"] == []
    answer = client.get(page, {"first": "2024-09-07", "last": "2024-09-07"})
    assert answer.context["took_off"] == 200 and "at the gate" in answer.content.decode()
    wrong = client.get(page, {"first": "2024-09-07", "last": "2024-09-01"})
    assert wrong.context["form"].has_error("last", "days_in_order")
