"""Pages of orders that come round, as somebody at the desk goes through them."""

from datetime import timedelta

import pytest
from django.urls import reverse

from ledger.facts.queries import today
from ledger.sales.models import Order, StandingLeftOut, StandingOrder
from tests.factories.pricing import TradeFactory
from tests.factories.sales import CustomerFactory, ready
from tests.filling import fill
from tests.thread import spin_thread


@pytest.fixture
def line(owner):
    """27 bunches on hand of it."""
    return spin_thread(owner).line


def send(client, url, **typed):
    """The form of a page filled in and sent."""
    form = client.get(url).context["form"]
    shown = {name: form[name].value() for name in form.fields if form[name].value() not in (None, "")}
    return client.post(url, {**shown, **typed}, follow=True)


def agreed(client, line):
    """Twelve every two weeks from today on at 5.00."""
    way = TradeFactory()
    url = f"{reverse('sales:agree_standing_order')}?customer={CustomerFactory().pk}&way={way.pk}"
    answer = send(client, url, first_on=today(), every=2, **{f"asked_{line.pk}": 12, f"price_{line.pk}": "5.00"})
    assert answer.status_code == 200, answer.context["form"].errors
    standing = StandingOrder.objects.get()
    assert (standing.way, standing.every, standing.lines.get().price) == (way, 2, 500)
    return standing


def test_agreed_taken_and_left_out_from_the_list(line, client_as, owner):
    """Today tells of it; the list offers to take it; the order is promised; the next day is left out and given back."""
    client = client_as(owner)
    standing = agreed(client, line)
    assert "2 standing orders come round" in client.get(reverse("today")).content.decode()
    listed = client.get(reverse("sales:standing_orders")).content.decode()
    take = f"{reverse('sales:take_standing_order', args=[standing.pk])}?wanted_on={today():%Y-%m-%d}"
    assert take in listed and "every 2 weeks" in listed

    page = client.get(take).content.decode()
    assert "27" in page and "short" not in page.split("<table")[1].split("</table")[0]
    order_page = send(client, take)

    order = Order.objects.get()
    assert order_page.redirect_chain[-1][0] == order.get_absolute_url()
    assert (order.standing_order, order.lines.get().promised) == (standing, 12)
    left_out = reverse("sales:leave_out", args=[standing.pk])
    assert client.get(left_out).context["form"]["wanted_on"].value() == today() + timedelta(14)
    answer = send(client, left_out)
    assert "Left out" in answer.content.decode()
    assert StandingLeftOut.objects.get().wanted_on == today() + timedelta(14)


def test_a_short_one_says_so_before_it_is_taken(line, client_as, owner):
    """Of 27 twelve, twelve and three are free."""
    client = client_as(owner)
    standing = agreed(client, line)
    for day in (today(), today() + timedelta(14)):
        send(client, reverse("sales:take_standing_order", args=[standing.pk]), wanted_on=day)

    page = client.get(reverse("sales:take_standing_order", args=[standing.pk])).content.decode()

    assert "<strong>short</strong>" in page
    assert "12 asked, 12 still promised, 0 sent" in client.get(standing.get_absolute_url()).content.decode()


def test_a_price_without_a_number_and_a_wrong_day_are_told(line, client_as, owner):
    """Refused beside what is at fault, what was typed kept."""
    client = client_as(owner)
    TradeFactory(), CustomerFactory()
    answer = send(client, reverse("sales:agree_standing_order"), first_on=today(), **{f"price_{line.pk}": "4.00"})
    assert (answer.status_code, "Say how many are wanted each time" in answer.content.decode()) == (422, True)
    standing = agreed(client, line)

    answer = send(client, reverse("sales:leave_out", args=[standing.pk]), wanted_on=today() + timedelta(1))

    assert (answer.status_code, "does not come round on" in answer.content.decode()) == (422, True)


def test_a_standing_order_is_written_down_from_the_keyboard(owner, client_as):
    """Each time six of the line, by the first letters of its words; a line that is not there is said."""
    stock, client = ready(20), client_as(owner)
    page = f"{reverse('sales:agree_standing_order')}?way={stock.way.pk}"
    typed = {
        "customer": CustomerFactory(trade=True).pk, "on": "2024-09-01", "first_on": "2024-09-06", "every": "2", "unit": "weeks",
        "written": f"6 {str(stock.line).replace(',', '')}",
    }
    assert "no line is called so" in fill(client, page, **{**typed, "written": "6 nothing"}).content.decode()

    assert fill(client, page, **typed).status_code == 302

    line = StandingOrder.objects.get().lines.get()
    assert (line.line, line.asked, line.price) == (stock.line, 6, None)
