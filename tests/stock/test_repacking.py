"""Boxes split, put together and emptied."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import (
    draw,
    empty_box,
    hold,
    move,
    put_together,
    sell_bunches,
    split_box,
    undo_movement,
    undo_repacking,
)
from ledger.stock.models import Balance, Box, Movement
from ledger.stock.queries import colour_families, held_in, pair_of, shelves_filled
from tests.factories.stock import BoxFactory, LineFactory, batch_of, there
from tests.refusals import refused

AUGUST_1, AUGUST_5, AUGUST_9, AUGUST_12 = date(2024, 8, 1), date(2024, 8, 5), date(2024, 8, 9), date(2024, 8, 12)


@pytest.fixture
def other(box):
    """Eight white bunches of 1 August in the same box."""
    return batch_of(LineFactory(stems=10, colour="white"), 8, box=box)


def test_a_box_is_split_into_a_new_one(hand, box, batch, other):
    """Five of twenty and all eight go into a box with an id of its own on the same shelf."""
    repacking = split_box(by=hand, on=AUGUST_5, box=box, bunches={other: 8, batch: 5})

    new = Box.objects.exclude(pk=box.pk).get()
    assert (new.shelf, repacking.what, repacking.box) == ("A1", "split", box)
    assert there(batch, other) == [(box.code, 15), (new.code, 5), (new.code, 8)]
    assert repacking.rows.count() == 4


def test_a_box_is_split_into_another_one_and_that_is_undone(owner, box, batch):
    """Five of twenty go, and come back."""
    target = BoxFactory(shelf="B1")
    repacking = split_box(by=owner, on=AUGUST_5, box=box, bunches={batch: 5}, target=target)
    assert there(batch) == [(box.code, 15), (target.code, 5)]

    undo_repacking(by=owner, repacking=repacking)

    assert there(batch) == [(box.code, 20)]
    with refused("already_undone"):
        undo_repacking(by=owner, repacking=repacking)


def test_boxes_are_put_together(owner, box, batch, other):
    """Twenty and eight join three; the first box is empty."""
    target = BoxFactory(shelf="B1")
    batch_of(other.line, 3, box=target)

    repacking = put_together(by=owner, on=AUGUST_5, box=box, target=target)

    assert there(batch, other) == [(target.code, 20), (target.code, 8)]
    assert repacking.what == "together"


def test_an_emptied_box_is_used_again_and_knows_what_it_held(owner, line, box, batch, other):
    """Emptied on the 5th, used again from the 9th on."""
    draw(by=owner, on=AUGUST_1, batch=batch, box=box, bunches=2, reason="display")
    empty_box(by=owner, on=AUGUST_5, box=box)
    assert there(batch, other) == [("", 18), ("", 8)]
    move(by=owner, on=AUGUST_9, batch=batch, bunches=4, source=None, target=box)

    held = [(one.batch, one.stretch.since, one.stretch.until, one.stretch.most) for one in held_in(box)]

    assert held == [
        (batch, AUGUST_9, None, 4), (other, AUGUST_1, AUGUST_5, 8), (batch, AUGUST_1, AUGUST_5, 18),
    ]


def test_nothing_promised_is_lost_on_the_way(owner, line, box, batch):
    """All twenty are promised, wherever they lie."""
    hold(by=owner, on=AUGUST_1, line=line, bunches=20, for_what="wedding")

    empty_box(by=owner, on=AUGUST_5, box=box)

    assert Balance.objects.values_list("on_hand", "held").get(pk=line.pk) == (20, 20)


def test_each_row_knows_its_other_row(owner, box, batch, other):
    """Out of the one, into the other, batch by batch."""
    put_together(by=owner, on=AUGUST_5, box=box, target=BoxFactory(shelf="B1"))

    rows = Movement.objects.filter(kind="moved").order_by("pk")

    assert [(row.batch, row.bunches, pair_of(row).bunches) for row in rows] == [
        (batch, -20, 20), (batch, 20, -20), (other, -8, 8), (other, 8, -8),
    ]


def test_a_row_is_undone_with_its_step(owner, box, batch):
    """Not by itself."""
    empty_box(by=owner, on=AUGUST_5, box=box)

    with refused("rested_on"):
        undo_movement(by=owner, movement=Movement.objects.filter(kind="moved").first())


def test_what_has_gone_on_since_keeps_its_step(owner, line, box, batch):
    """Five went into another box and were sold out of it."""
    target = BoxFactory(shelf="B1")
    repacking = split_box(by=owner, on=AUGUST_5, box=box, bunches={batch: 5}, target=target)
    sell_bunches(by=owner, on=AUGUST_9, line=line, bunches=5, box=target)

    with refused("not_there_then"):
        undo_repacking(by=owner, repacking=repacking)


def test_no_more_goes_than_is_in_it(owner, box, batch):
    """Twenty-one of twenty; on a day before it was there; and what left later."""
    target = BoxFactory(shelf="B1")
    with refused("too_many"):
        split_box(by=owner, on=AUGUST_5, box=box, bunches={batch: 21}, target=target)
    with refused("too_early"):
        put_together(by=owner, on=date(2024, 7, 30), box=box, target=target)
    draw(by=owner, on=AUGUST_12, batch=batch, box=box, bunches=20, reason="display")
    with refused("not_there_then"):
        split_box(by=owner, on=AUGUST_5, box=box, bunches={batch: 1}, target=target)


def test_absurd_steps_are_refused(owner, box, batch):
    """Nothing, nil, into itself, an empty box, a parcel on either side."""
    empty, parcel = BoxFactory(shelf="B1"), BoxFactory(parcel=True)
    with refused("nothing_given"):
        split_box(by=owner, on=AUGUST_5, box=box, bunches={})
    with refused("too_few"):
        split_box(by=owner, on=AUGUST_5, box=box, bunches={batch: 0})
    with refused("same_place"):
        put_together(by=owner, on=AUGUST_5, box=box, target=box)
    with refused("empty"):
        put_together(by=owner, on=AUGUST_5, box=empty, target=box)
    with refused("empty"):
        empty_box(by=owner, on=AUGUST_5, box=empty)
    with refused("parcel"):
        put_together(by=owner, on=AUGUST_5, box=box, target=parcel)
    with refused("parcel"):
        split_box(by=owner, on=AUGUST_5, box=parcel, bunches={batch: 1})
    with refused("parcel"):
        empty_box(by=owner, on=AUGUST_5, box=parcel)


def test_the_second_press_splits_once(owner, box, batch):
    """One form, one new box."""
    given = {"by": owner, "on": AUGUST_5, "box": box, "bunches": {batch: 5}, "key": "a-form"}

    assert split_box(**given) == split_box(**given)
    assert Box.objects.count() == 2


def test_a_seller_repacks_nothing(seller, box, batch):
    """Boxes are the hand's."""
    with pytest.raises(PermissionDenied):
        empty_box(by=seller, on=AUGUST_5, box=box)


def test_shelves_say_how_full_they_are(owner, line, box, batch, django_assert_num_queries):
    """Two boxes on A1, one of them empty; one on no shelf; a parcel is on none."""
    BoxFactory(shelf="A1"), BoxFactory(shelf=""), BoxFactory(parcel=True, shelf="A1")
    batch_of(line, 3, box=BoxFactory(shelf="B1"))

    with django_assert_num_queries(3):
        found = shelves_filled()

    assert [(one.name, one.boxes, one.empty, one.bunches) for one in found] == [("A1", 2, 1, 20), ("B1", 1, 0, 3), ("", 1, 1, 0)]


def test_all_of_a_colour_family_is_found_across_lines(owner, django_assert_num_queries):
    """Rose and blush are pink; mixed is its own; what names no colour comes last."""
    lines = [LineFactory(stems=10, colour=colour) for colour in ("dusky rose", "Blush", "mixed")]
    wreath = LineFactory(variety=None, name="Wreath", unit="piece", stems=None)
    shelf_b, shelf_a = BoxFactory(shelf="B1"), BoxFactory(shelf="A1")
    batch_of(lines[0], 5, box=shelf_b), batch_of(lines[1], 2), batch_of(lines[1], 4, box=shelf_a), batch_of(lines[2], 3)
    batch_of(wreath, 1)

    with django_assert_num_queries(1):
        found = colour_families()

    assert [(one.name, one.bunches, len(one.lines)) for one in found] == [("mixed", 3, 1), ("pink", 11, 2), ("", 1, 1)]
    assert [place.box for place in found[1].places] == [shelf_a, shelf_b, None]
