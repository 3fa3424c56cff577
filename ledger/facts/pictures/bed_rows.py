"""Beds through a season: a row a bed, days across, a bar for each planting as high as its share of the bed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from django.utils.formats import date_format

from .plan import Ground, PlanWords
from .shades import PLAIN, Shade
from .words import WIDE, Words

LABELS, HEAD, ROW, BAR, LETTER, SIZE, SMALLEST = 130, 22, 30, 24, 7, 12, 7


@dataclass(frozen=True)
class RowBar:
    """A planting in a bed from a day up to, not including, another, on a share of it, in one shade."""

    first: date
    end: date
    share: Fraction
    shade: Shade
    label: str
    says: str


@dataclass(frozen=True)
class BedRows:
    """The rows from the `first` to the `last` day; where no bar is, the bed lies bare."""

    name: str
    title: Any
    describes: Any
    first: date
    last: date
    rows: Sequence[tuple[str, Sequence[RowBar]]]

    @property
    def width(self) -> int:
        """The drawing's width."""
        return WIDE

    @property
    def height(self) -> int:
        """The drawing's height."""
        return HEAD + ROW * len(self.rows)

    def at(self, day: date) -> int:
        """Where a day begins."""
        days = (self.last - self.first).days + 1
        return LABELS + round(Fraction((day - self.first).days * (WIDE - LABELS), days))

    @property
    def turns(self) -> list[date]:
        """The first day drawn and the first of every month after it."""
        found, day = [], self.first
        while day <= self.last:
            found.append(day)
            day = (day.replace(day=1) + timedelta(days=32)).replace(day=1)
        return found

    def lines(self) -> list[int]:
        """Where each month begins."""
        return [self.at(day) for day in self.turns]

    def months(self) -> list[Words]:
        """The months' names, where there is room for them."""
        edges = [*self.lines(), WIDE]
        named = zip(self.turns, edges, edges[1:], strict=False)
        return [Words(x + 3, HEAD - 8, date_format(day, "M")) for day, x, until in named if until - x > 4 * LETTER]

    def labels(self) -> list[Words]:
        """The name of each row's bed."""
        return [Words(0, HEAD + ROW * place + BAR * 2 // 3, label) for place, (label, _bars) in enumerate(self.rows)]

    def grounds(self) -> list[Ground]:
        """Each bed as a bare row, and on it what stood there."""
        found = []
        for place, (label, bars) in enumerate(self.rows):
            top = HEAD + ROW * place
            found.append(Ground(LABELS, top, WIDE - LABELS, BAR, PLAIN.ink, PLAIN.fill, dashed=True, says=label))
            found += [
                Ground(x, top + low, wide, high, bar.shade.ink, bar.shade.fill, says=f"{label}: {bar.says}")
                for bar, x, low, wide, high in self._placed(bars)
            ]
        return found

    def words(self) -> list[PlanWords]:
        """What each bar says where there is room for it, else its mark alone."""
        found = []
        for place, (_label, bars) in enumerate(self.rows):
            for bar, x, low, wide, high in self._placed(bars):
                text = next((one for one in (bar.label, bar.shade.mark) if one and len(one) * LETTER <= wide - 4), "")
                if text and high >= SMALLEST:
                    middle = HEAD + ROW * place + low + high // 2
                    found.append(PlanWords(x + wide // 2, middle, text, min(SIZE, high), bar.shade.words_ink, bar.shade.words))
        return found

    def _placed(self, bars: Sequence[RowBar]) -> Iterator[tuple[RowBar, int, int, int, int]]:
        """Each bar with where it begins, how far down, how long and how high; one beneath another where both stood."""
        for bar, low in in_lanes(bars):
            x, top = self.at(bar.first), round(low * BAR)
            yield bar, x, top, max(self.at(bar.end) - x, 1), max(round((low + bar.share) * BAR) - top, 1)


def in_lanes(bars: Sequence[RowBar]) -> list[tuple[RowBar, Fraction]]:
    """Each bar with how far down the bed it lies: the highest place free on all its days, within the bed where it can be."""
    placed: list[tuple[RowBar, Fraction]] = []
    for bar in sorted(bars, key=lambda one: (one.first, -one.share)):
        beside = [(low, low + other.share) for other, low in placed if other.first < bar.end and bar.first < other.end]
        low = Fraction(0)
        for start, until in sorted(beside):
            if low + bar.share <= start:
                break
            low = max(low, until)
        placed.append((bar, min(low, max(1 - bar.share, Fraction(0)))))
    return placed
