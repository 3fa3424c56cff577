"""What growing has to say today of a bed that holds more than its area."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.books.actions import close_year
from ledger.growing.actions import clear
from ledger.growing.today import notes
from tests.factories.growing import BedFactory, PlantingFactory, PlotFactory
from tests.filling import read

APRIL, JULY, AUGUST = date(2024, 4, 1), date(2024, 7, 1), date(2024, 8, 1)
ON = date(2024, 8, 20)


@pytest.fixture
def bed(owner):
    """A bed of twelve m2 entered as holding fourteen in July: the four m2 of April were entered last."""
    found = BedFactory(plot=PlotFactory(name="Long field"), name="Bed 3", area_m2=Decimal(12))
    july = PlantingFactory(bed=found, on=JULY, area_m2=Decimal(10))
    PlantingFactory(bed=found, on=APRIL, area_m2=Decimal(4))
    clear(by=owner, planting=july, on=AUGUST)
    return found


def test_an_overfull_bed_is_named_with_its_day_and_its_address(hand, bed):
    """The hand is led to the bed; the one who may not mend it is not told."""
    (says, url), = notes(hand, ON)

    assert str(says) == (
        "Long field Bed 3 holds 14.00 m2 of 12.00 m2 on 1\xa0Jul\xa02024: a clearing may not be entered yet"
    )
    assert url == bed.get_absolute_url()


def test_a_seller_is_not_told_of_beds(seller, bed):
    """Beds are the field's work."""
    assert list(notes(seller, ON)) == []


def test_the_clearing_that_lacked_ends_the_note(hand, bed):
    """Cleared in June, April's four m2 left room for July's ten."""
    clear(by=hand, planting=bed.plantings.get(on=APRIL), on=date(2024, 6, 1))

    assert list(notes(hand, ON)) == []


def test_closed_days_are_not_named(owner, bed):
    """Nothing can be entered on them any more; the bed's page still says what was."""
    close_year(by=owner, on=date(2024, 12, 31))

    assert list(notes(owner, date(2025, 1, 5))) == []


def test_the_bed_says_on_which_days(hand, client_as, bed):
    """From when until when, how much at most, what would do; a bed still too full says since when."""
    page = read(client_as(hand), bed.get_absolute_url())
    assert "From 1\xa0Jul\xa02024 until 1\xa0Aug\xa02024 more stands in it than it has: 14.00 of 12.00 m2 at most." in page
    assert "Enter the clearing that is missing" in page

    still = BedFactory(area_m2=Decimal(12))
    PlantingFactory(bed=still, on=JULY, area_m2=Decimal(12))
    PlantingFactory(bed=still, on=APRIL, area_m2=Decimal(2))
    says = "Since 1\xa0Jul\xa02024 more stands in it than it has: 14.00 of 12.00 m2 at most."
    assert says in read(client_as(hand), still.get_absolute_url())
