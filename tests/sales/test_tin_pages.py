"""The pages of a stall day's tin and of card payouts, and how a sale was paid, on the screens."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.sales.actions import Sold, count_tin, record_card_payout, sell
from ledger.sales.models import CardPayout, Sale
from tests.factories.sales import StallDayFactory, ready

ON = date(2024, 9, 7)


@pytest.fixture
def as_owner(client_as, owner):
    """The owner, signed in."""
    return client_as(owner)


def words(answer) -> str:
    """The page's text with its spaces made one."""
    return " ".join(answer.content.decode().split())


def test_a_sale_is_paid_by_cash_unless_said(as_owner):
    """The form says cash, after a card sale too."""
    day, line = StallDayFactory(), ready(5).line
    page = f"{reverse('sales:sell')}?stall_day={day.pk}"
    form = as_owner.get(page).context["form"]
    assert form["paid"].value() == "cash"

    sent = {"form_key": "first", "on": "2024-09-07", f"n_{line.pk}": 1, f"price_{line.pk}": "5.00", "paid": "card"}
    as_owner.post(page, sent)

    assert Sale.objects.get().paid == "card"
    assert as_owner.get(page).context["form"]["paid"].value() == "cash"


def test_the_stall_days_page_shows_the_difference(as_owner, owner):
    """Float 20.00, cash 5.00, counted 24.50."""
    day = StallDayFactory()
    sell(by=owner, on=ON, way=day.way, lines=[Sold(1, line=ready(1).line, price=500)], stall_day=day)
    for when, amount in (("before", 2000), ("after", 2450)):
        count_tin(by=owner, stall_day=day, when=when, amount=amount)

    answer = as_owner.get(day.get_absolute_url())

    assert answer.context["tin"].difference == -50
    assert "Difference in the tin" in words(answer)


def test_a_payout_is_shown_beside_the_card_sales_of_its_days(as_owner, owner):
    """It says 8.00, 7.00 is recorded: 1.00 more than the ledger knows of."""
    day = StallDayFactory()
    sell(by=owner, on=ON, way=day.way, lines=[Sold(1, line=ready(1).line, price=700)], stall_day=day, paid="card")
    payout = record_card_payout(by=owner, on=ON, way=day.way, first_day=ON, last_day=ON, gross=800, fee=10)

    shown = as_owner.get(payout.get_absolute_url()).context

    assert (shown["recorded"], shown["difference"]) == (700, 100)
    assert reverse("sales:card_payout", args=[payout.pk]) in words(as_owner.get(reverse("sales:card_payouts")))


def test_a_payout_without_a_fee_is_entered(as_owner):
    """The fee left empty is nil."""
    day = StallDayFactory()
    sent = {"form_key": "p", "on": "2024-09-09", "way": day.way_id, "first_day": "2024-09-07", "last_day": "2024-09-07"}
    as_owner.post(reverse("sales:record_card_payout"), {**sent, "gross": "8.00", "fee": ""})
    assert (CardPayout.objects.get().gross, CardPayout.objects.get().fee) == (800, 0)
