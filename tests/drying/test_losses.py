"""Usual losses and disasters."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.drying.actions import mark_disaster, set_loss_norm, undo_disaster, undo_hanging, undo_loss_norm
from ledger.drying.queries import disaster_of, learnt_loss_bp, norm_in_force, usual_loss_bp
from tests.factories.drying import HangingFactory, LotFactory, TakingDownFactory
from tests.refusals import refused

AUGUST_1 = date(2024, 8, 1)


@pytest.fixture
def lot(owner):
    """A lot of 1000 stems."""
    return LotFactory(stems=1000)


@pytest.fixture
def variety(lot):
    """The variety of that lot."""
    return lot.planting.variety


def finished(lot, stems, lost, on=date(2024, 7, 20)):
    """A hanging all down, so many of it lost."""
    return TakingDownFactory(hanging__lot=lot, hanging__stems=stems, stems=stems, losses={"mould": lost}, on=on).hanging


def test_a_norm_is_in_force_from_its_day(owner, variety):
    """Five per cent from June, eight from August: July has five."""
    set_loss_norm(by=owner, variety=variety, on=date(2024, 6, 1), share_bp=500)
    august = set_loss_norm(by=owner, variety=variety, on=AUGUST_1, share_bp=800)

    assert norm_in_force(variety, date(2024, 5, 31)) is None
    assert usual_loss_bp(variety, date(2024, 7, 31)) == 500
    assert usual_loss_bp(variety, AUGUST_1) == 800
    undo_loss_norm(by=owner, norm=august)
    assert usual_loss_bp(variety, AUGUST_1) == 500


def test_the_whole_is_no_usual_loss(owner, variety):
    """A norm must leave something sound."""
    with refused("no_share"):
        set_loss_norm(by=owner, variety=variety, on=AUGUST_1, share_bp=10_000)
    with refused("no_share"):
        set_loss_norm(by=owner, variety=variety, on=AUGUST_1, share_bp=-1)


def test_the_usual_loss_is_learnt_from_earlier_hangings(owner, lot, variety):
    """200 hung and 15 lost are 7.5 %; what still hangs and disasters do not teach."""
    assert (learnt_loss_bp(variety, AUGUST_1), usual_loss_bp(variety, AUGUST_1)) == (None, 0)
    finished(lot, 100, 5)
    finished(lot, 100, 10)
    HangingFactory(lot=lot, stems=100)
    ruined = finished(lot, 100, 90)
    mark_disaster(by=owner, hanging=ruined, on=AUGUST_1, why="wet week")

    assert learnt_loss_bp(variety, AUGUST_1) == 750
    assert learnt_loss_bp(variety, date(2024, 7, 19)) is None


def test_a_hanging_all_lost_teaches_just_below_the_whole(owner, lot, variety):
    """A norm of the whole would leave nothing to bear a cost."""
    finished(lot, 100, 100)

    assert learnt_loss_bp(variety, AUGUST_1) == 9_999


def test_a_disaster_keeps_the_usual_loss_of_its_day(owner, lot, variety):
    """Not what the hanging itself lost, and not a norm entered later."""
    finished(lot, 100, 4)
    ruined = finished(lot, 100, 90)

    mark = mark_disaster(by=owner, hanging=ruined, on=AUGUST_1, why="wet week")
    set_loss_norm(by=owner, variety=variety, on=AUGUST_1, share_bp=900)

    assert mark.norm_bp == 400
    assert disaster_of(ruined) == mark


def test_a_disaster_may_name_its_own_norm(owner, lot):
    """The grower's figure stands."""
    ruined = finished(lot, 100, 90)

    assert mark_disaster(by=owner, hanging=ruined, on=AUGUST_1, why="wet week", norm_bp=1200).norm_bp == 1200


def test_a_hanging_is_marked_once(owner, lot):
    """Taken away, the mark can be set anew."""
    ruined = finished(lot, 100, 90)
    mark = mark_disaster(by=owner, hanging=ruined, on=AUGUST_1, why="wet week")

    with refused("already_marked"):
        mark_disaster(by=owner, hanging=ruined, on=AUGUST_1, why="again")
    undo_disaster(by=owner, disaster=mark)

    assert disaster_of(ruined) is None
    assert mark_disaster(by=owner, hanging=ruined, on=AUGUST_1, why="wet week").stands


def test_a_disaster_is_not_older_than_its_hanging(owner, lot):
    """Hung on 2 July, marked on 1 July: refused."""
    with refused("too_early"):
        mark_disaster(by=owner, hanging=HangingFactory(lot=lot), on=date(2024, 7, 1), why="wet week")


def test_an_undone_hanging_is_no_disaster(owner, lot):
    """Nothing is marked that counts nowhere."""
    hanging = undo_hanging(by=owner, hanging=HangingFactory(lot=lot))

    with refused("undone"):
        mark_disaster(by=owner, hanging=hanging, on=AUGUST_1, why="wet week")


def test_a_disaster_says_what_happened(owner, lot):
    """A mark without a reason is refused."""
    with refused("blank"):
        mark_disaster(by=owner, hanging=HangingFactory(lot=lot), on=AUGUST_1, why="")


def test_a_seller_marks_no_disaster(seller, lot):
    """Marking is the loft's."""
    with pytest.raises(PermissionDenied):
        mark_disaster(by=seller, hanging=HangingFactory(lot=lot), on=AUGUST_1, why="wet week")
