"""Bars to both sides of a middle: how far a thing sways when each of several is moved either way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from .bars import Bar
from .words import WIDE

MIDDLE, REACH, STEP, LABEL_AT, BAR_AT, BAR_HIGH, NUMBER_AT, APART, FOOT = 360, 170, 72, 24, 34, 26, 56, 9, 40
INK = {"less": "#b3872f", "more": "#45503a"}


@dataclass(frozen=True)
class Sway:
    """One thing moved: the value with less of it and with more, and both as they are said."""

    label: Any
    less: int
    more: int
    less_says: str
    more_says: str


@dataclass(frozen=True)
class Side:
    """One bar: its class, the colour paper prints it in, and what it says."""

    ink: str
    fill: str
    bar: Bar
    says: str


@dataclass(frozen=True)
class Told:
    """One line of words, and which end of it stands at `x` (start, middle or end)."""

    x: int
    y: int
    text: str
    anchor: str
    heavy: bool = False


@dataclass(frozen=True)
class EitherWay:
    """A bar to each side of a `middle` value: to the left where moving a thing lowers it, to the right where it rises.

    `less` and `more` say how each was moved, `heads` what the rows of the
    table of figures are, `foot` the middle beneath the drawing. The longest bar is as long as the drawing allows; one
    that is not nil is seen.
    """

    name: str
    title: Any
    describes: Any
    heads: Any
    less: Any
    more: Any
    middle: int
    middle_says: str
    foot: Any
    rows: Sequence[Sway]

    @property
    def width(self) -> int:
        """The drawing's width."""
        return WIDE

    @property
    def height(self) -> int:
        """The drawing's height."""
        return self.floor + FOOT

    @property
    def floor(self) -> int:
        """Where the line of the middle ends."""
        return STEP * len(self.rows)

    @property
    def middle_at(self) -> int:
        """Where the line of the middle stands."""
        return MIDDLE

    def sides(self) -> list[Side]:
        """Every bar that is not nil."""
        return [
            Side(f"ink-{way}", INK[way], self._bar(place, value), f"{row.label}, {moved}: {says}")
            for place, row in enumerate(self.rows) for way, moved, value, says in self._both(row) if value != self.middle
        ]

    def words(self) -> list[Told]:
        """What was moved above each pair of bars, each value at its end, the middle at the foot."""
        found = [Told(MIDDLE, self.floor + LABEL_AT + APART, str(self.foot), "middle", heavy=True)]
        for place, row in enumerate(self.rows):
            found.append(Told(0, place * STEP + LABEL_AT, str(row.label), "start", heavy=True))
            left, right = sorted(self._both(row), key=lambda one: one[2])
            y = place * STEP + NUMBER_AT
            found.append(Told(MIDDLE - self._long(min(left[2], self.middle)) - APART, y, f"{left[1]}: {left[3]}", "end"))
            found.append(Told(MIDDLE + self._long(max(right[2], self.middle)) + APART, y, f"{right[1]}: {right[3]}", "start"))
        return found

    def _both(self, row: Sway) -> Iterator[tuple[str, Any, int, str]]:
        yield "less", self.less, row.less, row.less_says
        yield "more", self.more, row.more, row.more_says

    def _bar(self, place: int, value: int) -> Bar:
        long = self._long(value)
        return Bar(MIDDLE - long if value < self.middle else MIDDLE, place * STEP + BAR_AT, long, BAR_HIGH)

    def _long(self, value: int) -> int:
        most = max((abs(one - self.middle) for row in self.rows for one in (row.less, row.more)), default=0)
        return -(-abs(value - self.middle) * REACH // max(most, 1))
