"""Keeping bunches for promises."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import (
    draw,
    fill_again,
    hold,
    hold_more,
    release,
    sell_bunches,
    undo_hold_change,
    undo_movement,
    use_hold,
    write_off,
)
from ledger.stock.models import Balance, Hold
from tests.factories.stock import batch_of
from tests.refusals import refused

AUGUST_1, AUGUST_5, AUGUST_9 = date(2024, 8, 1), date(2024, 8, 5), date(2024, 8, 9)


@pytest.fixture
def batch(line):
    """Twenty bunches of 1 August, not yet boxed."""
    return batch_of(line, 20)


@pytest.fixture
def kept(owner, line, batch):
    """Eight of the twenty, promised on 5 August."""
    return hold(by=owner, on=AUGUST_5, line=line, bunches=8, for_what="florist")


def free(line):
    """What nobody was promised now."""
    return Balance.objects.get(pk=line.pk).free


def test_what_is_kept_is_not_free(seller, line, batch):
    """Eight of twenty kept: twelve are free."""
    kept = hold(by=seller, on=AUGUST_5, line=line, bunches=8, for_what="florist")

    assert free(line) == 12
    assert Hold.objects.with_kept().with_short().get(pk=kept.pk).kept == 8


def test_more_than_is_free_is_not_promised(owner, line, kept):
    """A wish: twelve are free, thirteen are refused."""
    with refused("not_free"):
        hold(by=owner, on=AUGUST_5, line=line, bunches=13, for_what="wedding")
    hold(by=owner, on=AUGUST_5, line=line, bunches=12, for_what="wedding")

    assert free(line) == 0


def test_nothing_is_promised_before_it_is_made(owner, line, batch):
    """Made on 1 August: not free on 31 July, free on the day itself."""
    with refused("not_free"):
        hold(by=owner, on=date(2024, 7, 31), line=line, bunches=1, for_what="florist")
    assert hold(by=owner, on=AUGUST_1, line=line, bunches=20, for_what="florist").stands


def test_a_back_dated_promise_minds_later_ones(owner, line, kept):
    """All twenty are kept from the 9th: none was free from the 1st on."""
    hold(by=owner, on=AUGUST_9, line=line, bunches=12, for_what="wedding")

    with refused("not_free"):
        hold(by=owner, on=AUGUST_1, line=line, bunches=1, for_what="fair")


def test_an_empty_hold_waits_for_more(owner, line, batch):
    """An order may be taken with nothing promised yet."""
    kept = hold(by=owner, on=AUGUST_5, line=line, bunches=0, for_what="florist")

    assert not kept.changes.exists()
    assert hold_more(by=owner, hold=kept, on=AUGUST_9, bunches=5).bunches == 5
    assert free(line) == 15


def test_what_is_given_back_is_free(owner, line, kept):
    """Three of eight given back."""
    release(by=owner, hold=kept, on=AUGUST_9, bunches=3)

    assert free(line) == 15
    with refused("too_many"):
        release(by=owner, hold=kept, on=AUGUST_9, bunches=6)


def test_a_back_dated_giving_back_minds_later_days(owner, kept):
    """Eight kept, all given back on the 9th: none can be given back on the 5th too."""
    release(by=owner, hold=kept, on=AUGUST_9, bunches=8)

    with refused("too_many"):
        release(by=owner, hold=kept, on=AUGUST_5, bunches=1)


@pytest.mark.parametrize("verb", [hold_more, release, fill_again])
@pytest.mark.parametrize("bunches", [0, -2])
def test_nil_and_less_are_refused(owner, kept, verb, bunches):
    """Every change changes something."""
    with refused("too_few"):
        verb(by=owner, hold=kept, on=AUGUST_9, bunches=bunches)


@pytest.mark.parametrize("verb", [hold_more, release, use_hold])
def test_nothing_changes_before_the_promise(owner, kept, verb):
    """Promised on 5 August."""
    with refused("too_early"):
        verb(by=owner, hold=kept, on=AUGUST_1, bunches=1)


def test_what_is_sent_is_no_longer_kept(owner, line, kept):
    """Five of eight sent: three kept, twelve free as before."""
    use_hold(by=owner, hold=kept, on=AUGUST_9, bunches=5)
    sell_bunches(by=owner, on=AUGUST_9, line=line, bunches=5)

    balance = Balance.objects.get(pk=line.pk)
    assert (balance.on_hand, balance.held) == (15, 3)


def test_sending_is_not_refused_for_a_short_promise(owner, line, batch, kept):
    """Eight promised, all but two crushed: two are kept, and then none."""
    write_off(by=owner, on=AUGUST_9, batch=batch, box=None, bunches=18, reason="crushed")

    assert use_hold(by=owner, hold=kept, on=AUGUST_9, bunches=8).bunches == -2
    assert use_hold(by=owner, hold=kept, on=AUGUST_9, bunches=1) is None


def test_a_short_promise_is_filled_again(owner, line, batch, kept):
    """Six short; four more are made; four are kept again, two stay short."""
    write_off(by=owner, on=AUGUST_9, batch=batch, box=None, bunches=18, reason="crushed")
    assert [(found.pk, found.short) for found in Hold.objects.left_short()] == [(kept.pk, 6)]
    batch_of(line, 4, on=AUGUST_9)

    with refused("not_free"):
        fill_again(by=owner, hold=kept, on=AUGUST_9, bunches=5)
    with refused("too_many"):
        fill_again(by=owner, hold=kept, on=AUGUST_9, bunches=7)
    fill_again(by=owner, hold=kept, on=AUGUST_9, bunches=4)

    assert Hold.objects.with_short().get(pk=kept.pk).short == 2


def test_a_change_is_undone(owner, line, kept):
    """A sending undone keeps its bunches again; a promise undone frees them."""
    used = use_hold(by=owner, hold=kept, on=AUGUST_9, bunches=5)
    undo_hold_change(by=owner, change=used)
    assert free(line) == 12

    undo_hold_change(by=owner, change=kept.changes.get(why="promised"))
    assert free(line) == 20


def test_a_change_that_others_rest_on_is_not_undone(owner, line, batch, kept):
    """Given back and taken by another; promised and given back."""
    given_back = release(by=owner, hold=kept, on=AUGUST_9, bunches=8)
    hold(by=owner, on=AUGUST_9, line=line, bunches=20, for_what="wedding")

    with refused("not_free"):
        undo_hold_change(by=owner, change=given_back)
    with refused("too_many"):
        undo_hold_change(by=owner, change=kept.changes.get(why="promised"))


def test_the_second_press_promises_once(owner, line, batch):
    """One form makes one promise."""
    given = {"by": owner, "on": AUGUST_5, "line": line, "bunches": 8, "for_what": "florist", "key": "a-form"}

    assert hold(**given) == hold(**given)
    assert free(line) == 12


def test_a_hand_promises_nothing(hand, line, batch):
    """Promising is selling."""
    with pytest.raises(PermissionDenied):
        hold(by=hand, on=AUGUST_5, line=line, bunches=1, for_what="florist")


def test_what_is_drawn_may_take_promised_bunches(owner, line, batch, kept):
    """Drawing has happened: it is not refused, the promise is short."""
    draw(by=owner, on=AUGUST_9, batch=batch, box=None, bunches=13, reason="display")

    assert kept.changes.get(why="short").bunches == -1


def test_a_loss_undone_keeps_again_what_it_left_short(owner, line, batch, kept):
    """A write-off entered by mistake leaves no promise short once it is undone."""
    gone = write_off(by=owner, on=date(2024, 9, 5), batch=batch, box=None, bunches=17, reason="mice")
    assert Hold.objects.with_short().get(pk=kept.pk).short == 5

    undo_movement(by=owner, movement=gone)

    hold = Hold.objects.with_kept().with_short().get(pk=kept.pk)
    assert (hold.kept, hold.short, Balance.objects.get(line=line).held) == (8, 0, 8)


def test_only_the_loss_undone_gives_its_own_promises_back(owner, line, batch, kept):
    """What an earlier loss left short stays short; what was filled again is not kept twice."""
    write_off(by=owner, on=date(2024, 9, 5), batch=batch, box=None, bunches=14, reason="mice")
    later = write_off(by=owner, on=date(2024, 9, 6), batch=batch, box=None, bunches=1, reason="damp")

    undo_movement(by=owner, movement=later)

    hold = Hold.objects.with_kept().with_short().get(pk=kept.pk)
    assert (hold.kept, hold.short) == (6, 2)
