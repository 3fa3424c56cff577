"""Hours by the clock, and the part of a pay that falls in a week."""

from datetime import UTC, date, datetime, time, timedelta

from .taking import proportion

MINUTE = timedelta(minutes=1)
ONE_DAY = timedelta(days=1)


def minutes_by_day(started: datetime, stopped: datetime) -> list[tuple[date, int]]:
    """Return whole minutes between two moments, split at each midnight of their time zone.

    Both moments carry the zone whose days count. Minutes are halves up of what
    has passed, so that the parts add up to the whole; less than half a minute
    is one. Days without a minute are left out. Raises ValueError when it
    stopped before it started.

    >>> minutes_by_day(datetime(2024, 7, 1, 23, 50, tzinfo=UTC), datetime(2024, 7, 2, 0, 30, tzinfo=UTC))
    [(datetime.date(2024, 7, 1), 10), (datetime.date(2024, 7, 2), 30)]
    """
    if stopped < started:
        raise ValueError("a clock cannot stop before it started")
    parts, before, on = [], 0, started.date()
    while on <= stopped.date():
        midnight = datetime.combine(on + ONE_DAY, time(), tzinfo=stopped.tzinfo)
        after = _passed(started, stopped if on == stopped.date() else midnight)
        parts.append((on, after - before))
        before, on = after, on + ONE_DAY
    return [(on, minutes) for on, minutes in parts if minutes] or [(started.date(), 1)]


def _passed(started: datetime, until: datetime) -> int:
    """Minutes that really passed, whatever clocks were put forward or back."""
    passed = until.astimezone(UTC) - started.astimezone(UTC)
    return (2 * passed + MINUTE) // (2 * MINUTE)


def pay_within(amount: int, paid: tuple[date, date], week: tuple[date, date]) -> int:
    """Return what of a pay falls in a week, by days, in the unit of `amount`.

    Each stretch is a first and a last day, both within; halves up.

    >>> pay_within(3100, (date(2024, 7, 1), date(2024, 7, 31)), (date(2024, 7, 29), date(2024, 8, 4)))
    300
    """
    both = (min(paid[1], week[1]) - max(paid[0], week[0])).days + 1
    return proportion(amount, max(0, both), (paid[1] - paid[0]).days + 1)


def worth_of(hours: list[tuple[int, int]]) -> int:
    """Return what minutes at a rate an hour are worth, halves up of the sum, in the rate's unit.

    >>> worth_of([(90, 1200), (1, 30)])
    1801
    """
    return proportion(sum(minutes * per_hour for minutes, per_hour in hours), 1, 60)
