"""Years, seasons, weeks and stretches of days."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.years import iso_week, overlap_days, season_bounds, season_of, written_down, year_bounds, year_of

DAYS = st.dates(date(1990, 1, 1), date(2100, 12, 31))


@pytest.mark.parametrize(
    ("on", "end_month", "end_day", "year"),
    [
        (date(2024, 12, 31), 12, 31, 2024),
        (date(2025, 1, 1), 12, 31, 2025),
        (date(2024, 4, 5), 4, 5, 2024),
        (date(2024, 4, 6), 4, 5, 2025),
        (date(2024, 2, 29), 2, 29, 2024),
        (date(2025, 2, 28), 2, 29, 2025),
        (date(2025, 3, 1), 2, 29, 2026),
        (date(2024, 2, 29), 2, 28, 2025),
        (date(2024, 6, 30), 6, 31, 2024),
    ],
)
def test_year_is_named_by_its_end(on, end_month, end_day, year):
    """The last day is in its year, the next day in the next."""
    assert year_of(on, end_month=end_month, end_day=end_day) == year


@pytest.mark.parametrize(
    ("year", "end_month", "end_day", "bounds"),
    [
        (2024, 12, 31, (date(2024, 1, 1), date(2024, 12, 31))),
        (2025, 4, 5, (date(2024, 4, 6), date(2025, 4, 5))),
        (2024, 2, 29, (date(2023, 3, 1), date(2024, 2, 29))),
        (2025, 2, 31, (date(2024, 3, 1), date(2025, 2, 28))),
        (2024, 2, 28, (date(2023, 3, 1), date(2024, 2, 28))),
    ],
)
def test_year_bounds_are_clipped_to_the_month(year, end_month, end_day, bounds):
    """A year can end on a day its month does not always have."""
    assert year_bounds(year, end_month=end_month, end_day=end_day) == bounds


@pytest.mark.parametrize(("month", "day"), [(0, 1), (13, 1), (4, 0), (4, 32)])
def test_impossible_year_ends_are_refused(month, day):
    """No calendar has that day."""
    with pytest.raises(ValueError, match=f"day {day} of month {month}"):
        year_of(date(2024, 5, 1), end_month=month, end_day=day)
    with pytest.raises(ValueError, match=f"day {day} of month {month}"):
        year_bounds(2024, end_month=month, end_day=day)


@given(on=DAYS, end_month=st.integers(1, 12), end_day=st.integers(1, 31))
def test_every_day_is_in_exactly_its_year(on, end_month, end_day):
    """Years meet without gap or overlap, and hold the days named after them."""
    year = year_of(on, end_month=end_month, end_day=end_day)
    first, last = year_bounds(year, end_month=end_month, end_day=end_day)
    assert first <= on <= last
    assert year_bounds(year + 1, end_month=end_month, end_day=end_day)[0] == last + timedelta(days=1)


@pytest.mark.parametrize(
    ("on", "first_month", "season"),
    [
        (date(2024, 1, 1), 1, 2024),
        (date(2024, 12, 31), 1, 2024),
        (date(2025, 2, 28), 3, 2024),
        (date(2025, 3, 1), 3, 2025),
        (date(2024, 12, 1), 12, 2024),
        (date(2024, 11, 30), 12, 2023),
    ],
)
def test_season_is_named_by_its_first_month(on, first_month, season):
    """Winter work before the first month belongs to the season before."""
    assert season_of(on, first_month=first_month) == season


@given(on=DAYS, first_month=st.integers(1, 12))
def test_every_day_is_in_exactly_its_season(on, first_month):
    """Seasons meet without gap or overlap."""
    season = season_of(on, first_month=first_month)
    first, last = season_bounds(season, first_month=first_month)
    assert first <= on <= last
    assert season_bounds(season + 1, first_month=first_month)[0] == last + timedelta(days=1)


@pytest.mark.parametrize("month", [0, 13])
def test_seasons_from_no_month_are_refused(month):
    """A season begins with a month there is."""
    with pytest.raises(ValueError, match=f"no month {month}"):
        season_of(date(2024, 1, 1), first_month=month)
    with pytest.raises(ValueError, match=f"no month {month}"):
        season_bounds(2024, first_month=month)


@pytest.mark.parametrize(
    ("a", "b", "days"),
    [
        ((date(2024, 5, 1), date(2024, 10, 1)), (date(2024, 1, 1), date(2025, 1, 1)), 153),
        ((date(2024, 5, 1), date(2024, 6, 1)), (date(2024, 6, 1), date(2024, 7, 1)), 0),
        ((date(2024, 5, 1), date(2024, 6, 2)), (date(2024, 6, 1), date(2024, 7, 1)), 1),
        ((date(2024, 5, 1), date(2024, 5, 1)), (date(2024, 1, 1), date(2025, 1, 1)), 0),
        ((date(2024, 5, 9), date(2024, 5, 1)), (date(2024, 1, 1), date(2025, 1, 1)), 0),
        ((date(2024, 5, 1), date(2024, 6, 1)), (date(2024, 8, 1), date(2024, 9, 1)), 0),
    ],
)
def test_overlap_leaves_the_last_day_out(a, b, days):
    """A bed is held up to, not including, the last day; order of the two is nothing."""
    assert overlap_days(*a, *b) == overlap_days(*b, *a) == days


def test_week_of_the_year_s_turn():
    """The last days of December can be in the next year's first week."""
    assert iso_week(date(2024, 12, 30)) == "2025-W01"
    assert iso_week(date(2024, 12, 29)) == "2024-W52"


def test_a_structure_is_written_down_over_whole_years():
    """Ten years from 1 March end with February; from a 29 February they end with the 27th, in a leap year the 28th."""
    assert written_down(date(2024, 3, 1), 10) == (date(2024, 3, 1), date(2034, 2, 28))
    assert written_down(date(2024, 2, 29), 1) == (date(2024, 2, 29), date(2025, 2, 27))
    assert written_down(date(2024, 2, 29), 4) == (date(2024, 2, 29), date(2028, 2, 28))


def test_nothing_is_written_down_over_no_years():
    """Less than a year is no writing down."""
    with pytest.raises(ValueError):
        written_down(date(2024, 3, 1), 0)
