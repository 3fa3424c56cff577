"""Boxes held back."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import hold, hold_back, let_go, release, sell_bunches, undo_hold_back, undo_hold_change, undo_let_go
from ledger.stock.models import Balance, Line
from ledger.stock.queries import held_back_by, lowest_free
from tests.factories.stock import BoxFactory, batch_of
from tests.refusals import refused

AUGUST_4, AUGUST_5, AUGUST_7, AUGUST_9, AUGUST_10 = (date(2024, 8, day) for day in (4, 5, 7, 9, 10))


@pytest.fixture
def held_back(owner, batch, box):
    """The twenty bunches held back from the 5th to the 9th; four more lie elsewhere."""
    batch_of(batch.line, 4, box=BoxFactory(shelf="B1"))
    return hold_back(by=owner, on=AUGUST_5, box=box, until=AUGUST_9, why="damp when boxed")


@pytest.mark.parametrize(("on", "free"), [(AUGUST_4, 24), (AUGUST_5, 4), (AUGUST_9, 4), (AUGUST_10, 24)])
def test_what_is_held_back_is_not_free(held_back, line, on, free):
    """From its first day up to and including its last."""
    assert lowest_free(line, on) == free


def test_held_back_bunches_are_neither_promised_nor_sold(owner, held_back, line):
    """Four are offered; the fifth is not, and none out of the box itself."""
    with refused("not_free"):
        hold(by=owner, on=AUGUST_5, line=line, bunches=5, for_what="a wedding")
    with refused("held_back"):
        sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=1, box=held_back.box)

    sold = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=4)

    assert held_back.box not in [row.box for row in sold]


def test_what_was_sold_all_the_same_is_recorded(owner, held_back, line):
    """A sale beyond the record is never refused."""
    assert sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=1, box=held_back.box, beyond_record=True)


def test_a_box_let_go_is_free_again(owner, held_back, line):
    """From the day it is let go; undone, it is held back as before."""
    gone = let_go(by=owner, on=AUGUST_7, held_back=held_back)

    assert (lowest_free(line, AUGUST_5), lowest_free(line, AUGUST_7)) == (4, 24)
    with refused("rested_on"):
        undo_hold_back(by=owner, held_back=held_back)
    undo_let_go(by=owner, let_go=gone)
    assert held_back_by(held_back.box, AUGUST_7) == held_back


def test_a_box_held_back_by_mistake_never_was(owner, held_back, line):
    """Undone, all is free."""
    undo_hold_back(by=owner, held_back=held_back)

    assert lowest_free(line, AUGUST_5) == 24


def test_a_line_shows_what_is_free_now(owner, batch, box, line):
    """A box held back to the end of next year."""
    hold_back(by=owner, on=AUGUST_5, box=box, until=date(2099, 12, 31), why="for the show")

    now = Line.objects.with_free().get(pk=line.pk)
    assert (now.on_hand, now.held_back, now.free) == (20, 20, 0)


def test_giving_back_undone_holds_whatever_is_held_back_since(owner, batch, box, line):
    """All twenty are promised, five given back, the box held back: the five are promised again."""
    promise = hold(by=owner, on=AUGUST_4, line=line, bunches=20, for_what="a wedding")
    change = release(by=owner, hold=promise, on=AUGUST_4, bunches=5)
    hold_back(by=owner, on=AUGUST_4, box=box, until=AUGUST_9, why="moths")

    undo_hold_change(by=owner, change=change)

    assert Balance.objects.get(line=line).held == 20


def test_a_promise_may_lie_in_a_box_held_back(owner, batch, box, line):
    """Holding back what has moths is never refused; nothing less than nil is free."""
    hold(by=owner, on=AUGUST_4, line=line, bunches=15, for_what="a wedding")
    hold_back(by=owner, on=AUGUST_5, box=box, until=date(2099, 12, 31), why="moths")

    assert Line.objects.with_free().get(pk=line.pk).free == 0


@pytest.mark.parametrize(
    ("first", "last", "code"),
    [(AUGUST_9, AUGUST_10, "already_held_back"), (AUGUST_10, AUGUST_9, "backwards"), (AUGUST_10, AUGUST_10, "")],
)
def test_a_box_is_held_back_once_at_a_time(owner, held_back, first, last, code):
    """Not twice for one day, and not backwards."""
    if code:
        with refused(code):
            hold_back(by=owner, on=first, box=held_back.box, until=last, why="again")
    else:
        assert hold_back(by=owner, on=first, box=held_back.box, until=last, why="again").stands


@pytest.mark.parametrize(("on", "code"), [(AUGUST_4, "too_early"), (AUGUST_10, "past")])
def test_a_box_is_let_go_while_it_is_held_back(owner, held_back, on, code):
    """Neither before nor after."""
    with refused(code):
        let_go(by=owner, on=on, held_back=held_back)


def test_a_parcel_is_not_held_back(owner):
    """It is packed for an order."""
    with refused("parcel"):
        hold_back(by=owner, on=AUGUST_5, box=BoxFactory(parcel=True), until=AUGUST_9, why="damp")


def test_a_seller_holds_no_box_back(seller, box):
    """That is for those who see the box."""
    with pytest.raises(PermissionDenied):
        hold_back(by=seller, on=AUGUST_5, box=box, until=AUGUST_9, why="damp")


def test_a_box_held_back_anew_is_not_held_back_twice(owner, held_back):
    """Let go on the 7th and held back again from the 9th: letting go is not undone."""
    gone = let_go(by=owner, on=AUGUST_7, held_back=held_back)
    hold_back(by=owner, on=AUGUST_9, box=held_back.box, until=AUGUST_10, why="damp again")

    with refused("already_held_back"):
        undo_let_go(by=owner, let_go=gone)
