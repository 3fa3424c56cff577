"""Bars: a number for each day, and bars on their side made of several layers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from .words import WIDE, Words

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


STACK = ("#45503a", "#c29a2b", "#7c3420", "#b5a583", "#554066", "#8a5a2b", "#4f7d7e", "#8f9678", "#2a241d")
BAR_FROM, BAR_TO, BAR_HIGH, BAR_STEP, APART, WORDS_APART = 150, 640, 26, 36, 2, 9


@dataclass(frozen=True)
class Layer:
    """What a stack's bars are made of: its name, its class and the colour paper prints."""

    label: Any
    ink: str
    fill: str


@dataclass(frozen=True)
class StackedBars:
    """Bars on their side, each made of the same layers in the same order.

    `heads` names the rows in the table of figures; `layers` are the labels,
    each row of `rows` its label and one number a layer. The longest bar is as
    long as the drawing allows; parts are rounded up, so that even one is seen.
    """

    name: str
    title: Any
    describes: Any
    heads: Any
    labels: Sequence[Any]
    rows: Sequence[tuple[str, Sequence[int]]]

    @property
    def width(self) -> int:
        """The drawing's width."""
        return WIDE

    @property
    def height(self) -> int:
        """The drawing's height."""
        return BAR_STEP * len(self.rows)

    @property
    def layers(self) -> list[Layer]:
        """Each layer with its own colour."""
        return [Layer(label, f"ink-layer-{place}", STACK[place % len(STACK)]) for place, label in enumerate(self.labels)]

    @property
    def totals(self) -> list[int]:
        """Each layer's sum over all rows."""
        return [sum(column) for column in zip(*(numbers for _label, numbers in self.rows), strict=True)]

    @property
    def whole(self) -> int:
        """The sum of all."""
        return sum(self.totals)

    def table(self) -> list[tuple[str, Sequence[int], int]]:
        """Each row with its sum."""
        return [(label, numbers, sum(numbers)) for label, numbers in self.rows]

    def bars(self) -> list[tuple[Layer, Bar, str]]:
        """Every part that is not nil: its layer, where it lies, and what it says."""
        found = []
        for place, (label, numbers) in enumerate(self.rows):
            x = BAR_FROM
            for layer, number in zip(self.layers, numbers, strict=True):
                if number:
                    long, said = self._long(number), f"{label}, {layer.label}: {number}"
                    found.append((layer, Bar(x, place * BAR_STEP + 5, max(long - APART, 1), BAR_HIGH), said))
                    x += long
        return found

    def words(self) -> list[Words]:
        """The label before and the sum after each bar."""
        found = []
        for place, (label, numbers) in enumerate(self.rows):
            y = place * BAR_STEP + BAR_HIGH
            ends = BAR_FROM + sum(self._long(number) for number in numbers)
            found += [Words(0, y, label), Words(ends + WORDS_APART, y, str(sum(numbers)), heavy=True)]
        return found

    def _long(self, number: int) -> int:
        most = max((sum(numbers) for _label, numbers in self.rows), default=0)
        return -(-number * (BAR_TO - BAR_FROM) // max(most, 1))
