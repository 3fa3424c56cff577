"""What rests on what: a fact is undone only when nothing stands on it."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.growing.actions import add_bed, add_plot, add_species, add_variety, cut, plant, undo_lot, undo_planting
from tests.refusals import refused


@pytest.fixture
def planting(owner):
    """Strawflowers in half of a bed from April 2024."""
    plot = add_plot(by=owner, name="Long field", kind="open", area_m2=Decimal(100))
    bed = add_bed(by=owner, plot=plot, name="A", area_m2=Decimal(20))
    variety = add_variety(by=owner, species=add_species(by=owner, name="Strawflower"), name="Copper")
    return plant(by=owner, on=date(2024, 4, 1), variety=variety, bed=bed, area_m2=Decimal(10), season=2024)


def test_a_planting_stems_were_cut_from_cannot_be_undone(owner, planting):
    """The refusal names what rests on it."""
    lot = cut(by=owner, planting=planting, on=date(2024, 7, 1), stage="full", stems=100)

    with refused("rested_on") as caught:
        undo_planting(by=owner, planting=planting)

    assert str(lot) in caught.value.messages[0]


def test_once_the_lot_is_undone_the_planting_can_be(owner, planting):
    """What has been undone carries nothing any more."""
    lot = cut(by=owner, planting=planting, on=date(2024, 7, 1), stage="full", stems=100)
    undo_lot(by=owner, lot=lot)

    assert not undo_planting(by=owner, planting=planting).stands


def test_nothing_is_built_on_an_undone_planting(owner, planting):
    """A form opened before the undoing is refused when it is sent."""
    undo_planting(by=owner, planting=planting)

    with refused("undone"):
        cut(by=owner, planting=planting, on=date(2024, 7, 1), stage="full", stems=100)
