"""Lines of orders that are short: filled, to come later, stood in for, cancelled in part; and asked for of one season."""

from datetime import date

import pytest

from ledger.facts.models import User
from ledger.sales.actions import (
    Asked,
    ask_more,
    cancel,
    come_later,
    fill,
    pack,
    promise_more,
    stand_in,
    take_order,
    undo_asked_change,
    undo_later,
)
from ledger.sales.models import Order, OrderLine
from ledger.sales.queries.picking import picks
from ledger.stock.actions import write_off
from ledger.stock.models import Balance, Hold
from tests.factories.sales import ORDERED, CustomerFactory, Ready, order_of, packed, ready, sent
from tests.factories.stock import batch_of
from tests.refusals import refused

NEXT, THEN, SPRING = date(2024, 9, 2), date(2024, 9, 10), date(2025, 3, 1)


def stands(line: OrderLine) -> tuple[int, ...]:
    """Wanted, kept, stood in for, open, left short."""
    now = OrderLine.objects.with_standing().get(pk=line.pk)
    return now.wanted, now.kept, now.stood_in, now.open, now.short


def short_of_three(owner: User) -> tuple[Ready, OrderLine]:
    """Ten promised; thirteen of twenty are spoilt, so three are left short."""
    stock = ready(20)
    line = order_of(stock, 10).lines.get()
    write_off(by=owner, on=NEXT, batch=stock.batch, box=stock.box, bunches=13, reason="damp")
    assert stands(line) == (10, 7, 0, 0, 3)
    return stock, line


def test_filling_takes_what_is_free_first_for_what_was_left_short(owner: User) -> None:
    """Three short and four more wanted, five come: the three again and two of the four."""
    stock, line = short_of_three(owner)
    ask_more(by=owner, order_line=line, on=NEXT, bunches=4)
    with refused("not_free"):
        fill(by=owner, order_line=line, on=THEN)
    batch_of(stock.line, 5, on=NEXT, box=stock.box)

    fill(by=owner, order_line=line, on=THEN)

    assert stands(line) == (14, 12, 0, 2, 0)


def test_what_is_all_promised_is_not_filled(owner: User) -> None:
    """Ten of ten."""
    with refused("nothing_lacking"):
        fill(by=owner, order_line=order_of(ready(20), 10).lines.get(), on=NEXT)


def test_what_comes_later_promises_nothing_and_is_said_once(owner: User) -> None:
    """Four of ten not promised: four may come later, not five; the stock is as free as before; undone, it may be said again."""
    stock = ready(20)
    line = order_of(stock, 10, promised=6).lines.get()
    with refused("too_many"):
        come_later(by=owner, order_line=line, on=NEXT, bunches=5)
    with refused("too_early"):
        come_later(by=owner, order_line=line, on=NEXT, bunches=4, hoped_for=ORDERED)
    with refused("too_early"):
        come_later(by=owner, order_line=line, on=date(2024, 8, 31), bunches=4)

    later = come_later(by=owner, order_line=line, on=NEXT, bunches=4, hoped_for=THEN)

    assert stands(line) == (10, 6, 0, 4, 0) and Balance.objects.get(line=stock.line).free == 14
    with refused("twice"):
        come_later(by=owner, order_line=line, on=NEXT, bunches=1)
    undo_later(by=owner, later=later)
    assert come_later(by=owner, order_line=line, on=NEXT, bunches=1)


def test_another_line_stands_in_and_nothing_asked_for_is_changed(owner: User) -> None:
    """Four open, three of another line in their place at the same price: ten are still asked for, one is open."""
    stock, other = ready(20), ready(20)
    line = order_of(stock, 10, promised=6, price=342).lines.get()

    instead = stand_in(by=owner, order_line=line, on=NEXT, line=other.line, bunches=3)

    assert stands(line) == (10, 6, 3, 1, 0) and stands(instead) == (3, 3, 0, 0, 0)
    assert instead.price == 342 and instead.instead_of == line
    assert Order.objects.with_standing().get().asked == 10
    with refused("too_many"):
        promise_more(by=owner, order_line=line, on=NEXT, bunches=2)


@pytest.mark.parametrize(("code", "bunches"), [("too_many", 5), ("too_few", 0)])
def test_no_more_stands_in_than_is_lacking(owner: User, code: str, bunches: int) -> None:
    """Four are open."""
    line = order_of(ready(20), 10, promised=6).lines.get()
    with refused(code):
        stand_in(by=owner, order_line=line, on=NEXT, line=ready(20).line, bunches=bunches)
    with refused("same_line"):
        stand_in(by=owner, order_line=line, on=NEXT, line=line.line, bunches=1)


def test_a_line_stands_in_for_what_was_left_short(owner: User) -> None:
    """Three left short, three of another line: nothing is owed any more, nor filled again."""
    _stock, line = short_of_three(owner)
    stand_in(by=owner, order_line=line, on=NEXT, line=ready(20).line, bunches=3, price=400)
    assert stands(line) == (10, 7, 3, 0, 0)
    assert not Hold.objects.left_short().exists()


def test_a_standing_in_cancelled_leaves_the_line_open_and_can_be_done_again(owner: User) -> None:
    """Open again, the other line free again; the same line may stand in anew, and then the cancellation stands."""
    other = ready(20)
    line = order_of(ready(20), 10, promised=6).lines.get()
    instead = stand_in(by=owner, order_line=line, on=NEXT, line=other.line, bunches=4)
    change = cancel(by=owner, order_line=instead, on=NEXT, bunches=4)
    assert stands(line) == (10, 6, 0, 4, 0) and Balance.objects.get(line=other.line).free == 20

    again = stand_in(by=owner, order_line=line, on=NEXT, line=other.line, bunches=4)

    assert stands(line) == (10, 6, 4, 0, 0)
    with refused("rested_on"):
        undo_asked_change(by=owner, change=change)
    with refused("instead"):
        ask_more(by=owner, order_line=again, on=NEXT, bunches=1)


def test_cancelling_takes_first_what_is_not_promised(owner: User) -> None:
    """Ten asked, six promised: five fewer gives one back; six more cannot be cancelled, five can."""
    stock = ready(20)
    line = order_of(stock, 10, promised=6).lines.get()
    change = cancel(by=owner, order_line=line, on=NEXT, bunches=5)
    assert stands(line) == (5, 5, 0, 0, 0) and change.released.bunches == -1
    with refused("too_many"):
        cancel(by=owner, order_line=line, on=NEXT, bunches=6)
    with refused("too_few"):
        cancel(by=owner, order_line=line, on=NEXT, bunches=0)
    cancel(by=owner, order_line=line, on=NEXT, bunches=5)
    assert Balance.objects.get(line=stock.line).free == 20


def test_cancelling_what_was_left_short_gives_nothing_back(owner: User) -> None:
    """Three left short, four cancelled: the three are owed no more and one is free again; undone, three are short as before."""
    _stock, line = short_of_three(owner)
    change = cancel(by=owner, order_line=line, on=NEXT, bunches=4)
    assert stands(line) == (6, 6, 0, 0, 0)
    undo_asked_change(by=owner, change=change)
    assert stands(line) == (10, 7, 0, 0, 3)


def test_more_asked_for_is_undone_only_while_it_is_open(owner: User) -> None:
    """Two more, promised: the change stands."""
    line = order_of(ready(20), 10).lines.get()
    change = ask_more(by=owner, order_line=line, on=NEXT, bunches=2)
    with refused("absurd"):
        ask_more(by=owner, order_line=line, on=NEXT, bunches=0)
    promise_more(by=owner, order_line=line, on=NEXT, bunches=2)
    with refused("rested_on"):
        undo_asked_change(by=owner, change=change)


def seasons(owner: User) -> Ready:
    """Eight bunches made in 2024, twenty in 2025, in one box."""
    stock = ready(8)
    batch_of(stock.line, 20, on=date(2025, 2, 1), box=stock.box)
    return stock


def of_season(owner: User, stock: Ready, asked: int, season: int | None) -> OrderLine:
    """So many of one season's bunches only."""
    lines = [Asked(stock.line, asked, None, 342, season)]
    return take_order(by=owner, on=SPRING, customer=CustomerFactory(), way=stock.way, lines=lines).lines.get()


def test_no_more_of_a_season_is_promised_than_is_there_and_not_held_for_it(owner: User) -> None:
    """Of 2024's eight, five and three, not four; of any season the rest of twenty-eight."""
    stock = seasons(owner)
    of_season(owner, stock, 5, 2024)
    with refused("not_of_season"):
        of_season(owner, stock, 4, 2024)
    of_season(owner, stock, 3, 2024)
    of_season(owner, stock, 20, None)
    with refused("not_free"):
        of_season(owner, stock, 1, 2025)


def test_only_that_season_is_picked(owner: User) -> None:
    """Of 2025 only its batch is offered, though the older is there; the other is refused."""
    stock = seasons(owner)
    line = of_season(owner, stock, 5, 2025)
    newer = stock.line.batches.exclude(pk=stock.batch.pk).get()
    assert [(pick.content.batch, pick.proposed) for pick in picks(line.order)] == [(newer, 5)]
    with refused("other_season"):
        pack(by=owner, order_line=line, on=SPRING, batch=stock.batch, box=stock.box, bunches=1)


def test_filling_keeps_to_the_season(owner: User) -> None:
    """Ten of 2024 asked, none promised: eight are promised, though twenty-eight are free."""
    stock = seasons(owner)
    lines = [Asked(stock.line, 10, 0, 342, 2024)]
    line = take_order(by=owner, on=SPRING, customer=CustomerFactory(), way=stock.way, lines=lines).lines.get()
    fill(by=owner, order_line=line, on=SPRING)
    assert stands(line) == (10, 8, 0, 2, 0)


def test_sent_bunches_are_not_cancelled(owner: User) -> None:
    """Four sent, two packed of ten: four can be cancelled."""
    stock = ready(20)
    order = order_of(stock, 10)
    sent(order, stock, 4)
    packed(order, stock, 2, on=date(2024, 9, 5))
    with refused("too_many"):
        cancel(by=owner, order_line=order.lines.get(), on=date(2024, 9, 6), bunches=5)
