"""Promises left short though their bunches are packed: sent, handed over, undone, taken back."""

from datetime import date

import pytest

from ledger.facts.models import User
from ledger.sales.actions import (
    Asked,
    SaidOf,
    cancel,
    fill,
    hand_over,
    pack,
    report,
    send,
    stand_in,
    take_order,
    undo_asked_change,
    undo_dispatch,
    undo_order,
    undo_report,
)
from ledger.sales.models import HandedOver, Order, OrderLine
from ledger.stock.actions import fill_again, undo_movement, write_off
from ledger.stock.models import Balance, Hold, Movement
from tests.factories.sales import ORDERED, PACKED, SENT, CustomerFactory, Ready, line_of, order_of, packed, ready
from tests.factories.stock import batch_of
from tests.refusals import refused

FOUND, LATER = date(2024, 9, 6), date(2024, 9, 8)


def figures(order: Order) -> list[tuple[int, int, int, int]]:
    """Kept, short, packed and sent of each line of an order."""
    lines = OrderLine.objects.with_standing().filter(order=order)
    return [(line.kept, line.short, line.packed, line.sent) for line in lines]


def lose(owner: User, stock: Ready, bunches: int, *, on: date = PACKED) -> Movement:
    """So many on the shelf are found damp."""
    return write_off(by=owner, on=on, batch=stock.batch, box=stock.box, bunches=bunches, reason="damp")


@pytest.fixture
def stock() -> Ready:
    """Twenty bunches in a box."""
    return ready(20)


@pytest.fixture
def first(stock: Ready) -> Order:
    """Ten promised before all others."""
    return order_of(stock, 10)


@pytest.fixture
def last(owner: User, stock: Ready, first: Order) -> Order:
    """Ten promised last, all packed; then five of the ten on the shelf were damp, and the last promise was left short of five."""
    order = order_of(stock, 10)
    packed(order, stock, 10)
    lose(owner, stock, 5)
    return order


def test_what_was_sent_is_no_longer_short(owner: User, stock: Ready, first: Order, last: Order) -> None:
    """All ten went: it is owed nothing; the five that are gone are missing from the other promise."""
    send(by=owner, order=last, on=SENT)

    assert (figures(last), figures(first)) == ([(0, 0, 0, 10)], [(5, 5, 0, 0)])
    batch_of(stock.line, 5, on=SENT, box=stock.box)
    with refused("nothing_lacking"):
        fill(by=owner, order_line=last.lines.get(), on=SENT)


def test_a_loss_undone_keeps_nothing_for_what_was_sent(owner: User, stock: Ready, first: Order, last: Order) -> None:
    """The five are there after all: free, since the order they were missing from has its ten."""
    send(by=owner, order=last, on=SENT)

    undo_movement(by=owner, movement=Movement.objects.get(kind="written_off"))

    assert figures(last) == [(0, 0, 0, 10)]
    assert Balance.objects.get(line=stock.line).free == 5


def test_a_dispatch_undone_leaves_it_short_and_packed_again(owner: User, first: Order, last: Order) -> None:
    """As it was before it was sent, for both orders."""
    undo_dispatch(by=owner, dispatch=send(by=owner, order=last, on=SENT))

    assert (figures(last), figures(first)) == ([(5, 5, 10, 0)], [(10, 0, 0, 0)])


def test_sent_undone_and_sent_again(owner: User, first: Order, last: Order) -> None:
    """The second sending is undone as the first was."""
    undo_dispatch(by=owner, dispatch=send(by=owner, order=last, on=SENT))
    again = send(by=owner, order=last, on=SENT)
    assert figures(last) == [(0, 0, 0, 10)]

    undo_dispatch(by=owner, dispatch=again)

    assert figures(last) == [(5, 5, 10, 0)]


def test_filled_after_a_sending_stays_when_that_is_undone(owner: User, stock: Ready, first: Order) -> None:
    """Six of ten packed, five lost, six sent: four are short; filled again, they stay so though the sending is undone."""
    order = order_of(stock, 10)
    packed(order, stock, 6)
    lose(owner, stock, 5)
    dispatch = send(by=owner, order=order, on=SENT)
    assert figures(order) == [(0, 4, 0, 6)]
    batch_of(stock.line, 4, on=SENT, box=stock.box)
    fill_again(by=owner, hold=order.lines.get().hold, on=SENT, bunches=4)

    undo_dispatch(by=owner, dispatch=dispatch)

    assert figures(order) == [(9, 1, 6, 0)]


def test_a_loss_undone_keeps_again_only_what_still_lacks(owner: User, stock: Ready, first: Order) -> None:
    """Of five left short one went with the six that were packed: the other four are kept again, one is free for the first."""
    order = order_of(stock, 10)
    packed(order, stock, 6)
    gone = lose(owner, stock, 5)
    send(by=owner, order=order, on=SENT)

    undo_movement(by=owner, movement=gone)

    assert (figures(order), figures(first)) == ([(4, 0, 0, 6)], [(9, 1, 0, 0)])
    assert Balance.objects.get(line=stock.line).free == 1


def test_sent_on_a_day_before_it_was_filled_again(owner: User, stock: Ready, first: Order, last: Order) -> None:
    """Kept again from the 8th, sent on the 4th: nothing of it is kept any more, and undone it keeps ten."""
    batch_of(stock.line, 5, on=FOUND, box=stock.box)
    fill(by=owner, order_line=last.lines.get(), on=LATER)

    dispatch = send(by=owner, order=last, on=SENT)
    assert (figures(last), figures(first)) == ([(0, 0, 0, 10)], [(10, 0, 0, 0)])

    undo_dispatch(by=owner, dispatch=dispatch)
    assert figures(last) == [(10, 0, 10, 0)]


def test_a_dispatch_of_one_bunch_line_twice_is_undone_as_it_was(owner: User, stock: Ready, first: Order) -> None:
    """Sending the order's own line takes what was promised to the same line standing in for another; undone, both keep theirs."""
    asked = [Asked(stock.line, 10, None, 300), Asked(ready(1).line, 6, 0, 300)]
    order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=asked)
    own, lacks = order.lines.order_by("pk")
    pack(by=owner, order_line=own, on=PACKED, batch=stock.batch, box=stock.box, bunches=10)
    lose(owner, stock, 5)
    more = batch_of(stock.line, 6, on=PACKED, box=stock.box)
    instead = stand_in(by=owner, order_line=lacks, on=PACKED, line=stock.line, bunches=6)
    pack(by=owner, order_line=instead, on=PACKED, batch=more, box=stock.box, bunches=6)
    before = figures(order)

    dispatch = send(by=owner, order=order, on=SENT)
    assert figures(order) == [(0, 0, 0, 10), (0, 0, 0, 0), (0, 0, 0, 6)]

    undo_dispatch(by=owner, dispatch=dispatch)
    assert (figures(order), figures(first)) == (before, [(10, 0, 0, 0)])


def test_what_is_packed_needs_nothing_to_stand_in(owner: User, stock: Ready, last: Order) -> None:
    """Short of five by the book, all ten in the parcel: nothing is left to be stood in for, or cancelled."""
    other, line = ready(5), last.lines.get()

    with refused("too_many"):
        stand_in(by=owner, order_line=line, on=PACKED, line=other.line, bunches=1)
    with refused("too_many"):
        cancel(by=owner, order_line=line, on=PACKED, bunches=1)
    assert line_of(last).to_pack == 0


def test_an_order_with_one_line_to_pack_can_be_packed(owner: User, stock: Ready, first: Order, client_as) -> None:  # type: ignore[no-untyped-def]
    """Its other line has more packed than is still kept for it: the way to packing is open all the same."""
    other = ready(3)
    asked = [Asked(stock.line, 10, None, 300), Asked(other.line, 3, None, 300)]
    order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=asked)
    pack(by=owner, order_line=order.lines.get(line=stock.line), on=PACKED, batch=stock.batch, box=stock.box, bunches=10)
    lose(owner, stock, 5)

    says = [str(link.label) for link in client_as(owner).get(order.get_absolute_url()).context["links"]]

    assert says[:2] == ["Pack", "Picking list"]


def consigned(owner: User, stock: Ready) -> tuple[Order, HandedOver]:
    """Ten promised on sale or return and handed over, of which a loss on the shelf left five short."""
    order = take_order(
        by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=[Asked(stock.line, 10, None, 300)],
        sale_or_return=True,
    )
    packed(order, stock, 10)
    out = hand_over(by=owner, order=order, on=PACKED)
    lose(owner, stock, 5, on=SENT)
    return order, out


def test_what_was_reported_sold_is_no_longer_short(owner: User, stock: Ready, first: Order) -> None:
    """All ten sold by the customer: nothing is owed; undone, it stands as before."""
    order, out = consigned(owner, stock)

    reported = report(by=owner, handed_over=out, on=FOUND, said=[SaidOf(order.lines.get(), stock.batch, 10)])
    assert figures(order) == [(0, 0, 0, 10)]

    undo_report(by=owner, reported=reported)
    assert (figures(order), figures(first)) == ([(5, 5, 10, 0)], [(10, 0, 0, 0)])


def test_what_comes_back_makes_up_for_what_is_short_first(owner: User, stock: Ready, first: Order) -> None:
    """Seven come back: the five short are owed no more and two are free; undone, five are short again."""
    order, out = consigned(owner, stock)

    reported = report(by=owner, handed_over=out, on=FOUND, said=[SaidOf(order.lines.get(), stock.batch, 0, 7)])
    assert figures(order) == [(3, 0, 3, 0)]
    assert Balance.objects.get(line=stock.line).free == 2

    undo_report(by=owner, reported=reported)
    assert figures(order) == [(5, 5, 10, 0)]
    assert line_of(order).open == 0


@pytest.mark.parametrize(("fewer", "left"), [(5, (5, 0)), (7, (3, 0)), (2, (5, 3))])
def test_a_cancelling_undone_leaves_short_what_was_short(owner: User, stock: Ready, fewer: int, left: tuple[int, int]) -> None:
    """Ten promised, five of them lost; five, seven or two cancelled and wanted after all: five are short, none is open."""
    order = order_of(stock, 10)
    lose(owner, stock, 15)

    change = cancel(by=owner, order_line=order.lines.get(), on=SENT, bunches=fewer)
    assert figures(order) == [(*left, 0, 0)]

    undo_asked_change(by=owner, change=change)
    assert figures(order) == [(5, 5, 0, 0)]
    assert (line_of(order).open, line_of(order).lacking) == (0, 5)


def test_a_cancelling_undone_leaves_filled_what_was_filled(owner: User, stock: Ready) -> None:
    """Short of five, filled again, then five cancelled: undone, all ten are kept, and five were filled."""
    order = order_of(stock, 10)
    lose(owner, stock, 15)
    batch_of(stock.line, 5, on=PACKED)
    fill(by=owner, order_line=order.lines.get(), on=SENT)

    change = cancel(by=owner, order_line=order.lines.get(), on=SENT, bunches=5)
    undo_asked_change(by=owner, change=change)

    assert figures(order) == [(10, 0, 0, 0)]


def test_a_cancelling_is_undone_only_while_it_is_free(owner: User, stock: Ready) -> None:
    """Five short and two kept were given up; the two went to another order since."""
    order = order_of(stock, 10)
    lose(owner, stock, 15)
    change = cancel(by=owner, order_line=order.lines.get(), on=SENT, bunches=7)
    order_of(stock, 2, on=SENT)

    with refused("not_free"):
        undo_asked_change(by=owner, change=change)


def test_an_order_filled_again_is_undone(owner: User, stock: Ready) -> None:
    """Left short and filled again, nothing packed: it goes as if it had never been, though nothing else is free."""
    order = order_of(stock, 10)
    lose(owner, stock, 15)
    batch_of(stock.line, 5, on=SENT)
    fill(by=owner, order_line=order.lines.get(), on=SENT)

    undo_order(by=owner, order=order)

    assert Balance.objects.get(line=stock.line).free == 10
    assert not Hold.objects.standing().exists()
