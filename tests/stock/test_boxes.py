"""Boxes, moving between them, what leaves them unsold."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError

from ledger.facts.models import Amendment
from ledger.reckoning.box_ids import valid
from ledger.stock.actions import boxes as boxes_verbs
from ledger.stock.actions import draw, hold, move, move_box, new_box, undo_movement, undo_run, write_off
from ledger.stock.models import Balance, Box, Movement
from tests.factories.stock import BoxFactory, there
from tests.refusals import refused

AUGUST_1, AUGUST_5, AUGUST_9 = date(2024, 8, 1), date(2024, 8, 5), date(2024, 8, 9)


def test_boxes_get_ids_with_a_check_character(hand):
    """Five characters, the last of them checking, no two alike."""
    first, second = new_box(by=hand, shelf="A1"), new_box(by=hand)

    assert first.code != second.code
    assert all(len(box.code) == 5 and valid(box.code) for box in (first, second))
    assert (first.serial, second.serial) == (1, 2)


def test_two_who_begin_a_box_at_once_get_two_boxes(owner, monkeypatch):
    """The id taken in the same moment is left, the next one is tried."""
    keep, pressed = boxes_verbs.keep, []

    def taken_once(box):
        pressed.append(box)
        if len(pressed) == 1:
            raise IntegrityError
        return keep(box)

    monkeypatch.setattr(boxes_verbs, "keep", taken_once)

    assert new_box(by=owner).serial == 1
    assert len(pressed) == 2


def test_too_many_at_once_are_asked_to_try_again(owner, monkeypatch):
    """After five tries the verb says so."""

    def taken(_box):
        raise IntegrityError

    monkeypatch.setattr(boxes_verbs, "keep", taken)

    with refused("busy"):
        new_box(by=owner)


def test_a_box_moves_to_another_shelf_with_a_history(owner, box):
    """What stood before is kept; a stale form is refused."""
    move_box(by=owner, box=box, shelf="B2", note="top", seen={"shelf": "A1", "note": ""})

    assert set(Amendment.objects.values_list("field", "before", "after")) == {("shelf", "A1", "B2"), ("note", "", "top")}
    with refused("stale_form"):
        move_box(by=owner, box=box, shelf="C3", seen={"shelf": "A1"})


def test_bunches_move_between_boxes(hand, line, box, batch):
    """Five of twenty go on; the line has as many as before."""
    other = BoxFactory()

    out, into = move(by=hand, on=AUGUST_5, batch=batch, bunches=5, source=box, target=other)

    assert (out.bunches, out.box, into.bunches, into.box) == (-5, box, 5, other)
    assert there(batch) == [(box.code, 15), (other.code, 5)]
    assert Balance.objects.get(pk=line.pk).on_hand == 20


def test_bunches_go_back_to_the_table(owner, box, batch):
    """Taken out of the box they are not yet boxed again."""
    move(by=owner, on=AUGUST_5, batch=batch, bunches=20, source=box, target=None)

    assert there(batch) == [("", 20)]


@pytest.mark.parametrize(("bunches", "code"), [(21, "too_many"), (0, "too_few"), (-1, "too_few")])
def test_a_box_gives_no_more_than_is_in_it(owner, box, batch, bunches, code):
    """Twenty are in it."""
    with refused(code):
        move(by=owner, on=AUGUST_5, batch=batch, bunches=bunches, source=box, target=None)


def test_a_move_goes_somewhere_else(owner, box, batch):
    """Out of a box and into it again is no move."""
    with refused("same_place"):
        move(by=owner, on=AUGUST_5, batch=batch, bunches=1, source=box, target=box)


def test_a_batch_does_not_move_before_it_was_made(owner, box, batch):
    """Made on 1 August: not on 31 July, and on the day itself."""
    with refused("too_early"):
        move(by=owner, on=date(2024, 7, 31), batch=batch, bunches=1, source=box, target=None)
    move(by=owner, on=AUGUST_1, batch=batch, bunches=1, source=box, target=None)

    assert there(batch) == [(box.code, 19), ("", 1)]


def test_a_back_dated_draw_minds_every_later_day(owner, box, batch):
    """20 on 1 August, 5 on the 5th, 20 again on the 9th: on the 1st five can go."""
    out, _into = move(by=owner, on=AUGUST_5, batch=batch, bunches=15, source=box, target=None)
    move(by=owner, on=AUGUST_9, batch=batch, bunches=15, source=None, target=box)

    with refused("not_there_then"):
        draw(by=owner, on=AUGUST_1, batch=batch, box=box, bunches=6, reason="sample")
    draw(by=owner, on=AUGUST_1, batch=batch, box=box, bunches=5, reason="sample")

    assert there(batch) == [(box.code, 15)]
    assert out.stands


def test_within_a_day_what_comes_counts_first(owner, box, batch):
    """Emptied on the 5th and filled again the same day, entered in that order."""
    other = BoxFactory()
    move(by=owner, on=AUGUST_5, batch=batch, bunches=20, source=box, target=other)
    move(by=owner, on=AUGUST_9, batch=batch, bunches=20, source=other, target=box)

    draw(by=owner, on=AUGUST_9, batch=batch, box=box, bunches=20, reason="display")

    assert there(batch) == []


def test_what_is_drawn_or_written_off_leaves_with_its_reason(owner, line, box, batch):
    """Two samples and three crushed leave fifteen."""
    drawn = draw(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=2, reason="sample")
    lost = write_off(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=3, reason="crushed")

    assert (drawn.kind, drawn.bunches, drawn.reason) == ("drawn", -2, "sample")
    assert (lost.kind, lost.bunches, lost.reason) == ("written_off", -3, "crushed")
    assert Balance.objects.get(pk=line.pk).on_hand == 15


@pytest.mark.parametrize("verb", [draw, write_off])
def test_leaving_unsold_needs_a_reason(owner, box, batch, verb):
    """Blanks are no reason."""
    with refused("no_reason"):
        verb(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=1, reason="  ")


@pytest.mark.parametrize("verb", [draw, write_off])
def test_a_parcel_is_not_drawn_from(owner, batch, verb):
    """What is packed for an order is unpacked first."""
    with refused("parcel"):
        verb(by=owner, on=AUGUST_5, batch=batch, box=BoxFactory(parcel=True), bunches=1, reason="crushed")


def test_a_write_off_leaves_the_latest_promise_short(owner, line, box, batch):
    """Of 20, 8 are promised first and 10 later; 5 crushed leave the later one 3 short."""
    first = hold(by=owner, on=AUGUST_1, line=line, bunches=8, for_what="florist")
    later = hold(by=owner, on=AUGUST_5, line=line, bunches=10, for_what="wedding")

    write_off(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=5, reason="crushed")

    assert [(change.bunches, change.why) for change in later.changes.order_by("pk")] == [(10, "promised"), (-3, "short")]
    assert first.changes.count() == 1
    assert (Balance.objects.get(pk=line.pk).on_hand, Balance.objects.get(pk=line.pk).held) == (15, 15)


def test_a_write_off_may_leave_several_promises_short(owner, line, box, batch):
    """20 promised in two, all crushed: both are short of all; a back-dated one falls on their own days."""
    first = hold(by=owner, on=AUGUST_5, line=line, bunches=8, for_what="florist")
    later = hold(by=owner, on=AUGUST_9, line=line, bunches=12, for_what="wedding")

    write_off(by=owner, on=AUGUST_1, batch=batch, box=box, bunches=20, reason="fire")

    short = [hold.changes.get(why="short") for hold in (later, first)]
    assert [(change.bunches, change.on) for change in short] == [(-12, AUGUST_9), (-8, AUGUST_5)]


def test_both_rows_of_a_move_are_undone_together(owner, box, batch):
    """From either side."""
    out, _ = move(by=owner, on=AUGUST_5, batch=batch, bunches=5, source=box, target=None)
    _, into = move(by=owner, on=AUGUST_5, batch=batch, bunches=7, source=box, target=BoxFactory())

    undo_movement(by=owner, movement=into)
    assert there(batch) == [(box.code, 15), ("", 5)]
    undo_movement(by=owner, movement=out)

    assert there(batch) == [(box.code, 20)]
    assert Movement.objects.standing().count() == 1


def test_a_move_is_not_undone_when_its_bunches_went_on(owner, box, batch):
    """Moved, then drawn from there."""
    out, _ = move(by=owner, on=AUGUST_5, batch=batch, bunches=5, source=box, target=None)
    draw(by=owner, on=AUGUST_9, batch=batch, box=None, bunches=1, reason="sample")

    with refused("not_there_then"):
        undo_movement(by=owner, movement=out)


def test_an_undone_draw_is_there_again(owner, line, box, batch):
    """And is undone once only."""
    drawn = draw(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=2, reason="sample")

    undo_movement(by=owner, movement=drawn)

    assert Balance.objects.get(pk=line.pk).on_hand == 20
    with refused("already_undone"):
        undo_movement(by=owner, movement=drawn)


def test_what_a_run_made_is_undone_with_the_run(owner, batch):
    """Not row by row."""
    with refused("part_of_more"):
        undo_movement(by=owner, movement=batch.movements.get())


def test_a_run_whose_bunches_are_promised_is_not_undone(owner, line, batch):
    """Give the promise back first."""
    hold(by=owner, on=AUGUST_5, line=line, bunches=1, for_what="florist")

    with refused("not_free"):
        undo_run(by=owner, run=batch.run)


def test_nothing_is_posted_of_an_undone_batch(owner, box, batch):
    """A form opened before the undoing is refused."""
    undo_run(by=owner, run=batch.run)

    with refused("undone"):
        draw(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=1, reason="sample")


def test_the_second_press_draws_once(owner, line, box, batch):
    """One form draws once."""
    given = {"by": owner, "on": AUGUST_5, "batch": batch, "box": box, "bunches": 2, "reason": "sample", "key": "a-form"}

    assert draw(**given) == draw(**given)
    assert Balance.objects.get(pk=line.pk).on_hand == 18


@pytest.mark.parametrize("verb", [draw, write_off])
def test_a_seller_draws_nothing(seller, box, batch, verb):
    """Boxes are the hand's."""
    with pytest.raises(PermissionDenied):
        verb(by=seller, on=AUGUST_5, batch=batch, box=box, bunches=1, reason="sample")
    assert Box.objects.count() == 1
