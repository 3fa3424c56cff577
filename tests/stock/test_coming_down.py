"""Bunches that were hung as bunches."""

from datetime import date

import pytest

from ledger.drying.actions import undo_taking_down
from ledger.stock.actions import bring_down_bunches, undo_run
from tests.factories.drying import HangingFactory
from tests.factories.stock import LineFactory, there
from tests.refusals import refused

AUGUST_5 = date(2024, 8, 5)


@pytest.fixture
def hung(owner):
    """Twenty bunches of ten, hung as bunches."""
    return HangingFactory(stems=200, bunch_stems=10)


@pytest.fixture
def tens(hung):
    """Their line."""
    return LineFactory(variety=hung.parting.lot.planting.variety, stems=10)


def test_bunches_come_down_as_bunches(hand, hung, tens, box):
    """Eighteen sound bunches and twenty stems of mould, in one go."""
    run = bring_down_bunches(by=hand, on=AUGUST_5, hanging=hung, line=tens, bunches=18, losses={"mould": 20, "faded": 0}, box=box)

    taking = hung.takings.get()
    assert (taking.stems, taking.sound, there(run.batches.get())) == (200, 180, [(box.code, 18)])


def test_more_than_are_up_do_not_come_down(owner, hung, tens):
    """Twenty were hung."""
    with refused("too_many"):
        bring_down_bunches(by=owner, on=AUGUST_5, hanging=hung, line=tens, bunches=21)


@pytest.mark.parametrize(("stems", "bunches", "code"), [(5, 1, "other_size"), (10, 0, "too_few")])
def test_bunches_stay_as_they_were_hung(owner, hung, stems, bunches, code):
    """Tens are no fives, and none is none."""
    other = LineFactory(variety=hung.parting.lot.planting.variety, grade="seconds", stems=stems)

    with refused(code):
        bring_down_bunches(by=owner, on=AUGUST_5, hanging=hung, line=other, bunches=bunches)


def test_loose_stems_are_taken_down_first(owner, tens):
    """What hangs loose does not come down as bunches."""
    with refused("not_bunches"):
        bring_down_bunches(by=owner, on=AUGUST_5, hanging=HangingFactory(stems=200), line=tens, bunches=1)


def test_it_is_undone_from_the_end(owner, hung, tens):
    """The run first, then what came down."""
    run = bring_down_bunches(by=owner, on=AUGUST_5, hanging=hung, line=tens, bunches=18)

    undo_run(by=owner, run=run)

    assert not undo_taking_down(by=owner, taking=hung.takings.get()).stands
