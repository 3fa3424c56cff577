"""The tin of a stall day, card payouts, and how a sale was paid."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.daybook.models import PurchaseLine
from ledger.facts.models import User
from ledger.sales.actions import (
    Sold,
    count_tin,
    give_places_back,
    record_card_payout,
    sell,
    sell_places,
    undo_card_payout,
    undo_sale,
    undo_stall_day,
    undo_tin,
)
from ledger.sales.models import CardPayout, Sale, StallDay
from ledger.sales.queries.tin import card_sales, tin_of
from ledger.sales.today import notes
from tests.factories.pricing import StallFactory
from tests.factories.sales import StallDayFactory, ready
from tests.factories.workshops import WorkshopFactory
from tests.refusals import refused

ON = date(2024, 9, 7)


def sold(by: User, day: StallDay | None, price: int, paid: str, *, way=None, on: date = ON) -> Sale:
    """One bunch sold at that price."""
    way = day.way if day else way
    return sell(by=by, on=on, way=way, lines=[Sold(1, line=ready(1).line, price=price)], stall_day=day, paid=paid)


def test_the_difference_is_counted_less_float_less_cash(owner: User) -> None:
    """Float 20.00, cash 5.00, card 7.00, counted 24.50: 0.50 short; the card is no cash."""
    day = StallDayFactory()
    sold(owner, day, 500, "cash")
    sold(owner, day, 700, "card")
    undo_sale(by=owner, sale=sold(owner, day, 900, "cash"))
    count_tin(by=owner, stall_day=day, when="before", amount=2000)
    assert tin_of(day).difference is None
    count_tin(by=owner, stall_day=day, when="after", amount=2450)

    tin = tin_of(day)

    assert (tin.cash, tin.card, tin.transfer, tin.difference) == (500, 700, 0, -50)


def test_the_tin_is_counted_once_until_undone(owner: User) -> None:
    """A second count is refused; undone, it can be counted anew."""
    day = StallDayFactory()
    first = count_tin(by=owner, stall_day=day, when="before", amount=2000)
    with refused("counted_already"):
        count_tin(by=owner, stall_day=day, when="before", amount=2100)
    undo_tin(by=owner, tin_count=first)
    assert count_tin(by=owner, stall_day=day, when="before", amount=2100).on == day.on


def test_a_day_with_a_counted_tin_is_not_undone(owner: User) -> None:
    """The count rests on it; an undone day takes none."""
    day = StallDayFactory()
    count = count_tin(by=owner, stall_day=day, when="after", amount=1)
    with refused("rested_on"):
        undo_stall_day(by=owner, stall_day=day)
    undo_tin(by=owner, tin_count=count)
    undo_stall_day(by=owner, stall_day=day)
    with refused("undone"):
        count_tin(by=owner, stall_day=day, when="after", amount=1)


def test_a_payout_pressed_twice_enters_its_fee_once(owner: User) -> None:
    """The fee is spent on the stall days by their card takings."""
    day = StallDayFactory()
    sold(owner, day, 3000, "card")
    given = {"by": owner, "on": ON, "way": day.way, "first_day": ON, "last_day": ON, "gross": 3000, "fee": 45, "key": "once"}

    assert record_card_payout(**given) == record_card_payout(**given)

    line = PurchaseLine.objects.get()
    assert (line.net, line.kind.code, line.shares.get().spent_on) == (45, "fees", day.cost_object)


def test_a_fee_without_stall_days_is_the_holdings(owner: User) -> None:
    """Card sales away from any stall: no day to spend it on; none kept, none entered."""
    way = StallFactory()
    sold(owner, None, 800, "card", way=way)
    payout = record_card_payout(by=owner, on=ON, way=way, first_day=ON, last_day=ON, gross=800, fee=10)
    assert card_sales(way, ON, ON) == 800 and payout.net == 790
    assert PurchaseLine.objects.get().shares.get().spent_on.kind == "holding"
    later = date(2024, 9, 8)
    assert record_card_payout(by=owner, on=later, way=way, first_day=later, last_day=later, gross=1).purchase is None


def test_places_sold_by_card_are_in_the_payout(owner: User) -> None:
    """Three of 45.00 by card, one returned at 40.00 the next day; one for cash and one elsewhere are not; days count alone."""
    workshop, next_day = WorkshopFactory(on=date(2024, 9, 1), price=4500), date(2024, 9, 8)
    for given in ({"places": 3, "paid": "card"}, {"places": 1, "paid": "cash"}):
        sell_places(by=owner, workshop=workshop, on=ON, **given)
    sell_places(by=owner, workshop=WorkshopFactory(on=date(2024, 9, 1)), on=ON, places=1, paid="card")
    by_card = workshop.places_sold.get(paid="card")
    give_places_back(by=owner, sold=by_card, on=next_day, places=1, returned=4000)

    assert [card_sales(workshop.way, *days) for days in ((ON, ON), (next_day, next_day), (ON, next_day))] == [13500, -4000, 9500]


def test_undoing_a_payout_undoes_its_fee(owner: User) -> None:
    """Both are gone together; the days can be paid out again."""
    way = StallFactory()
    payout = record_card_payout(by=owner, on=ON, way=way, first_day=ON, last_day=ON, gross=800, fee=10)
    with refused("covered"):
        record_card_payout(by=owner, on=ON, way=way, first_day=date(2024, 9, 1), last_day=ON, gross=9)
    undo_card_payout(by=owner, card_payout=payout)
    assert not PurchaseLine.objects.filter(purchase__undone_at=None).exists()
    with refused("already_undone"):
        undo_card_payout(by=owner, card_payout=payout)


@pytest.mark.parametrize(("first", "last", "fee", "code"), [
    (7, 6, 0, "days_in_order"), (7, 8, 0, "too_early"), (7, 7, 100, "fee_too_high"),
])
def test_a_payout_that_cannot_be_is_refused(owner: User, first: int, last: int, fee: int, code: str) -> None:
    """Days the wrong way round, money before the sales, a fee of all there is."""
    days = {"first_day": date(2024, 9, first), "last_day": date(2024, 9, last)}
    with refused(code):
        record_card_payout(by=owner, on=ON, way=StallFactory(), gross=100, fee=fee, **days)
    assert not CardPayout.objects.exists()


def test_today_tells_of_card_sales_that_no_payout_covers(owner: User) -> None:
    """From the fifteenth day after the sale, until its day is covered."""
    way = StallFactory()
    sold(owner, None, 800, "card", way=way)
    sold(owner, None, 800, "cash", way=way)
    address = reverse("sales:card_payouts")
    assert address not in dict(notes(owner, date(2024, 9, 21))).values()
    assert ("1 card sale was not paid out yet", address) in list(notes(owner, date(2024, 9, 22)))
    record_card_payout(by=owner, on=ON, way=way, first_day=ON, last_day=ON, gross=800)
    assert address not in dict(notes(owner, date(2024, 9, 22))).values()
    sell_places(by=owner, workshop=WorkshopFactory(on=date(2024, 9, 1), way=StallFactory()), on=ON, places=1, paid="card")
    assert ("1 card sale was not paid out yet", address) in list(notes(owner, date(2024, 9, 22)))


def test_who_may_not(owner: User, hand: User) -> None:
    """A hand neither counts the tin nor enters payouts."""
    day = StallDayFactory()
    with pytest.raises(PermissionDenied):
        count_tin(by=hand, stall_day=day, when="before", amount=1)
    with pytest.raises(PermissionDenied):
        record_card_payout(by=hand, on=ON, way=day.way, first_day=ON, last_day=ON, gross=9)
