"""How many of a thing for hire are free on every day of a stretch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

Changes = Sequence[tuple[date, int]]


@dataclass(frozen=True)
class Stretch:
    """So many wanted from one day to another, both included; `back`: how many came back, whole or not, on which days."""

    first: date
    last: date
    wanted: int
    back: Changes = ()

    def on(self, day: date) -> int:
        """How many it takes up that day: what came back by then is free again."""
        if not self.first <= day <= self.last:
            return 0
        return max(self.wanted - _by(self.back, day), 0)


def _by(changes: Changes, day: date) -> int:
    return sum(change for on, change in changes if on <= day)


def fewest_free(first: date, last: date, owned: Changes, stretches: Sequence[Stretch]) -> int:
    """The fewest of a thing free on any day from `first` to `last`, both included; below nil where too many are promised.

    `owned`: by how many more (+) or fewer (-) there are from a day on. Only days on which something changes are looked at:
    the first, those on which a stretch begins, and those on which there are fewer or more.
    """
    begin = {one.first for one in stretches} | {day for day, _change in owned}
    days = {first} | {day for day in begin if first <= day <= last}
    return min(_by(owned, day) - sum(one.on(day) for one in stretches) for day in days)


def most_taken_up(first: date, last: date, stretches: Sequence[Stretch]) -> int:
    """The most of a thing taken up on any one day from `first` to `last`, both included."""
    return -fewest_free(first, last, (), stretches)


def first_short(since: date, owned: Changes, stretches: Sequence[Stretch]) -> tuple[date, int] | None:
    """The first day from `since` on when more is promised than there is, and by how many; None where there is no such day."""
    begin = {one.first for one in stretches} | {day for day, _change in owned}
    for day in sorted({since} | {day for day in begin if day > since}):
        free = fewest_free(day, day, owned, stretches)
        if free < 0:
            return day, -free
    return None
