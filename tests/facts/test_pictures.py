"""Pictures: bars for days beneath the line of what is full."""

from datetime import date, timedelta

import pytest

from ledger.facts.pictures import HEAD, HIGH, STEP, Bar, DayBars

JULY_1 = date(2024, 7, 1)


def bars(*numbers, full):
    """A picture of these numbers from 1 July on."""
    rows = [(JULY_1 + timedelta(days=place), number) for place, number in enumerate(numbers)]
    return DayBars("room", "Room", "So full it was.", "Taken", rows, full)


def test_bars_stand_on_the_floor_as_high_as_their_share():
    """Of ten: five is half as high as the line, nothing is no bar."""
    picture = bars(5, 0, 10, full=10)

    floor = HEAD + HIGH
    assert picture.floor == floor
    assert picture.bars() == [Bar(0, floor - HIGH // 2, STEP - 1, HIGH // 2), Bar(2 * STEP, HEAD, STEP - 1, HIGH)]
    assert picture.line_at == HEAD
    assert (picture.first, picture.last, picture.width) == (JULY_1, date(2024, 7, 3), 3 * STEP)


@pytest.mark.parametrize(("number", "full"), [(1, 100_000), (1, 121)])
def test_a_little_is_still_seen(number, full):
    """Rounded up to one unit of the drawing."""
    assert bars(number, full=full).bars()[0].height == 1


def test_more_than_full_stays_inside_the_drawing():
    """The line of what is full comes down instead."""
    picture = bars(20, full=10)

    assert picture.bars()[0].height == HIGH
    assert picture.line_at == HEAD + HIGH // 2


def test_a_single_empty_day_is_drawn():
    """No bar, no fault."""
    assert bars(0, full=10).bars() == []
