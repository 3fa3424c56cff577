"""Hours by the clock, pay by the week."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.hours import minutes_by_day, pay_within, worth_of

JULY_1, JULY_2 = date(2024, 7, 1), date(2024, 7, 2)


def at(day: int, hour: int, minute: int = 0, second: int = 0) -> datetime:
    """A moment of July 2024."""
    return datetime(2024, 7, day, hour, minute, second, tzinfo=UTC)


@pytest.mark.parametrize(("started", "stopped", "parts"), [
    (at(1, 9), at(1, 10, 30), [(JULY_1, 90)]),
    (at(1, 9), at(1, 9), [(JULY_1, 1)]),
    (at(1, 9), at(1, 9, 1, 29), [(JULY_1, 1)]),
    (at(1, 9), at(1, 9, 1, 30), [(JULY_1, 2)]),
    (at(1, 23), at(2, 0), [(JULY_1, 60)]),
    (at(1, 23, 59, 40), at(2, 0, 10), [(JULY_2, 10)]),
    (at(1, 23, 59, 50), at(2, 0, 0, 5), [(JULY_1, 1)]),
])
def test_minutes_belong_to_the_day_they_passed_on(started, stopped, parts):
    """Ninety minutes are ninety; nothing is one; midnight parts the days; a part without a minute is none."""
    assert minutes_by_day(started, stopped) == parts


@given(st.integers(0, 200_000), st.integers(0, 300_000))
def test_the_days_add_up_to_the_whole(start, seconds):
    """Whatever midnights lie between, the minutes are those of the whole, one at least."""
    started = at(1, 0) + timedelta(seconds=start)

    parts = minutes_by_day(started, started + timedelta(seconds=seconds))

    assert sum(minutes for _on, minutes in parts) == max(1, (seconds + 30) // 60)
    assert len({on for on, _minutes in parts}) == len(parts)


def test_the_hour_put_back_is_worked_twice():
    """From 1:00 to 3:00 on the last Sunday of October three hours pass in Paris."""
    paris = ZoneInfo("Europe/Paris")
    started, stopped = (datetime(2024, 10, 27, hour, tzinfo=paris) for hour in (1, 3))

    assert minutes_by_day(started, stopped) == [(date(2024, 10, 27), 180)]


def test_a_clock_cannot_stop_before_it_started():
    """Time goes one way."""
    with pytest.raises(ValueError, match="before it started"):
        minutes_by_day(at(1, 9), at(1, 8))


WEEK = (JULY_1, date(2024, 7, 7))


@pytest.mark.parametrize(("paid", "within"), [
    (WEEK, 7000), ((date(2024, 7, 6), date(2024, 7, 12)), 2000), ((date(2024, 6, 1), date(2024, 6, 30)), 0),
    ((date(2024, 6, 30), date(2024, 7, 13)), 3500),
])
def test_a_pay_counts_by_its_days_in_the_week(paid, within):
    """70.00 for seven days: whole, two days of it, none of it; for fourteen, half."""
    assert pay_within(7000, paid, WEEK) == within


def test_hours_are_worth_their_sum():
    """Twice half a minor unit is one, not two."""
    assert worth_of([(1, 30), (1, 30)]) == 1
    assert worth_of([]) == 0
