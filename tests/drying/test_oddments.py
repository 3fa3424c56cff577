"""Oddments kept of what was lost, and trials."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.drying.actions import (
    keep_oddments,
    mark_disaster,
    mark_trial,
    move_hanging,
    set_loss_norm,
    take_down,
    undo_hanging,
    undo_oddments,
    undo_taking_down,
)
from ledger.drying.models import Hanging
from ledger.drying.queries import UsualDays, UsualLoss, learnt_loss_bp, usual_days, usual_loss, usual_losses
from ledger.facts.models import Amendment
from tests.factories.drying import HangingFactory, LotFactory, PlaceFactory, TakingDownFactory
from tests.refusals import refused

JULY_10, JULY_20, JULY_25 = date(2024, 7, 10), date(2024, 7, 20), date(2024, 7, 25)


@pytest.fixture
def hanging(holding, owner):
    """100 stems of which 20 were lost on the 20th."""
    return TakingDownFactory(hanging__stems=100, stems=100, losses={"shattered": 20}, on=JULY_20).hanging


def test_lost_stems_are_kept_as_oddments(hand, hanging):
    """15 of the 20 lost, worth 1.50 as scrap."""
    kept = keep_oddments(by=hand, hanging=hanging, on=JULY_20, stems=15, value=150)

    assert (kept.hanging, kept.stems, kept.value) == (hanging, 15, 150)


@pytest.mark.parametrize(
    ("on", "stems", "code"), [(JULY_20, 0, "too_few"), (date(2024, 7, 19), 1, "too_many"), (JULY_20, 6, "too_many")]
)
def test_no_more_is_kept_than_was_lost_by_then(owner, hanging, on, stems, code):
    """20 lost on the 20th and 15 kept on the 25th leave 5, and none before the 20th."""
    keep_oddments(by=owner, hanging=hanging, on=JULY_25, stems=15, value=0)

    with refused(code):
        keep_oddments(by=owner, hanging=hanging, on=on, stems=stems, value=10)
    keep_oddments(by=owner, hanging=hanging, on=JULY_20, stems=5, value=10)


def test_a_loss_that_was_kept_is_not_undone(owner, hanging):
    """First the oddments, then the taking down."""
    kept = keep_oddments(by=owner, hanging=hanging, on=JULY_20, stems=1, value=1)
    with refused("rested_on"):
        undo_taking_down(by=owner, taking=hanging.takings.get())

    undo_oddments(by=owner, oddments=kept)

    assert not undo_taking_down(by=owner, taking=hanging.takings.get()).stands


def test_oddments_pressed_twice_are_kept_once(owner, hanging):
    """The second press returns the first."""
    given = {"hanging": hanging, "on": JULY_20, "stems": 15, "value": 150}

    assert keep_oddments(by=owner, key="a-form", **given) == keep_oddments(by=owner, key="a-form", **given)
    assert hanging.oddments.count() == 1


def test_nothing_is_kept_of_an_undone_hanging_nor_by_a_seller(owner, seller, hanging):
    """Only in the loft, only of what stands."""
    with pytest.raises(PermissionDenied):
        keep_oddments(by=seller, hanging=hanging, on=JULY_20, stems=1, value=1)
    gone = undo_hanging(by=owner, hanging=HangingFactory())
    with refused("undone"):
        keep_oddments(by=owner, hanging=gone, on=JULY_20, stems=1, value=1)


def lost_of(lot, lost, **given):
    """A hanging of 100 stems of a lot, so many lost when they came down on the 20th."""
    hanging = HangingFactory(lot=lot, stems=100, **given)
    return TakingDownFactory(hanging=hanging, stems=100, losses={"mould": lost} if lost else {}, on=JULY_20).hanging


def test_what_is_learnt_says_on_how_many_hangings(owner):
    """10 and 20 of 100 each are 15 %, on two; a trial and a disaster teach nothing."""
    lot = LotFactory()
    variety = lot.planting.variety
    lost_of(lot, 10)
    lost_of(lot, 20)
    lost_of(lot, 90, trial=True)
    mark_disaster(by=owner, hanging=lost_of(lot, 80), on=JULY_20, why="rain")

    assert usual_loss(variety, JULY_20) == UsualLoss(1500, hangings=2)
    assert usual_losses(JULY_20) == [(variety, UsualLoss(1500, hangings=2))]
    assert usual_days([variety], JULY_20) == {variety.pk: UsualDays(18, 3)}


def test_what_is_entered_goes_before_what_is_learnt(owner):
    """From the day it was entered for."""
    lot = LotFactory()
    lost_of(lot, 10)
    set_loss_norm(by=owner, variety=lot.planting.variety, on=JULY_25, share_bp=700)

    assert usual_loss(lot.planting.variety, JULY_20).hangings == 1
    assert usual_loss(lot.planting.variety, JULY_25) == UsualLoss(700, entered=JULY_25)
    assert [usual for _, usual in usual_losses(JULY_25)] == [UsualLoss(700, entered=JULY_25)]


def test_stems_moved_on_tell_where_they_were_moved_to(owner):
    """60 of 100 moved; 40 lost none, the 60 lost 10: 10 %, on two. Moved whole, the first place tells nothing."""
    lot = LotFactory()
    hanging = HangingFactory(lot=lot, stems=100)
    moved = move_hanging(by=owner, hanging=hanging, on=JULY_10, place=PlaceFactory(), stems=60)
    take_down(by=owner, hanging=hanging, on=JULY_20, stems=40)
    last = move_hanging(by=owner, hanging=moved, on=JULY_10, place=PlaceFactory(), stems=60)
    take_down(by=owner, hanging=last, on=JULY_20, stems=60, losses={"faded": 10})

    assert usual_loss(lot.planting.variety, JULY_20) == UsualLoss(1000, hangings=2)


def test_a_trial_is_marked_wherever_its_stems_hang_and_what_was_said_is_kept(owner):
    """Both hangings of the parting; marked again, nothing is written."""
    hanging = HangingFactory(stems=100)
    moved = move_hanging(by=owner, hanging=hanging, on=JULY_10, place=PlaceFactory(), stems=60)

    assert mark_trial(by=owner, hanging=moved, trial=True).trial
    mark_trial(by=owner, hanging=hanging, trial=True)

    assert set(Hanging.objects.values_list("trial", flat=True)) == {True}
    said = Amendment.objects.filter(model="drying.Hanging", field="trial").values_list("record_pk", "before", "after")
    assert sorted(said) == sorted((str(one.pk), "False", "True") for one in (hanging, moved))


def test_a_trial_unmarked_teaches_again(owner):
    """Its loss counts from then on."""
    hanging = lost_of(LotFactory(), 30, trial=True)
    variety = hanging.parting.lot.planting.variety
    assert learnt_loss_bp(variety, JULY_20) is None

    assert not mark_trial(by=owner, hanging=hanging, trial=False).trial

    assert learnt_loss_bp(variety, JULY_20) == 3000
