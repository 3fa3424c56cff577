"""Days on which something agreed comes round, read off the calendar."""

from datetime import date

import pytest

from ledger.reckoning.coming_round import days_due


def test_every_second_week():
    """A fortnight is fourteen days."""
    assert list(days_due(date(2024, 11, 29), 2, "weeks", date(2025, 1, 1))) == [
        date(2024, 11, 29), date(2024, 12, 13), date(2024, 12, 27),
    ]


def test_every_month_from_its_last_day():
    """January 31st: the shorter months have their last day, a leap year's February its 29th, March the 31st again."""
    assert list(days_due(date(2024, 1, 31), 1, "months", date(2024, 5, 30))) == [
        date(2024, 1, 31), date(2024, 2, 29), date(2024, 3, 31), date(2024, 4, 30),
    ]


def test_every_quarter_over_the_year():
    """Three months on from November is February."""
    assert list(days_due(date(2024, 11, 5), 3, "months", date(2025, 5, 5))) == [
        date(2024, 11, 5), date(2025, 2, 5), date(2025, 5, 5),
    ]


def test_nothing_before_the_first():
    """Not begun yet."""
    assert list(days_due(date(2025, 1, 1), 1, "weeks", date(2024, 12, 31))) == []


@pytest.mark.parametrize(("unit", "count"), [("weeks", 2), ("months", 1)])
def test_the_calendar_ends(unit, count):
    """The last day a date can be is no fault."""
    assert len(list(days_due(date(9999, 12, 20), 1, unit, date.max))) == count


@pytest.mark.parametrize(("every", "unit"), [(0, "weeks"), (1, "days")])
def test_other_rounds_are_refused(every, unit):
    """Weeks or months, one or more."""
    with pytest.raises(ValueError, match="one or more"):
        list(days_due(date(2025, 1, 1), every, unit, date(2025, 2, 1)))
