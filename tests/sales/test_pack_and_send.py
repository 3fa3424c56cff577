"""Packing into parcels and sending them."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.models import User
from ledger.sales.actions import (
    Asked,
    Picked,
    invoice,
    pack,
    pack_picked,
    send,
    take_order,
    undo_dispatch,
    undo_order,
    unpack,
)
from ledger.sales.models import OrderLine, Parcel
from ledger.sales.queries.picking import picks
from ledger.stock.actions import hold, write_off
from ledger.stock.models import Balance
from tests.factories.pricing import TradeFactory
from tests.factories.sales import ORDERED, PACKED, SENT, CustomerFactory, line_of, order_of, packed, ready, sent
from tests.factories.stock import BoxFactory, LineFactory, batch_of, there
from tests.refusals import refused
from tests.thread import spin_thread


def test_packing_moves_bunches_into_the_orders_parcel(owner: User) -> None:
    """From the shelf into one parcel, also in several goes."""
    stock = ready(20)
    order = order_of(stock, 10)

    parcel = packed(order, stock, 4).parcel
    packed(order, stock, 3)

    assert Parcel.objects.count() == 1 and parcel.box.parcel
    assert sorted(there(stock.batch)) == sorted([(stock.box.code, 13), (parcel.box.code, 7)])


def test_no_more_is_packed_than_is_promised(owner: User) -> None:
    """Ten promised, four packed: six more, not seven; nor after sending."""
    stock = ready(20)
    order = order_of(stock, 10)
    packed(order, stock, 4)
    with refused("too_many"):
        packed(order, stock, 7)
    packed(order, stock, 6)
    send(by=owner, order=order, on=SENT)
    with refused("too_many"):
        packed(order, stock, 1, on=SENT)


def test_only_what_was_asked_for_is_packed(owner: User) -> None:
    """Another line's batch, a parcel as source, a day before the order: refused."""
    stock, other = ready(20), ready(5)
    order = order_of(stock, 10)
    parcel = packed(order, stock, 1).parcel.box
    line = order.lines.get()
    for code, batch, box, on in (
        ("other_line", other.batch, other.box, PACKED), ("parcel", stock.batch, parcel, PACKED),
        ("too_early", stock.batch, stock.box, date(2024, 8, 31)), ("too_many", stock.batch, BoxFactory(), PACKED),
    ):
        with refused(code):
            pack(by=owner, order_line=line, on=on, batch=batch, box=box, bunches=1)


def test_unpacking_puts_bunches_back_where_they_were(owner: User) -> None:
    """The shelf has them again and they can be packed again."""
    stock = ready(20)
    order = order_of(stock, 10)

    unpack(by=owner, packing=packed(order, stock, 4))

    assert there(stock.batch) == [(stock.box.code, 20)]
    assert line_of(order).to_pack == 10


def test_what_was_sent_cannot_be_unpacked(owner: User) -> None:
    """The dispatch must be undone first."""
    stock = ready(20)
    order = order_of(stock, 10)
    packing = packed(order, stock, 4)
    send(by=owner, order=order, on=SENT)
    with refused("rested_on"):
        unpack(by=owner, packing=packing)


def test_sending_sells_the_parcel_and_uses_the_promise(owner: User) -> None:
    """Four gone by two batches, six of ten still promised."""
    stock = ready(3)
    second = batch_of(stock.line, 17, on=date(2024, 8, 2))
    order = order_of(stock, 10)
    packed(order, stock, 3)
    pack(by=owner, order_line=order.lines.get(), on=PACKED, batch=second, box=None, bunches=1)

    dispatch = send(by=owner, order=order, on=SENT)

    lines = dispatch.lines.values_list("movement__batch", "bunches", "movement__kind")
    assert list(lines) == [(stock.batch.pk, 3, "sold"), (second.pk, 1, "sold")]
    balance = Balance.objects.get(line=stock.line)
    assert (balance.on_hand, balance.held) == (16, 6)


def test_nothing_is_sent_that_is_not_packed(owner: User) -> None:
    """Nothing packed yet, all sent already, or sent before it was packed: refused."""
    stock = ready(20)
    order = order_of(stock, 10)
    with refused("nothing_packed"):
        send(by=owner, order=order, on=SENT)
    packed(order, stock, 4, on=SENT)
    with refused("too_early"):
        send(by=owner, order=order, on=PACKED)
    send(by=owner, order=order, on=SENT)
    with refused("nothing_packed"):
        send(by=owner, order=order, on=SENT)


def test_an_undone_order_is_neither_packed_nor_sent(owner: User) -> None:
    """What was undone after the form was opened is built on no more."""
    stock = ready(20)
    order = order_of(stock, 10)
    undo_order(by=owner, order=order)
    with refused("undone"):
        packed(order, stock, 1)
    with refused("undone"):
        send(by=owner, order=order, on=SENT)


def test_a_dispatch_undone_is_in_its_parcel_again(owner: User) -> None:
    """Bunches, promise and parcel are as before, and it can be sent again."""
    stock = ready(20)
    order = order_of(stock, 10)
    dispatch = sent(order, stock, 4)

    undo_dispatch(by=owner, dispatch=dispatch)

    line, balance = line_of(order), Balance.objects.get(line=stock.line)
    assert (line.kept, line.packed, line.sent) == (10, 4, 0)
    assert (balance.on_hand, balance.held) == (20, 10)
    assert send(by=owner, order=order, on=SENT).parcel == dispatch.parcel


def test_two_dispatches_of_a_day_are_undone_each_by_itself(owner: User) -> None:
    """Four and six sent on one day: undoing the four leaves the six sent."""
    stock = ready(20)
    order = order_of(stock, 10)
    first, _second = sent(order, stock, 4), sent(order, stock, 6)

    undo_dispatch(by=owner, dispatch=first)

    assert (line_of(order).kept, line_of(order).sent) == (4, 6)


def test_an_invoiced_dispatch_stands(owner: User) -> None:
    """An invoice is never undone, so what it bills stays sent."""
    stock = ready(20)
    order = order_of(stock, 10)
    dispatch = sent(order, stock, 4)
    invoice(by=owner, order=order, on=SENT)
    with refused("invoiced"):
        undo_dispatch(by=owner, dispatch=dispatch)


def test_a_packed_parcel_left_short_is_sent_all_the_same(owner: User) -> None:
    """The later order's promise gave way on paper, but its bunches lie packed: they go, and the other is short."""
    stock = ready(10)
    order = order_of(stock, 6)
    other = order_of(stock, 4, on=ORDERED)
    packed(other, stock, 4)
    write_off(by=owner, on=SENT, batch=stock.batch, box=stock.box, bunches=3, reason="moth")
    assert line_of(other).short == 3

    dispatch = send(by=owner, order=other, on=SENT)

    assert (line_of(other).kept, line_of(order).short, line_of(order).kept) == (0, 3, 3)
    undo_dispatch(by=owner, dispatch=dispatch)
    assert (line_of(other).kept, line_of(other).packed) == (1, 4)


def test_the_picking_list_goes_by_shelf_and_proposes_the_oldest_first(owner: User) -> None:
    """Fifteen wanted: all eight old ones from shelf Z, seven newer from shelf A, listed A first."""
    line, a, z = LineFactory(), BoxFactory(shelf="A"), BoxFactory(shelf="Z")
    batch_of(line, 8, on=date(2024, 7, 25), box=z)
    batch_of(line, 10, on=date(2024, 8, 1), box=a)
    batch_of(line, 5, on=date(2024, 8, 9))
    stock = ready(1)
    order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=[Asked(line, 15, 15, 5)])

    rows = [(pick.content.box.shelf if pick.content.box else "", pick.proposed) for pick in picks(order)]

    assert rows == [("A", 7), ("Z", 8), ("", 0)]


def test_a_picking_list_is_packed_whole_or_not_at_all(owner: User) -> None:
    """One impossible row and nothing is packed; nothing ticked is refused; another order's line too."""
    stock = ready(20)
    order, other = order_of(stock, 10), order_of(stock, 2)
    line = order.lines.get()
    good = Picked(line, stock.batch, stock.box, 4)
    with refused("too_many"):
        pack_picked(by=owner, order=order, on=PACKED, picked=[good, Picked(line, stock.batch, stock.box, 7)])
    with refused("nothing_picked"):
        pack_picked(by=owner, order=order, on=PACKED, picked=[])
    with refused("other_order"):
        pack_picked(by=owner, order=other, on=PACKED, picked=[good])
    assert not Parcel.objects.exists()


def test_a_hand_packs_and_sends_and_a_bookkeeper_does_not(hand: User, bookkeeper: User, owner: User) -> None:
    """Packing and sending are for owner, hand and seller."""
    stock = ready(20)
    order = order_of(stock, 10)
    given = {"order_line": order.lines.get(), "on": PACKED, "batch": stock.batch, "box": stock.box, "bunches": 2}
    with pytest.raises(PermissionDenied):
        pack(by=bookkeeper, **given)
    pack(by=hand, **given)
    assert send(by=hand, order=order, on=SENT).recorded_by == hand


def test_the_second_press_sends_once(owner: User) -> None:
    """The same form's key gives the first dispatch again."""
    stock = ready(20)
    order = order_of(stock, 10)
    packed(order, stock, 4)
    first = send(by=owner, key="k" * 36, order=order, on=SENT)
    assert send(by=owner, key="k" * 36, order=order, on=SENT) == first


def test_of_two_dispatches_of_a_day_each_gives_back_what_it_used(owner):
    """Five sent; two of the other five left short, so that sending them uses three: undone, three are kept again."""
    thread = spin_thread(owner)
    day = date(2024, 9, 3)
    hold(by=owner, on=date(2024, 9, 1), line=thread.line, bunches=17, for_what="an earlier promise")
    order = take_order(
        by=owner, on=date(2024, 9, 2), customer=CustomerFactory(), way=TradeFactory(), lines=[Asked(thread.line, 10, price=500)]
    )
    line, some = order.lines.get(), {"by": owner, "on": day, "batch": thread.batch, "box": thread.box, "bunches": 5}
    pack(order_line=line, **some)
    first = send(by=owner, order=order, on=day)
    pack(order_line=line, **some)
    write_off(by=owner, on=day, batch=thread.batch, box=thread.box, bunches=2, reason="mice")
    second = send(by=owner, order=order, on=day)

    def kept():
        return OrderLine.objects.with_standing().get(pk=line.pk).kept

    assert kept() == 0
    undo_dispatch(by=owner, dispatch=second)
    assert kept() == 3
    undo_dispatch(by=owner, dispatch=first)
    assert kept() == 8
