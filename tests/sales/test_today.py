"""What sales has to say on Today."""

from datetime import date

from ledger.facts.models import User
from ledger.sales.actions import bring_back, load_boxes
from ledger.sales.today import markets, notes
from tests.factories.sales import StallDayFactory, invoiced, order_of, packed, ready, sent

ON = date(2024, 9, 30)


def said(user: User, on: date = ON) -> list[str]:
    """What is said to this person."""
    return [str(says) for says, _url in notes(user, on)]


def test_nothing_open_says_nothing(owner: User) -> None:
    """No order, no note."""
    assert said(owner) == []


def test_each_open_thing_is_said_to_those_who_do_it(owner: User, hand: User, bookkeeper: User) -> None:
    """Packing and sending to the hand, invoicing and what is overdue to the bookkeeper."""
    stock, other = ready(20), ready(20)
    order_of(stock, 3)
    packed(order_of(other, 4), other, 4)
    third = ready(20)
    sent(order_of(third, 5), third, 5)
    invoiced()

    assert said(hand) == ["1 order is to be packed", "1 parcel is to be sent"]
    assert said(bookkeeper, date(2024, 10, 6)) == ["1 order is to be invoiced", "1 invoice is overdue"]
    assert said(bookkeeper, date(2024, 10, 5)) == ["1 order is to be invoiced"]


def test_a_loaded_stall_day_is_to_be_put_away(owner: User, hand: User) -> None:
    """From its day until what came back is put away, to those who sell."""
    day, stock = StallDayFactory(), ready(3)
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    assert list(notes(owner, ON)) == [("1 stall day is to be put away", day.get_absolute_url())]
    assert said(owner, date(2024, 9, 6)) == [] == said(hand)
    bring_back(by=owner, on=day.on, stall_day=day)
    assert said(owner) == []


def test_a_market_is_named_on_its_own_day(owner: User, hand: User) -> None:
    """To those who sell, until what came back is put away."""
    day = StallDayFactory()
    assert list(markets(owner, day.on)) == [("Sell at Saturday market", f"/sales/sell/?stall_day={day.pk}")]
    assert [list(markets(who, on)) for who, on in ((owner, ON), (hand, day.on))] == [[], []]
    bring_back(by=owner, on=day.on, stall_day=day)
    assert list(markets(owner, day.on)) == []
