"""How full a place was, day by day."""

import re
from datetime import date

from ledger.drying.queries import room_taken_by_day
from ledger.drying.views.places import picture_of_room
from tests.factories.drying import HangingFactory, LotFactory, PlaceFactory, TakingDownFactory
from tests.filling import read

JULY_1, JULY_2, JULY_5 = date(2024, 7, 1), date(2024, 7, 2), date(2024, 7, 5)


def test_room_is_taken_until_the_last_stem_is_down(owner):
    """Four hooks from 2 July, three more from the 3rd until all is down on the 5th."""
    place, lot = PlaceFactory(), LotFactory()
    HangingFactory(place=place, lot=lot, room=4)
    second = HangingFactory(place=place, lot=lot, room=3, on=date(2024, 7, 3))
    TakingDownFactory(hanging=second, on=JULY_5)

    taken = room_taken_by_day(place, JULY_1, JULY_5)
    assert [room for _day, room in taken] == [0, 4, 7, 7, 4]
    assert (taken[0][0], taken[-1][0]) == (JULY_1, JULY_5)


def test_the_picture_says_the_most_and_when(owner):
    """Sixty days to the day asked for, the fullest of them in words."""
    place = HangingFactory(room=4, place=PlaceFactory(room=9)).place
    picture = picture_of_room(place, JULY_5)

    assert len(picture.rows) == 60 and picture.last == JULY_5
    assert str(picture.describes) == "Of 9 hooks at most 4 were taken in the last 60 days, first on 2\xa0Jul\xa02024."
    assert "None of 100 hooks was taken" in str(picture_of_room(PlaceFactory(), JULY_5).describes)


def test_the_page_shows_it_with_words_and_figures(hand, owner, client_as):
    """A title and a description for who cannot see it, a fill on every bar, the figures as a table, no inline style."""
    place = HangingFactory(room=4).place
    page = read(client_as(hand), place.get_absolute_url())
    drawn = page[page.index("<svg class=\"picture\""):page.index("Its figures")]

    assert "<title" in drawn and "<desc" in drawn
    assert all("fill=" in shape for shape in re.findall(r"<(?:rect|path|text)[^>]*>", drawn))
    assert len(re.findall(r"<rect", drawn)) == 60
    assert page.count("<td class=\"number\">4</td>") >= 60
    assert "style=" not in page
