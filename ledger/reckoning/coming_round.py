"""The days on which something agreed comes round."""

from __future__ import annotations

import calendar
from collections.abc import Iterator
from datetime import date, timedelta


def days_due(first: date, every: int, unit: str, last: date) -> Iterator[date]:
    """The days from `first` up to and including `last`, every so many "weeks" or "months".

    A month without that day of the month has its last day instead; the next comes round on the day itself again.
    Raises ValueError for another unit, or fewer than one.
    """
    if unit not in {"weeks", "months"} or every < 1:
        raise ValueError(f"every {every} {unit}: weeks or months, one or more")
    at, due = 0, first
    while due <= last:
        yield due
        at += every
        try:
            due = first + timedelta(weeks=at) if unit == "weeks" else _months_later(first, at)
        except (OverflowError, ValueError):
            return


def _months_later(first: date, months: int) -> date:
    year, month = divmod(first.year * 12 + first.month - 1 + months, 12)
    return date(year, month + 1, min(first.day, calendar.monthrange(year, month + 1)[1]))
