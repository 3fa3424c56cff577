"""Pictures drawn on the server: where each shape stands, in whole units of the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

HIGH, STEP, HEAD, FOOT = 120, 6, 20, 20


@dataclass(frozen=True)
class Bar:
    """One bar: its left and upper corner, and how wide and high it is."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True)
class DayBars:
    """A whole number for each day as a bar, beneath the line of what is full.

    `name` tells the pictures of one page apart; `counted` heads
    the table of its figures. Heights are rounded up, so that even one of a
    thousand is seen.
    """

    name: str
    title: Any
    describes: Any
    counted: Any
    rows: Sequence[tuple[date, int]]
    full: int

    @property
    def width(self) -> int:
        """The drawing's width."""
        return STEP * len(self.rows)

    @property
    def height(self) -> int:
        """The drawing's height, words above and below included."""
        return HEAD + HIGH + FOOT

    @property
    def floor(self) -> int:
        """Where the bars stand."""
        return HEAD + HIGH

    @property
    def words_at(self) -> int:
        """The line of the words below the bars."""
        return self.height - FOOT // 4

    @property
    def line_at(self) -> int:
        """Where the line of what is full lies."""
        return self.floor - self._high(self.full)

    @property
    def line_words_at(self) -> int:
        """The line of the words above it."""
        return self.line_at - FOOT // 4

    @property
    def first(self) -> date:
        """The first day drawn."""
        return self.rows[0][0]

    @property
    def last(self) -> date:
        """The last day drawn."""
        return self.rows[-1][0]

    def bars(self) -> list[Bar]:
        """A bar for each day that has anything."""
        tall = [(place, self._high(number)) for place, (_day, number) in enumerate(self.rows)]
        return [Bar(place * STEP, self.floor - high, STEP - 1, high) for place, high in tall if high]

    def _high(self, number: int) -> int:
        most = max(self.full, *(count for _day, count in self.rows), 1)
        return -(-number * HIGH // most)
