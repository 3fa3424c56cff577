"""Counting boxes."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import (
    begin_take,
    count_box,
    count_boxes,
    count_in_take,
    draw,
    end_take,
    hold,
    sell_bunches,
    undo_count,
    undo_movement,
)
from ledger.stock.models import Balance, Movement, StockCount
from ledger.stock.queries import put_right_by
from tests.factories.stock import BoxFactory, batch_of, there
from tests.refusals import refused

AUGUST_1, AUGUST_5, AUGUST_9, AUGUST_12 = date(2024, 8, 1), date(2024, 8, 5), date(2024, 8, 9), date(2024, 8, 12)


def test_a_count_that_agrees_changes_nothing(hand, box, batch):
    """Twenty recorded, twenty counted."""
    count = count_box(by=hand, on=AUGUST_5, box=box, counted={batch: 20}, note="spring")

    line = count.lines.get()
    assert (line.recorded, line.counted, line.movement) == (20, 20, None)


def test_what_is_missing_is_written_off(owner, line, box, batch):
    """Seventeen of twenty: three written off."""
    count = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 17})

    row = count.lines.get().movement
    assert (row.kind, row.bunches, row.on) == ("written_off", -3, AUGUST_5)
    assert Balance.objects.get(pk=line.pk).on_hand == 17


def test_what_is_over_is_found(owner, line, box, batch):
    """Twenty-two of twenty: two found, bringing nothing back."""
    row = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 22}).lines.get().movement

    assert (row.kind, row.bunches, row.brings_back, row.to_check) == ("found", 2, None, False)
    assert Balance.objects.get(pk=line.pk).on_hand == 22


def test_found_bunches_are_those_missed_before(owner, box, batch):
    """Three missed, then two missed, then six found: two and three come back, one is new."""
    first = count_box(by=owner, on=AUGUST_1, box=box, counted={batch: 17}).lines.get().movement
    second = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 15}).lines.get().movement

    count_box(by=owner, on=AUGUST_9, box=box, counted={batch: 21})

    found = Movement.objects.filter(kind="found").order_by("pk")
    assert [(row.bunches, row.brings_back) for row in found] == [(2, second), (3, first), (1, None)]


def test_a_shortage_comes_back_once(owner, box, batch):
    """Three missed, two found, two found: one of the last is new."""
    count_box(by=owner, on=AUGUST_1, box=box, counted={batch: 17})
    count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 19})
    count_box(by=owner, on=AUGUST_9, box=box, counted={batch: 21})

    found = Movement.objects.filter(kind="found").order_by("pk")
    assert [(row.bunches, row.brings_back is not None) for row in found] == [(2, True), (1, True), (1, False)]


def test_a_count_of_an_earlier_day_brings_back_nothing_later(owner, box, batch):
    """What was missed on the 9th was not yet missed on the 5th."""
    count_box(by=owner, on=AUGUST_9, box=box, counted={batch: 17})

    count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 21})

    assert Movement.objects.get(kind="found").brings_back is None


def test_a_count_is_of_its_own_day(owner, box, batch):
    """Five went on the 9th; on the 5th there were twenty."""
    draw(by=owner, on=AUGUST_9, batch=batch, box=box, bunches=5, reason="display")

    count = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 18})

    assert count.lines.get().recorded == 20
    assert there(batch) == [(box.code, 13)]


def test_a_back_dated_count_minds_what_went_later(owner, box, batch):
    """Fifteen went on the 9th: of six missing on the 5th only five are left to be written off."""
    draw(by=owner, on=AUGUST_9, batch=batch, box=box, bunches=15, reason="display")

    count = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 14})

    line = count.lines.get()
    assert (line.recorded, line.counted, line.movement.bunches) == (20, 14, -5)
    assert there(batch) == []
    undo_count(by=owner, count=count)
    assert there(batch) == [(box.code, 5)]


def test_a_back_dated_count_of_what_is_all_gone_writes_nothing_off(owner, box, batch):
    """All twenty went on the 9th; eighteen counted on the 5th stand beside the record, and are undone again."""
    draw(by=owner, on=AUGUST_9, batch=batch, box=box, bunches=20, reason="display")

    count = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 18})

    line = count.lines.get()
    assert (line.recorded, line.counted, line.movement) == (20, 18, None)
    undo_count(by=owner, count=count)
    assert not Movement.objects.standing().filter(kind="written_off")


def test_batches_mixed_up_leave_no_promise_short(owner, line, box, batch):
    """All thirty are promised; eighteen of one batch and twelve of the other lie there: nothing is short; it can be undone."""
    other = batch_of(line, 10, box=box)
    kept = hold(by=owner, on=AUGUST_5, line=line, bunches=30, for_what="wedding")

    count = count_box(by=owner, on=AUGUST_9, box=box, counted={batch: 18, other: 12})

    assert there(batch, other) == [(box.code, 18), (box.code, 12)]
    assert not kept.changes.filter(why="short") and Balance.objects.get(pk=line.pk).held == 30
    undo_count(by=owner, count=count)
    assert there(batch, other) == [(box.code, 20), (box.code, 10)]
    assert Balance.objects.values_list("on_hand", "held").get(pk=line.pk) == (30, 30)


def test_boxes_counted_together_make_up_for_each_other(owner, line, box, batch):
    """Four missing in one box and three over in another: three come back, one is short of the promise of all twenty."""
    other, kept = BoxFactory(shelf="B1"), hold(by=owner, on=AUGUST_5, line=line, bunches=20, for_what="wedding")

    counts = count_boxes(by=owner, on=AUGUST_9, counted={other: {batch: 3}, box: {batch: 16}})

    assert [count.box for count in counts] == [box, other]
    missing = Movement.objects.get(kind="written_off")
    assert (missing.box, missing.bunches) == (box, -4)
    assert [(row.bunches, row.brings_back) for row in Movement.objects.filter(kind="found")] == [(3, missing)]
    assert kept.changes.get(why="short").bunches == -1
    with refused("rested_on"):
        undo_count(by=owner, count=counts[0])


def test_an_undone_count_keeps_its_promises_again(owner, line, box, batch):
    """Two batches, three and two missing, all promised: five short, and none once it is undone."""
    other = batch_of(line, 10, box=box)
    kept = hold(by=owner, on=AUGUST_5, line=line, bunches=30, for_what="wedding")
    count = count_box(by=owner, on=AUGUST_9, box=box, counted={batch: 17, other: 8})
    assert kept.changes.get(why="short").bunches == -5

    undo_count(by=owner, count=count)

    assert not kept.changes.standing().filter(why="short")
    assert Balance.objects.values_list("on_hand", "held").get(pk=line.pk) == (30, 30)


def test_something_else_may_be_in_the_box(owner, line, box, batch):
    """A batch the record has elsewhere is found here."""
    other = batch_of(line, 5)

    count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 20, other: 2})

    assert there(batch, other) == [(box.code, 20), (box.code, 2), ("", 5)]


def test_a_count_leaves_the_latest_promise_short(owner, line, box, batch):
    """Fifteen promised, twelve there: three short."""
    kept = hold(by=owner, on=AUGUST_5, line=line, bunches=15, for_what="wedding")

    count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 12})

    assert kept.changes.get(why="short").bunches == -3


def test_an_undone_count_takes_back_all_it_put_right(owner, line, box, batch):
    """Found ones of both kinds and missing ones of another batch."""
    other = batch_of(line, 5, box=box)
    count_box(by=owner, on=AUGUST_1, box=box, counted={batch: 18})
    count = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 23, other: 4})
    count_box(by=owner, on=AUGUST_9, box=box, counted={batch: 24})

    undo_count(by=owner, count=count)

    assert there(batch, other) == [(box.code, 19), (box.code, 5)]
    with refused("already_undone"):
        undo_count(by=owner, count=count)


def test_a_row_of_a_count_is_undone_with_its_count(owner, box, batch):
    """Neither the missing nor the found are undone alone."""
    missing = count_box(by=owner, on=AUGUST_1, box=box, counted={batch: 18}).lines.get().movement
    found = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 21}).lines.get().movement

    with refused("part_of_more"):
        undo_movement(by=owner, movement=found)
    with refused("rested_on"):
        undo_movement(by=owner, movement=missing)


def test_what_was_found_and_sold_is_not_uncounted(owner, line, box, batch):
    """Two found, all 22 sold: the count stands."""
    count = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 22})
    sell_bunches(by=owner, on=AUGUST_9, line=line, bunches=22)

    with refused("not_there_then"):
        undo_count(by=owner, count=count)


def test_absurd_counts_are_refused(owner, box, batch):
    """Below nil, and in a parcel, which holds what an order was packed with."""
    with refused("negative"):
        count_box(by=owner, on=AUGUST_5, box=box, counted={batch: -1})
    with refused("parcel"):
        count_box(by=owner, on=AUGUST_5, box=BoxFactory(parcel=True), counted={batch: 1})


def test_the_second_press_counts_once(owner, line, box, batch):
    """One form counts once."""
    given = {"by": owner, "on": AUGUST_5, "box": box, "counted": {batch: 17}, "key": "a-form"}

    assert count_box(**given) == count_box(**given)
    assert Balance.objects.get(pk=line.pk).on_hand == 17


def test_a_seller_counts_nothing(seller, box, batch):
    """Boxes are the hand's."""
    with pytest.raises(PermissionDenied):
        count_box(by=seller, on=AUGUST_12, box=box, counted={batch: 1})


def test_a_later_count_has_looked_at_what_was_found(owner, line, box, batch):
    """Sold beyond the record, to be checked until the box is counted."""
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=21, box=box, beyond_record=True)
    assert Movement.objects.still_to_check().count() == 1

    count_box(by=owner, on=AUGUST_9, box=box, counted={batch: 0})

    assert not Movement.objects.still_to_check()


def test_the_page_says_what_was_not_there_any_longer(owner, client_as, box, batch):
    """Six missing on the 5th, five of them written off: fifteen of twenty had gone by the 9th."""
    draw(by=owner, on=AUGUST_9, batch=batch, box=box, bunches=15, reason="display")
    count = count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 14})
    assert "1 was not there any longer" in client_as(owner).get(count.get_absolute_url()).content.decode()


def test_a_count_shows_every_row_it_wrote(owner, as_owner, box, batch):
    """Two missed before and one never known: three more than the record, in two rows, on its page and on the stock-take's."""
    count_box(by=owner, on=AUGUST_1, box=box, counted={batch: 18})
    take = begin_take(by=owner, on=AUGUST_5)
    count_in_take(by=owner, take=take, on=AUGUST_5, box=box, counted={batch: 21})
    end_take(by=owner, take=take, on=AUGUST_5, reasons={})
    count = StockCount.objects.latest("pk")

    assert [row.bunches for row in put_right_by(count.lines.get())] == [2, 1]
    for page in (count, take):
        said = as_owner.get(page.get_absolute_url()).content.decode()
        assert "+2 found" in said and "+1 found" in said
