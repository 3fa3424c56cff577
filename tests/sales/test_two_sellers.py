"""Two people selling at one stall at once."""

from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import load_boxes
from ledger.sales.models import Sale
from ledger.sales.queries.tin import tin_of
from ledger.stock.models import Movement
from tests.factories.sales import StallDayFactory, ready
from tests.factories.stock import there


def test_both_sell_from_pages_opened_before_either_sold(owner: User, seller: User, client_as) -> None:
    """Three of five and three more: the last one is found, to be checked; both sales stand and the tin has both."""
    day, stock = StallDayFactory(), ready(5)
    set_price(by=owner, way=day.way, line=stock.line, on=day.on, amount=400)
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    page = f"{reverse('sales:sell')}?stall_day={day.pk}"
    phones = {"first": client_as(owner), "second": client_as(seller)}
    forms = {key: client.get(page).context["form"] for key, client in phones.items()}

    for key, client in phones.items():
        price = forms[key][f"price_{stock.line.pk}"].value()
        sent = {"form_key": key, "on": "2024-09-07", "paid": "cash", "beyond_record": "on", f"n_{stock.line.pk}": 3}
        assert client.post(page, {**sent, f"price_{stock.line.pk}": price}).status_code == 302

    assert Sale.objects.count() == 2 and tin_of(day).cash == 2400
    assert there(stock.batch) == []
    found = Movement.objects.get(kind="found")
    assert (found.bunches, found.to_check, found.box) == (1, True, stock.box)
