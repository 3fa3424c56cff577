"""Taking orders: asked, promised, promised later, given back, undone."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import (
    Asked,
    ask_more,
    blank_customer,
    cancel,
    promise_more,
    take_order,
    undo_asked_change,
    undo_order,
    undo_promise,
)
from ledger.sales.models import Order
from ledger.stock.actions import write_off
from ledger.stock.models import Balance, HoldChange
from tests.factories.pricing import StallFactory
from tests.factories.sales import ORDERED, CustomerFactory, line_of, order_of, packed, ready, sent
from tests.refusals import refused


def test_an_order_keeps_what_it_promises(owner: User) -> None:
    """Of twenty, twelve asked and ten promised: ten are left to others."""
    stock = ready(20)

    order = order_of(stock, 12, promised=10)

    line, balance = line_of(order), Balance.objects.get(line=stock.line)
    assert (line.asked, line.kept, balance.held, balance.free) == (12, 10, 10, 10)


def test_more_than_is_free_cannot_be_promised(owner: User) -> None:
    """The twentieth yes, the twenty-first no, and nothing is left behind by the refusal."""
    stock = ready(20)
    order_of(stock, 12)

    with refused("not_free"):
        order_of(stock, 9)
    assert order_of(stock, 9, promised=8)
    assert Order.objects.count() == 2


def test_a_promise_counts_only_what_was_made_by_its_day(owner: User) -> None:
    """Bunches made tomorrow cannot be promised today; those made today can."""
    stock = ready(20, on=date(2024, 8, 1))
    with refused("not_free"):
        order_of(stock, 1, on=date(2024, 7, 31))
    assert line_of(order_of(stock, 1, on=date(2024, 8, 1))).kept == 1


def test_the_price_is_the_listed_one_net_of_tax(owner: User) -> None:
    """A price kept with tax is taken out net: 5.50 at 20 % is 4.58."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="123")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    stock, retail = ready(20), StallFactory()
    set_price(by=owner, way=retail, line=stock.line, on=date(2024, 1, 1), amount=550)
    set_price(by=owner, way=stock.way, line=stock.line, on=date(2024, 1, 1), amount=342)

    orders = [
        take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=way, lines=[Asked(stock.line, 1)])
        for way in (retail, stock.way)
    ]

    assert [line_of(order).price for order in orders] == [458, 342]


@pytest.mark.parametrize(
    ("code", "asked"),
    [
        ("absurd", (0, None, 5)), ("too_many", (3, 4, 5)), ("too_many", (3, -1, 5)), ("negative", (3, 3, -5)),
        ("no_price", (3, 3, None)),
    ],
)
def test_a_line_that_cannot_be_is_refused(code: str, asked: tuple, owner: User) -> None:
    """Nothing asked, more promised than asked, a price below zero, no price."""
    stock = ready(20)
    with refused(code):
        take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=[Asked(stock.line, *asked)])
    assert not Order.objects.exists()


def test_an_order_names_each_line_once_and_at_least_one(owner: User) -> None:
    """No line, or the same twice, is refused; so is a day wanted before the order."""
    stock, customer = ready(20), CustomerFactory()
    one = Asked(stock.line, 1, 1, 5)
    for code, lines in (("no_lines", []), ("twice", [one, one])):
        with refused(code):
            take_order(by=owner, on=ORDERED, customer=customer, way=stock.way, lines=lines)
    with refused("too_early"):
        take_order(by=owner, on=ORDERED, customer=customer, way=stock.way, lines=[one], wanted_on=date(2024, 8, 31))


def test_a_blanked_customer_orders_nothing(owner: User) -> None:
    """Somebody whose details were removed is nobody to promise to."""
    stock, customer = ready(20), CustomerFactory()
    blank_customer(by=owner, customer=customer)
    with refused("blanked"):
        take_order(by=owner, on=ORDERED, customer=customer, way=stock.way, lines=[Asked(stock.line, 1, 1, 5)])


def test_promising_more_stops_at_what_was_asked(owner: User) -> None:
    """Twelve asked, ten promised: two more, not three; what was cancelled is asked for no longer, until it is again."""
    order = order_of(ready(20), 12, promised=10)
    line = order.lines.get()
    with refused("too_many"):
        promise_more(by=owner, order_line=line, on=date(2024, 9, 2), bunches=3)
    promise_more(by=owner, order_line=line, on=date(2024, 9, 2), bunches=2)
    cancel(by=owner, order_line=line, on=date(2024, 9, 3), bunches=5)
    with refused("too_many"):
        promise_more(by=owner, order_line=line, on=date(2024, 9, 4), bunches=1)
    ask_more(by=owner, order_line=line, on=date(2024, 9, 4), bunches=3)
    promise_more(by=owner, order_line=line, on=date(2024, 9, 4), bunches=3)
    assert (line_of(order).wanted, line_of(order).kept) == (10, 10)


def test_giving_back_leaves_what_is_packed_and_sent(owner: User) -> None:
    """Ten promised, four sent, two packed: four can be given back, not five."""
    stock = ready(20)
    order = order_of(stock, 10)
    sent(order, stock, 4)
    packed(order, stock, 2, on=date(2024, 9, 5))
    line = order.lines.get()
    with refused("too_many"):
        cancel(by=owner, order_line=line, on=date(2024, 9, 6), bunches=5)

    cancel(by=owner, order_line=line, on=date(2024, 9, 6), bunches=4)

    assert Balance.objects.get(line=stock.line).free == 14
    assert (line_of(order).kept, line_of(order).given_back) == (2, 4)


def test_later_promises_and_givings_back_can_be_undone(owner: User) -> None:
    """Each by itself; the order's first promise only with the order."""
    order = order_of(ready(20), 12, promised=6)
    line = order.lines.get()
    more = promise_more(by=owner, order_line=line, on=date(2024, 9, 2), bunches=4)
    undo_promise(by=owner, change=more)
    assert line_of(order).kept == 6
    with refused("part_of_more"):
        undo_promise(by=owner, change=HoldChange.objects.standing().get())


def test_a_promise_that_is_packed_cannot_be_undone(owner: User) -> None:
    """Six and four promised, eight packed: the four stay."""
    stock = ready(20)
    order = order_of(stock, 10, promised=6)
    more = promise_more(by=owner, order_line=order.lines.get(), on=date(2024, 9, 2), bunches=4)
    packed(order, stock, 8)
    with refused("rested_on"):
        undo_promise(by=owner, change=more)


def test_undoing_a_cancellation_promises_again_what_it_gave_back(owner: User) -> None:
    """Ten asked, four cancelled; undone, ten are asked for and promised. What it gave back is undone with it only."""
    order = order_of(ready(20), 10)
    change = cancel(by=owner, order_line=order.lines.get(), on=date(2024, 9, 2), bunches=4)
    assert change.released is not None
    with refused("part_of_more"):
        undo_promise(by=owner, change=change.released)

    undo_asked_change(by=owner, change=change)

    assert (line_of(order).wanted, line_of(order).kept, line_of(order).open) == (10, 10, 0)


def test_the_first_promise_of_an_order_that_began_with_none(owner: User) -> None:
    """Nothing promised when taken: the first later promise can be undone."""
    order = order_of(ready(20), 10, promised=0)
    more = promise_more(by=owner, order_line=order.lines.get(), on=date(2024, 9, 2), bunches=4)
    undo_promise(by=owner, change=more)
    assert line_of(order).kept == 0


def test_an_order_undone_frees_its_promise(owner: User) -> None:
    """Nothing of it is kept any more, and nothing more can be done with it."""
    stock = ready(20)
    order = order_of(stock, 10)

    undo_order(by=owner, order=order)

    assert Balance.objects.get(line=stock.line).free == 20
    with refused("undone"):
        promise_more(by=owner, order_line=order.lines.get(), on=date(2024, 9, 2), bunches=1)


def test_an_order_that_was_packed_or_left_short_is_not_undone(owner: User) -> None:
    """What rests on it must go first; what became short is given back instead."""
    stock = ready(20)
    order = order_of(stock, 10)
    packing = packed(order, stock, 3)
    with refused("rested_on"):
        undo_order(by=owner, order=order)

    other = ready(20)
    short = order_of(other, 5)
    write_off(by=owner, on=date(2024, 9, 2), batch=other.batch, box=other.box, bunches=18, reason="moth")
    with refused("rested_on"):
        undo_order(by=owner, order=short)
    assert packing.stands and line_of(short).short == 3


def test_a_hand_takes_no_order(hand: User, owner: User) -> None:
    """Promising is for owner and seller."""
    stock = ready(20)
    with pytest.raises(PermissionDenied):
        take_order(by=hand, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=[Asked(stock.line, 1, 1, 5)])


def test_the_second_press_promises_once(owner: User) -> None:
    """The same form's key gives the first order again."""
    stock, customer = ready(20), CustomerFactory()
    given = {"on": ORDERED, "customer": customer, "way": stock.way, "lines": [Asked(stock.line, 5, 5, 5)]}
    first = take_order(by=owner, key="k" * 36, **given)
    assert take_order(by=owner, key="k" * 36, **given) == first
    assert Balance.objects.get(line=stock.line).held == 5
