"""Financial years, seasons, weeks and stretches of days."""

from calendar import monthrange
from datetime import date, timedelta

ONE_DAY = timedelta(days=1)


def year_of(on: date, *, end_month: int, end_day: int) -> int:
    """Return the financial year of a day, named by the year in which it ends.

    >>> year_of(date(2024, 4, 6), end_month=4, end_day=5)
    2025
    """
    return on.year if on <= _year_end(on.year, end_month, end_day) else on.year + 1


def year_bounds(year: int, *, end_month: int, end_day: int) -> tuple[date, date]:
    """Return the first and the last day of a financial year, both within it.

    An end day beyond the month's length is its last day, so that a year can
    end with February or with any month's 31st. Raises ValueError for a month
    or day no calendar has.

    >>> year_bounds(2025, end_month=2, end_day=29)
    (datetime.date(2024, 3, 1), datetime.date(2025, 2, 28))
    """
    first = _year_end(year - 1, end_month, end_day) + ONE_DAY
    return first, _year_end(year, end_month, end_day)


def _year_end(year: int, month: int, day: int) -> date:
    if not (1 <= month <= 12 and 1 <= day <= 31):
        raise ValueError(f"a year cannot end on day {day} of month {month}")
    return date(year, month, min(day, monthrange(year, month)[1]))


def season_of(on: date, *, first_month: int) -> int:
    """Return the season of a day, named by the year of its first month.

    >>> season_of(date(2025, 1, 31), first_month=3)
    2024
    """
    _check_month(first_month)
    return on.year if on.month >= first_month else on.year - 1


def season_bounds(season: int, *, first_month: int) -> tuple[date, date]:
    """Return the first and the last day of a season, both within it.

    Raises ValueError for a month no calendar has.

    >>> season_bounds(2024, first_month=3)
    (datetime.date(2024, 3, 1), datetime.date(2025, 2, 28))
    """
    _check_month(first_month)
    return date(season, first_month, 1), date(season + 1, first_month, 1) - ONE_DAY


def _check_month(month: int) -> None:
    if not 1 <= month <= 12:
        raise ValueError(f"there is no month {month}")


def overlap_days(a_from: date, a_to: date, b_from: date, b_to: date) -> int:
    """Return how many days two stretches share.

    Each runs from its first day up to, not including, its last; one that ends
    before it begins holds no day.

    >>> overlap_days(date(2024, 5, 1), date(2024, 6, 1), date(2024, 5, 31), date(2024, 7, 1))
    1
    """
    return max(0, (min(a_to, b_to) - max(a_from, b_from)).days)


def iso_week(on: date) -> str:
    """Return the ISO 8601 week of a day, the first holding the first Thursday.

    >>> iso_week(date(2024, 12, 30))
    '2025-W01'
    """
    year, week, _ = on.isocalendar()
    return f"{year:04d}-W{week:02d}"


def written_down(first: date, years: int) -> tuple[date, date]:
    """Return the first and the last day of so many whole years from a day on, both within them.

    From 29 February on they end with the 28th in a leap year, else with the 27th.
    Raises ValueError for less than one year.

    >>> written_down(date(2024, 3, 1), 10)
    (datetime.date(2024, 3, 1), datetime.date(2034, 2, 28))
    """
    if years < 1:
        raise ValueError(f"nothing is written down over {years} years")
    end, month = first.year + years, first.month
    return first, date(end, month, min(first.day, monthrange(end, month)[1])) - ONE_DAY
