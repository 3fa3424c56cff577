"""Sales of a stall day entered after it was put away: they are what was missing then, and are not taken out twice."""

from datetime import date

import pytest

from ledger.facts.models import User
from ledger.sales.actions import (
    BackBox,
    BackBunches,
    Sold,
    bring_back,
    load_boxes,
    sell,
    undo_bring_back,
    undo_sale,
)
from ledger.sales.models import Sale, StallBack, StallDay
from ledger.stock.actions import count_box, hold, move, undo_count, undo_movement
from ledger.stock.models import Balance, Movement
from tests.factories.sales import Ready, StallDayFactory, ready
from tests.factories.stock import BoxFactory, batch_of, there
from tests.refusals import refused

ON, NEXT = date(2024, 9, 7), date(2024, 9, 8)


@pytest.fixture
def stock(owner: User) -> Ready:
    """Ten bunches in a box."""
    return ready(10)


@pytest.fixture
def day(owner: User, stock: Ready) -> StallDay:
    """A market that has the box with it and sold three."""
    day = StallDayFactory()
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    late(owner, day, stock, 3)
    return day


def late(owner: User, day: StallDay, stock: Ready, number: int, **given) -> Sale:
    """So many sold at the market, as a seller's phone enters it."""
    said = [Sold(number, line=stock.line, price=500)]
    return sell(by=owner, on=ON, way=day.way, lines=said, stall_day=day, **{"beyond_record": True, **given})


def put_away(owner: User, day: StallDay, stock: Ready, back: int, *, on: date = ON, thrown: int = 0) -> StallBack:
    """So many came back in the box."""
    boxes = [BackBox(stock.box, [BackBunches(stock.batch, back, thrown)])]
    return bring_back(by=owner, on=on, stall_day=day, boxes=boxes, why="crushed" if thrown else "")


@pytest.mark.parametrize("on", [ON, NEXT])
def test_what_was_missing_is_sold(owner: User, stock: Ready, day: StallDay, on: date) -> None:
    """Five of seven came back; one sale of two comes in: five are there, nothing is missing and nothing to be checked."""
    put_away(owner, day, stock, 5, on=on)

    sale = late(owner, day, stock, 2)

    assert there(stock.batch) == [(stock.box.code, 5)]
    found = Movement.objects.get(kind="found")
    assert (found.bunches, found.on, found.brings_back.kind) == (2, on, "written_off")
    assert [taking.movement.used for taking in sale.takings.all()] == [2]
    assert not Movement.objects.still_to_check()


@pytest.mark.parametrize("on", [ON, NEXT])
def test_undone_it_is_missing_again(owner: User, stock: Ready, day: StallDay, on: date) -> None:
    """Two sales came in, of one each; the first is undone, then the second, then one of two is entered."""
    put_away(owner, day, stock, 5, on=on)
    first, second = late(owner, day, stock, 1), late(owner, day, stock, 1)

    undo_sale(by=owner, sale=first)
    assert there(stock.batch) == [(stock.box.code, 5)]
    undo_sale(by=owner, sale=second)
    assert there(stock.batch) == [(stock.box.code, 5)] and not Movement.objects.standing().filter(kind="found")
    late(owner, day, stock, 2)
    assert there(stock.batch) == [(stock.box.code, 5)]


def test_what_is_more_than_was_missing_is_sold_from_what_came_back(owner: User, stock: Ready, day: StallDay) -> None:
    """One was missing, three come in: two of the six that came back are gone after all; undone, six are there."""
    put_away(owner, day, stock, 6)
    sale = late(owner, day, stock, 3)
    assert there(stock.batch) == [(stock.box.code, 4)]
    undo_sale(by=owner, sale=sale)
    assert there(stock.batch) == [(stock.box.code, 6)]


def test_it_is_taken_from_the_batch_that_was_missing(owner: User, stock: Ready, day: StallDay) -> None:
    """The older batch came back whole, two of the younger did not: the younger ones were sold."""
    young = batch_of(stock.line, 4, on=date(2024, 8, 20), box=stock.box)
    counted = [BackBunches(stock.batch, 7), BackBunches(young, 2)]
    bring_back(by=owner, on=ON, stall_day=day, boxes=[BackBox(stock.box, counted)])
    late(owner, day, stock, 2)
    assert there(stock.batch, young) == [(stock.box.code, 7), (stock.box.code, 2)]


def test_a_sale_elsewhere_or_from_another_box_is_none_of_it(owner: User, stock: Ready, day: StallDay) -> None:
    """Sold at the gate, and from a box named that missed none."""
    other = BoxFactory(shelf="B2")
    batch_of(stock.line, 4, on=date(2024, 8, 20), box=other)
    put_away(owner, day, stock, 5)
    sell(by=owner, on=ON, way=day.way, lines=[Sold(1, line=stock.line, price=500)])
    sell(by=owner, on=ON, way=day.way, lines=[Sold(1, line=stock.line, price=500, box=other)], stall_day=day)
    assert not Movement.objects.filter(kind="found")
    assert Balance.objects.get(pk=stock.line.pk).on_hand == 7


def test_what_was_put_away_is_undone_beside_it(owner: User, stock: Ready, day: StallDay) -> None:
    """Four were missing and one thrown out; one sale of three came in: undone, four of seven are there, to be counted anew."""
    back = put_away(owner, day, stock, 3, thrown=1)
    sale = late(owner, day, stock, 3)
    assert there(stock.batch) == [(stock.box.code, 2)]

    undo_bring_back(by=owner, stall_back=back)

    assert there(stock.batch) == [(stock.box.code, 4)]
    put_away(owner, day, stock, 3)
    assert there(stock.batch) == [(stock.box.code, 3)]
    undo_sale(by=owner, sale=sale)
    assert there(stock.batch) == [(stock.box.code, 6)]


def test_promises_are_kept_as_far_as_there_is_enough(owner: User, stock: Ready, day: StallDay) -> None:
    """Seven promised; three missing leave three short, a sale of one entered late no more; undone, one is short still."""
    kept = hold(by=owner, on=date(2024, 9, 1), line=stock.line, bunches=7, for_what="wedding")
    back = put_away(owner, day, stock, 4)
    late(owner, day, stock, 1)
    assert Balance.objects.values_list("on_hand", "held").get(pk=stock.line.pk) == (4, 4)

    undo_bring_back(by=owner, stall_back=back)

    on_hand, held = Balance.objects.values_list("on_hand", "held").get(pk=stock.line.pk)
    assert on_hand == 6 and held <= 6
    assert -sum(kept.changes.standing().filter(why__in=["short", "refilled"]).values_list("bunches", flat=True)) == 7 - held


def test_what_came_into_the_box_only_later_was_not_sold_at_the_market(owner: User, stock: Ready, day: StallDay) -> None:
    """Put away the next morning, when four more had been put in: of five missing two can have been sold."""
    put = batch_of(stock.line, 6, on=date(2024, 8, 20))
    move(by=owner, on=ON, batch=put, bunches=2, source=None, target=stock.box)
    move(by=owner, on=NEXT, batch=put, bunches=4, source=None, target=stock.box)
    counted = [BackBunches(stock.batch, 7), BackBunches(put, 1)]
    bring_back(by=owner, on=NEXT, stall_day=day, boxes=[BackBox(stock.box, counted)])

    late(owner, day, stock, 3)

    assert there(stock.batch, put) == [(stock.box.code, 6), (stock.box.code, 1)]


def test_a_count_since_that_found_them_leaves_nothing_missing(owner: User, stock: Ready, day: StallDay) -> None:
    """Two missing, one found by a count that day; a late sale of one is the other; that count is undone by itself."""
    put_away(owner, day, stock, 5)
    count = count_box(by=owner, on=ON, box=stock.box, counted={stock.batch: 6})
    sale = late(owner, day, stock, 1)
    assert there(stock.batch) == [(stock.box.code, 6)]

    undo_count(by=owner, count=count)

    assert there(stock.batch) == [(stock.box.code, 5)]
    undo_sale(by=owner, sale=sale)
    assert there(stock.batch) == [(stock.box.code, 5)]


def test_what_was_found_goes_with_its_sale_only(owner: User, stock: Ready, day: StallDay) -> None:
    """The row is not undone alone."""
    put_away(owner, day, stock, 5)
    late(owner, day, stock, 2)
    with refused("part_of_more"):
        undo_movement(by=owner, movement=Movement.objects.get(kind="found"))
