"""What drying has to say today of a place with more in it than it has room for."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.books.actions import close_year
from ledger.drying.actions import hang, take_down
from ledger.drying.today import notes
from tests.factories.drying import HangingFactory, LotFactory, PlaceFactory
from tests.filling import read

JULY_2, JULY_9, JULY_12, JULY_20 = (date(2024, 7, day) for day in (2, 9, 12, 20))


@pytest.fixture
def place(owner):
    """A loft of ten hooks entered as holding twelve from 9 to 19 July: the two of 2 July were entered last."""
    found, lot = PlaceFactory(name="Loft", room=10), LotFactory()
    full = HangingFactory(place=found, lot=lot, on=JULY_9, stems=10, room=10)
    take_down(by=owner, hanging=full, on=JULY_20, stems=10)
    hang(by=owner, lot=lot, on=JULY_2, place=found, stems=10, room=2)
    return found


def test_an_overfull_place_is_named_with_its_day_and_its_address(hand, place):
    """The hand is led to the place."""
    (says, url), = notes(hand, JULY_12)

    assert says == "Loft holds 12 of 10 hooks on 9\xa0Jul\xa02024: a taking down may not be entered yet"
    assert url == place.get_absolute_url()


def test_a_bookkeeper_is_not_told_of_places(bookkeeper, place):
    """Places are the loft's work."""
    assert list(notes(bookkeeper, JULY_12)) == []


def test_closed_days_are_not_named(owner, place):
    """Nothing can be entered on them any more; what still hangs is due all the same."""
    close_year(by=owner, on=date(2024, 12, 31))

    assert [url for _, url in notes(owner, date(2025, 1, 5))] == [reverse("drying:due_down")]


def test_the_place_says_on_which_days(hand, client_as, place):
    """From when until when, how much at most, what would do; free today is never less than nothing."""
    page = read(client_as(hand), place.get_absolute_url())
    assert "From 9\xa0Jul\xa02024 until 20\xa0Jul\xa02024 more hangs here than there is room for: 12 of 10 hooks at most." in page
    assert "Enter the taking down that is missing" in page

    HangingFactory(place=place, on=JULY_20, room=8)
    hang(by=hand, lot=LotFactory(), on=JULY_2, place=place, stems=1, room=1)
    page = read(client_as(hand), place.get_absolute_url())
    assert "Since 9\xa0Jul\xa02024 more hangs here" in page
    assert '<dt>Free today</dt><dd class="number">0</dd>' in page
