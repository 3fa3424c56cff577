"""Picking: fewer found than the record says, something else packed instead, and what the papers say is still to come."""

from datetime import date

from django.db import connection
from django.test.utils import CaptureQueriesContext
from pytest_django import DjangoAssertNumQueries

from ledger.facts.models import User
from ledger.sales.actions import Asked, Picked, come_later, pack, pack_picked, send, stand_in, substitute, take_order
from ledger.sales.models import Order, OrderLine, Packing
from ledger.sales.queries.picking import lines_to_pick, picks, places_instead, still_to_come
from ledger.stock.actions import write_off
from ledger.stock.models import Batch, CountLine
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


def two_seasons() -> tuple[Ready, Batch]:
    """Ten bunches of August 2024 in one box, ten of August 2025 in another."""
    stock = ready(10, on=date(2024, 8, 1))
    return stock, batch_of(stock.line, 10, on=date(2025, 8, 1), box=BoxFactory())


def order_of_season(owner: User, stock: Ready, asked: int, season: int | None) -> Order:
    """So many bunches of one season, or of any, promised in September 2025."""
    lines = [Asked(stock.line, asked, None, 300, season)]
    return take_order(by=owner, on=date(2025, 9, 1), customer=CustomerFactory(), way=stock.way, lines=lines)


def proposed(order: Order) -> dict[Batch, int]:
    """What is proposed to be taken of each batch."""
    return {pick.content.batch: pick.proposed for pick in picks(order) if pick.proposed}


def test_what_another_order_wants_of_one_season_is_not_proposed(owner: User) -> None:
    """Seven of 2024 are promised to an order of that season: of any season, three of them and five of 2025."""
    stock, new = two_seasons()
    other = order_of_season(owner, stock, 7, 2024)
    order = order_of_season(owner, stock, 8, None)

    assert proposed(order) == {stock.batch: 3, new: 5}
    assert proposed(other) == {stock.batch: 7}


def test_what_is_packed_of_one_season_is_wanted_no_more(owner: User) -> None:
    """The other order's seven are in its parcel: the three that are left are proposed as before."""
    stock, new = two_seasons()
    other = order_of_season(owner, stock, 7, 2024)
    order = order_of_season(owner, stock, 8, None)
    pack(by=owner, order_line=other.lines.get(), on=date(2025, 9, 2), batch=stock.batch, box=stock.box, bunches=7)

    assert proposed(order) == {stock.batch: 3, new: 5}


def test_an_order_of_both_leaves_its_own_line_of_one_season_what_it_needs(owner: User) -> None:
    """Of the same bunches ten of 2024, and six that stand in for another line: the six are of 2025, whichever came first."""
    stock, new = two_seasons()
    asked = [Asked(ready(1).line, 6, 0, 300), Asked(stock.line, 10, None, 300, 2024)]
    order = take_order(by=owner, on=date(2025, 9, 1), customer=CustomerFactory(), way=stock.way, lines=asked)
    lacks = order.lines.exclude(line=stock.line).get()
    stand_in(by=owner, order_line=lacks, on=date(2025, 9, 2), line=stock.line, bunches=6)

    assert proposed(order) == {stock.batch: 10, new: 6}


def test_places_of_a_season_are_found_with_as_many_statements_however_many(
    owner: User, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    """One box or six."""
    stock, _new = two_seasons()
    order = order_of_season(owner, stock, 10, 2024)
    with CaptureQueriesContext(connection) as asked:
        picks(order)
    for day in range(2, 7):
        batch_of(stock.line, 5, on=date(2024, 8, day), box=BoxFactory())

    with django_assert_num_queries(len(asked)):
        assert len(picks(order)) == 6


def test_what_is_packed_though_short_is_not_to_be_picked(owner: User) -> None:
    """Ten packed, then five of the ten promised before were damp: nothing is left to pick for it."""
    stock = ready(20)
    order_of(stock, 10)
    order = order_of(stock, 10)
    pack(by=owner, order_line=order.lines.get(), on=PACKED, batch=stock.batch, box=stock.box, bunches=10)
    write_off(by=owner, on=PACKED, batch=stock.batch, box=stock.box, bunches=5, reason="damp")

    assert stands(order) == [(5, 10, 5, 0, 0)]
    assert lines_to_pick(order) == []
