"""Taking down."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.drying.actions import hang, take_down, undo_hanging, undo_taking_down
from ledger.drying.models import Hanging, TakingDown
from ledger.drying.queries import losses_of, overfull_in, stems_still_up
from ledger.stock.actions import undo_run
from tests.factories.drying import HangingFactory, TakingDownFactory
from tests.factories.stock import LineFactory, run_of
from tests.refusals import refused

JULY_10, JULY_20 = date(2024, 7, 10), date(2024, 7, 20)


def hanging_on(on: date) -> Hanging:
    """The one hanging with its counts at the end of a day."""
    return Hanging.objects.with_stems_up(on).with_sound(on).with_lost(on).with_down_on().get()


def test_stems_come_down_sound_or_lost_by_reason(hand):
    """100 hung = 60 sound + 15 lost + 25 still up."""
    hanging = HangingFactory(stems=100)

    taking = take_down(
        by=hand, hanging=hanging, on=JULY_20, stems=75, losses={"mould": 10, "dropped": 5, "faded": 0}, dried_g=240
    )

    assert (taking.sound, taking.dried_g) == (60, 240)
    now = hanging_on(JULY_20)
    assert (now.stems_up, now.sound, now.lost, now.down_on) == (25, 60, 15, None)
    assert losses_of(hanging) == [("mould", 10), ("dropped", 5)]


def test_what_comes_down_counts_from_its_own_day(owner):
    """On 19 July all hang, on 20 July none does."""
    TakingDownFactory(hanging__stems=100, stems=100, on=JULY_20)

    assert hanging_on(date(2024, 7, 19)).stems_up == 100
    assert hanging_on(JULY_20).stems_up == 0
    assert hanging_on(JULY_20).down_on == JULY_20
    assert list(Hanging.objects.still_up(date(2024, 7, 19))) == list(Hanging.objects.finished(JULY_20))
    assert not Hanging.objects.still_up(JULY_20) and not Hanging.objects.finished(date(2024, 7, 19))


def test_back_dated_taking_cannot_reuse_stems_taken_later(owner):
    """A stem comes down once, in whatever order the days are entered."""
    hanging = HangingFactory(stems=100)
    take_down(by=owner, hanging=hanging, on=JULY_20, stems=60)

    with refused("too_many"):
        take_down(by=owner, hanging=hanging, on=JULY_10, stems=41)
    take_down(by=owner, hanging=hanging, on=JULY_10, stems=40)

    assert stems_still_up(hanging) == 0


def test_nothing_comes_down_before_it_went_up(owner):
    """Hung on 2 July, taken down on 1 July: refused."""
    with refused("too_early"):
        take_down(by=owner, hanging=HangingFactory(), on=date(2024, 7, 1), stems=1)


@pytest.mark.parametrize(
    ("stems", "losses", "code"),
    [(10, {"mould": 11}, "more_lost_than_down"), (10, {"mould": -1}, "negative"), (0, {}, "too_few"), (-3, {}, "too_few")],
)
def test_absurd_losses_are_refused(owner, stems, losses, code):
    """Losses are part of what came down."""
    with refused(code):
        take_down(by=owner, hanging=HangingFactory(), on=JULY_20, stems=stems, losses=losses)
    assert not TakingDown.objects.exists()


def test_an_unknown_reason_is_refused(owner):
    """Reasons are those of the list."""
    with refused("invalid_choice"):
        take_down(by=owner, hanging=HangingFactory(), on=JULY_20, stems=10, losses={"ghosts": 1})


def test_nothing_comes_down_of_an_undone_hanging(owner):
    """A form opened before the undoing is refused."""
    hanging = undo_hanging(by=owner, hanging=HangingFactory())

    with refused("undone"):
        take_down(by=owner, hanging=hanging, on=JULY_20, stems=10)


def test_the_second_press_takes_down_once(owner):
    """One form takes stems down once."""
    given = {"by": owner, "hanging": HangingFactory(stems=100), "on": JULY_20, "stems": 10, "key": "a-form"}

    assert take_down(**given) == take_down(**given)
    assert stems_still_up(given["hanging"]) == 90


def test_a_bookkeeper_takes_nothing_down(bookkeeper):
    """Taking down is the loft's work."""
    with pytest.raises(PermissionDenied):
        take_down(by=bookkeeper, hanging=HangingFactory(), on=JULY_20, stems=10)


def test_undone_stems_hang_again(owner):
    """An undone taking down leaves everything up, with its losses forgotten."""
    taking = TakingDownFactory(hanging__stems=100, stems=100, losses={"mould": 5})

    undo_taking_down(by=owner, taking=taking)

    assert (hanging_on(JULY_20).stems_up, hanging_on(JULY_20).lost) == (100, 0)
    assert losses_of(taking.hanging) == []


def test_a_taking_down_that_was_bunched_is_not_undone(owner):
    """Bunches rest on the sound stems they were made of; undo the run first."""
    taking = TakingDownFactory(hanging__stems=100, stems=100)
    run = run_of(LineFactory(stems=10), 10, hanging=taking.hanging)

    with refused("rested_on"):
        undo_taking_down(by=owner, taking=taking)
    undo_run(by=owner, run=run)

    assert not undo_taking_down(by=owner, taking=taking).stands


def test_a_taking_down_not_needed_by_the_run_is_undone(owner):
    """Of two takings of 50 a run of 50 needs one."""
    hanging = HangingFactory(stems=100)
    first = TakingDownFactory(hanging=hanging, stems=50, on=JULY_10)
    TakingDownFactory(hanging=hanging, stems=50, on=JULY_20)
    run_of(LineFactory(stems=10), 5, hanging=hanging)

    assert not undo_taking_down(by=owner, taking=first).stands


def test_a_taking_down_typed_wrongly_is_undone_though_others_hang_there_now(owner):
    """The hook was given to others on 20 July; entered anew for the 10th, the place fits again."""
    taking = TakingDownFactory(hanging__stems=50, hanging__place__room=1, stems=50, on=JULY_20)
    hanging = taking.hanging
    hang(by=owner, lot=hanging.parting.lot, on=JULY_20, place=hanging.place, stems=50)

    assert not undo_taking_down(by=owner, taking=taking).stands
    assert [(one.first, one.most) for one in overfull_in(hanging.place)] == [(JULY_20, 2)]
    take_down(by=owner, hanging=hanging, on=JULY_10, stems=50)
    assert overfull_in(hanging.place) == []
