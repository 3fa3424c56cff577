"""The days on which more stood in a bed, or hung in a drying place, than there is room for."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Generic, TypeVar

N = TypeVar("N", int, Decimal)


@dataclass(frozen=True)
class Overfull(Generic[N]):
    """Days in a row from `first` up to, not including, `until` (None: still); the `most` was taken first on `day`."""

    first: date
    until: date | None
    most: N
    day: date


def overfull_days(held: Iterable[tuple[date, date | None, N]], room: N) -> list[Overfull[N]]:
    """Return the stretches of days on which more than `room` was taken, in order of day.

    Each of `held` takes its amount (gives it up: below zero) from a day up to,
    not including, another; None: still. Any unit of room, the same in all.

    >>> overfull_days([(date(2025, 4, 1), None, 8), (date(2025, 7, 1), date(2025, 7, 9), 4)], 10)[0].most
    12
    """
    changes: dict[date, N] = {}
    nothing = room - room
    for first, until, amount in held:
        if until is not None and until <= first:
            continue
        changes[first] = changes.get(first, nothing) + amount
        if until is not None:
            changes[until] = changes.get(until, nothing) - amount
    found: list[Overfull[N]] = []
    over: list[tuple[date, N]] = []
    taken = nothing
    for day in sorted(changes):
        taken += changes[day]
        if taken > room:
            over.append((day, taken))
        elif over:
            found.append(_in_a_row(over, day))
            over = []
    if over:
        found.append(_in_a_row(over, None))
    return found


def _in_a_row(over: list[tuple[date, N]], until: date | None) -> Overfull[N]:
    day, most = max(over, key=lambda one: one[1])
    return Overfull(over[0][0], until, most, day)
