"""From when to when something was there, out of what came and went."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Stretch:
    """Days on whose ends something was there: from the first until the day it was gone (None: still there); the most at once."""

    since: date
    until: date | None
    most: int


def stretches(changes: Iterable[tuple[date, int]]) -> list[Stretch]:
    """Return when something was there, by its changes of whole units in any order; those of a day count as one sum.

    Raises ValueError where more would go than is there.

    >>> stretches([(date(2024, 8, 1), 5), (date(2024, 8, 3), -5)])
    [Stretch(since=datetime.date(2024, 8, 1), until=datetime.date(2024, 8, 3), most=5)]
    """
    days: dict[date, int] = defaultdict(int)
    for on, change in changes:
        days[on] += change
    found: list[Stretch] = []
    there, since, most = 0, None, 0
    for on in sorted(days):
        there += days[on]
        if there < 0:
            raise ValueError(f"{-there} more went on {on} than were there")
        since, most = since if since or not there else on, max(most, there)
        if since and not there:
            found.append(Stretch(since, on, most))
            since, most = None, 0
    return [*found, Stretch(since, None, most)] if since else found
