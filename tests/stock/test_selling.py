"""Bunches sold and coming back."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import (
    count_box,
    draw,
    hold,
    move,
    sell_bunches,
    take_back,
    undo_movement,
    write_off,
)
from ledger.stock.models import Balance, Movement
from tests.factories.stock import BoxFactory, batch_of, there
from tests.refusals import refused

AUGUST_1, AUGUST_5, AUGUST_9 = date(2024, 8, 1), date(2024, 8, 5), date(2024, 8, 9)


def taken(rows):
    """What was taken: (batch, box id or "", bunches)."""
    return [(row.batch, row.box.code if row.box else "", -row.bunches) for row in rows]


def test_the_oldest_batch_is_sold_first(owner, seller, line):
    """By day, then by shelf and id, the unboxed last."""
    upper, lower = BoxFactory(shelf="B"), BoxFactory(shelf="A")
    young = batch_of(line, 10, on=AUGUST_5, box=lower)
    old = batch_of(line, 12, on=AUGUST_1)
    move(by=owner, on=AUGUST_1, batch=old, bunches=4, source=None, target=upper)
    move(by=owner, on=AUGUST_1, batch=old, bunches=3, source=None, target=lower)

    rows = sell_bunches(by=seller, on=AUGUST_5, line=line, bunches=14)

    assert taken(rows) == [(old, lower.code, 3), (old, upper.code, 4), (old, "", 5), (young, lower.code, 2)]
    assert {row.kind for row in rows} == {"sold"}
    assert Balance.objects.get(pk=line.pk).on_hand == 8


def test_a_box_and_a_batch_may_be_named(owner, line):
    """Only from there."""
    box = BoxFactory()
    first, second = batch_of(line, 5, box=box), batch_of(line, 5, box=box)
    batch_of(line, 5)

    of_batch = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=2, batch=second)
    from_box = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=7, box=box)

    assert taken(of_batch) == [(second, box.code, 2)]
    assert taken(from_box) == [(first, box.code, 5), (second, box.code, 2)]
    with refused("too_many"):
        sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=2, box=box)


def test_only_free_bunches_are_sold(owner, line):
    """Of ten, eight are promised: two are free."""
    batch_of(line, 10)
    hold(by=owner, on=AUGUST_1, line=line, bunches=8, for_what="florist")

    with refused("not_free"):
        sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=3)
    assert len(sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=2)) == 1


def test_a_parcel_is_sold_from_only_when_named(owner, line):
    """What is packed for an order is not sold over the counter."""
    parcel, batch = BoxFactory(parcel=True), batch_of(line, 10)
    move(by=owner, on=AUGUST_1, batch=batch, bunches=6, source=None, target=parcel, packing=True)

    with refused("too_many"):
        sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5)
    assert taken(sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=6, box=parcel)) == [(batch, parcel.code, 6)]


@pytest.mark.parametrize("bunches", [0, -1])
def test_nil_and_less_are_not_sold(owner, line, bunches):
    """At least one."""
    with refused("too_few"):
        sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=bunches)


def test_nothing_is_sold_before_it_was_made(owner, line):
    """Made on 5 August: not on the 4th, and on the day itself."""
    batch_of(line, 10, on=AUGUST_5)

    with refused("not_free"):
        sell_bunches(by=owner, on=date(2024, 8, 4), line=line, bunches=1)
    assert len(sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=10)) == 1


def test_a_back_dated_sale_leaves_what_went_later(owner, line):
    """Eight of ten were drawn on the 9th: on the 5th two could be sold."""
    batch = batch_of(line, 10)
    draw(by=owner, on=AUGUST_9, batch=batch, box=None, bunches=8, reason="display")

    with refused("not_free"):
        sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=3)
    assert taken(sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=2)) == [(batch, "", 2)]


def test_a_place_gives_no_more_than_every_later_day_leaves(owner, line):
    """Four in the box go to the table on the 9th and are drawn there: sold on the 5th, they come from the table."""
    box, batch = BoxFactory(), batch_of(line, 10)
    move(by=owner, on=AUGUST_1, batch=batch, bunches=4, source=None, target=box)
    move(by=owner, on=AUGUST_9, batch=batch, bunches=3, source=box, target=None)

    assert taken(sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5)) == [(batch, box.code, 1), (batch, "", 4)]


def test_a_sale_beyond_the_record_finds_what_it_lacks(owner, line):
    """Ten sold where seven are: three found, to be checked, and nothing below nil."""
    box = BoxFactory()
    old, young = batch_of(line, 2, box=box), batch_of(line, 5, on=AUGUST_5, box=box)

    rows = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=10, beyond_record=True)

    assert taken(rows) == [(old, box.code, 2), (young, box.code, 8)]
    found = Movement.objects.get(kind="found")
    assert (found.batch, found.box, found.bunches, found.to_check) == (young, box, 3, True)
    assert Balance.objects.get(pk=line.pk).on_hand == 0
    assert there(old, young) == []


def test_with_nothing_there_the_latest_batch_is_found(owner, line):
    """All sold, one more sold: found of the batch made last by that day."""
    batch_of(line, 1)
    second = batch_of(line, 1)
    batch_of(line, 1, on=AUGUST_9)
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=2)

    rows = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=1, beyond_record=True)

    assert taken(rows) == [(second, "", 1)]


def test_what_was_never_made_is_not_found(owner, line):
    """Without a batch there is nothing whose cost it could have."""
    with refused("no_batch"):
        sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=1, beyond_record=True)


def test_what_a_sale_finds_is_first_what_counts_missed(owner, line):
    """Two missed by a count, then three sold beyond the record: two come back, one is new."""
    box = BoxFactory()
    batch = batch_of(line, 5, box=box)
    missed = count_box(by=owner, on=AUGUST_1, box=box, counted={batch: 3}).lines.get().movement

    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=6, beyond_record=True)

    found = Movement.objects.filter(kind="found").order_by("pk")
    assert [(row.bunches, row.brings_back) for row in found] == [(2, missed), (1, None)]


def test_a_sale_that_happened_takes_promised_bunches(owner, line):
    """Ten there, eight promised, five sold: the promise is three short."""
    batch_of(line, 10)
    kept = hold(by=owner, on=AUGUST_1, line=line, bunches=8, for_what="florist")

    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5, beyond_record=True)

    assert kept.changes.get(why="short").bunches == -3
    assert not Movement.objects.filter(kind="found")


def test_an_undone_sale_takes_what_it_found_with_it(owner, line):
    """The second of two such sales is undone, the first stands with its own find."""
    batch = batch_of(line, 5)
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=6, beyond_record=True)
    (sold,) = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=2, beyond_record=True)

    undo_movement(by=owner, movement=sold)

    standing = Movement.objects.standing().order_by("pk").values_list("kind", "bunches")
    assert list(standing) == [("made", 5), ("found", 1), ("sold", -6)]
    assert there(batch) == []


def test_what_comes_back_brings_its_own_cost(owner, line):
    """Five sold, two back into another box."""
    batch, box = batch_of(line, 10), BoxFactory()
    (sold,) = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5)

    back = take_back(by=owner, on=AUGUST_9, movement=sold, bunches=2, box=box)

    assert (back.kind, back.bunches, back.brings_back) == ("returned", 2, sold)
    assert there(batch) == [(box.code, 2), ("", 5)]


def test_no_more_comes_back_than_went_out(owner, line):
    """Five out, three back: two are out."""
    batch_of(line, 10)
    (sold,) = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5)
    back = take_back(by=owner, on=AUGUST_9, movement=sold, bunches=3)

    with refused("too_many"):
        take_back(by=owner, on=AUGUST_9, movement=sold, bunches=3)
    with refused("rested_on"):
        undo_movement(by=owner, movement=sold)
    undo_movement(by=owner, movement=back)

    assert take_back(by=owner, on=AUGUST_9, movement=sold, bunches=5).bunches == 5


def test_what_is_still_here_does_not_come_back(owner, line):
    """Only what was sold, made up or drawn; not before it went, not nil, not what was undone."""
    batch = batch_of(line, 10)
    (sold,) = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5)
    lost = write_off(by=owner, on=AUGUST_5, batch=batch, box=None, bunches=1, reason="crushed")

    with refused("not_out"):
        take_back(by=owner, on=AUGUST_9, movement=lost, bunches=1)
    with refused("too_early"):
        take_back(by=owner, on=AUGUST_1, movement=sold, bunches=1)
    with refused("too_few"):
        take_back(by=owner, on=AUGUST_9, movement=sold, bunches=0)
    undo_movement(by=owner, movement=sold)
    with refused("undone"):
        take_back(by=owner, on=AUGUST_9, movement=sold, bunches=1)


def test_a_hand_sells_nothing(hand, line):
    """Selling is the seller's."""
    with pytest.raises(PermissionDenied):
        sell_bunches(by=hand, on=AUGUST_5, line=line, bunches=1)
