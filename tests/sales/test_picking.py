"""Picking: fewer found than the record says, something else packed instead, and what the papers say is still to come."""

from datetime import date

from ledger.facts.models import User
from ledger.sales.actions import Asked, Picked, come_later, pack_picked, send, substitute, take_order
from ledger.sales.models import Order, OrderLine, Packing
from ledger.sales.queries.picking import lines_to_pick, places_instead, still_to_come
from ledger.stock.models import CountLine
from tests.factories.growing import VarietyFactory
from tests.factories.sales import ORDERED, PACKED, SENT, CustomerFactory, Ready, order_of, ready
from tests.factories.stock import BoxFactory, LineFactory, batch_of
from tests.refusals import refused


def stands(order: Order) -> list[tuple[int, ...]]:
    """Of each line: kept, packed, left short, open, stood in for."""
    lines = OrderLine.objects.with_standing().filter(order=order).order_by("pk")
    return [(one.kept, one.packed, one.short, one.open, one.stood_in) for one in lines]


def alike(stock: Ready) -> Ready:
    """Twenty bunches of another grade of the same variety."""
    line, box = LineFactory(variety=stock.line.variety, grade="seconds"), BoxFactory()
    return Ready(line, batch_of(line, 20, box=box), box, stock.way)


def test_there_were_only_so_many_is_counted_there_and_then(owner: User) -> None:
    """Ten by the record, seven found and packed: counted, three left short, and the next box is offered for nothing."""
    stock = ready(10)
    order = order_of(stock, 10)

    pack_picked(by=owner, order=order, on=PACKED, picked=[Picked(order.lines.get(), stock.batch, stock.box, 7, only=7)])

    counted = CountLine.objects.get()
    assert (counted.recorded, counted.counted, counted.count.box) == (10, 7, stock.box)
    assert stands(order) == [(7, 7, 3, 0, 0)]
    assert [line.pk for line in lines_to_pick(order)] == [order.lines.get().pk]


def test_another_box_makes_up_for_what_was_not_there(owner: User) -> None:
    """Ten in the first box by the record and ten in a second: three found, three packed, seven still to pack."""
    stock, second = ready(10), BoxFactory()
    batch_of(stock.line, 10, on=date(2024, 8, 2), box=second)
    order = order_of(stock, 10)
    pack_picked(by=owner, order=order, on=PACKED, picked=[Picked(order.lines.get(), stock.batch, stock.box, 3, only=3)])
    assert stands(order) == [(10, 3, 0, 0, 0)]


def test_an_empty_box_is_counted_without_taking_anything(owner: User) -> None:
    """None there: nothing is packed, ten are left short. More than were there cannot be taken."""
    stock = ready(10)
    order = order_of(stock, 10)
    with refused("not_there"):
        pack_picked(by=owner, order=order, on=PACKED, picked=[Picked(order.lines.get(), stock.batch, stock.box, 3, only=2)])
    pack_picked(by=owner, order=order, on=PACKED, picked=[Picked(order.lines.get(), stock.batch, stock.box, 0, only=0)])
    assert stands(order) == [(0, 0, 10, 0, 0)] and not Packing.objects.exists()


def test_something_else_is_packed_and_stands_in(owner: User) -> None:
    """Ten promised, four of another grade packed instead: six still to pack of the first, four packed of the other."""
    stock = ready(20)
    other, order = alike(stock), order_of(stock, 10, price=342)
    line = order.lines.get()
    assert [place.batch for place in places_instead(line)] == [other.batch]

    instead = substitute(by=owner, order_line=line, on=PACKED, batch=other.batch, box=other.box, bunches=4)

    assert stands(order) == [(6, 0, 0, 0, 4), (4, 4, 0, 0, 0)]
    assert (instead.price, instead.instead_of) == (342, line)
    with refused("too_many"):
        substitute(by=owner, order_line=line, on=PACKED, batch=other.batch, box=other.box, bunches=7)


def test_what_was_left_short_is_substituted_too(owner: User) -> None:
    """Seven of ten found; three of another grade: nothing lacks any more."""
    stock = ready(10)
    other, order = alike(stock), order_of(stock, 10)
    line = order.lines.get()
    pack_picked(by=owner, order=order, on=PACKED, picked=[Picked(line, stock.batch, stock.box, 7, only=7)])
    substitute(by=owner, order_line=line, on=PACKED, batch=other.batch, box=other.box, bunches=3)
    assert stands(order) == [(7, 7, 0, 0, 3), (3, 3, 0, 0, 0)]


def test_bunches_of_another_colour_are_not_offered(owner: User) -> None:
    """Blue is asked for: the white of another variety is not offered, the blue of another is."""
    stock = ready(20)
    line = order_of(stock, 10).lines.get()
    white = LineFactory(variety=VarietyFactory(colour="white"), colour="white")
    blue = LineFactory(variety=VarietyFactory(colour="pale blue"), colour="pale blue")
    for one in (white, blue):
        batch_of(one, 5, box=BoxFactory())
    assert [place.batch.line for place in places_instead(line)] == [blue]


def test_the_dispatch_note_names_what_is_still_to_come(owner: User) -> None:
    """Twelve asked, ten promised, six sent: four promised, and two hoped for by the 20th."""
    stock = ready(10)
    lines = [Asked(stock.line, 12, 10, 342)]
    order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=lines)
    line = order.lines.get()
    come_later(by=owner, order_line=line, on=ORDERED, bunches=2, hoped_for=date(2024, 9, 20))
    pack_picked(by=owner, order=order, on=PACKED, picked=[Picked(line, stock.batch, stock.box, 6)])
    send(by=owner, order=order, on=SENT)

    found = [(one.line, one.bunches, one.promised, one.hoped_for) for one in still_to_come(order)]

    assert found == [(line, 4, True, None), (line, 2, False, date(2024, 9, 20))]
