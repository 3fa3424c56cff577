"""Two bars a row on one scale, to either side of nothing, each with its name and figure at its end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from .bars import Bar
from .words import WIDE, Words

FIRST, SECOND = ("ink-leaf", "#8f9678"), ("ink-beside", "#b3872f")
LABEL, BAR, GAP, ROOM, APART, DOWN = 34, 26, 4, 200, 8, 20


@dataclass(frozen=True)
class Pair:
    """A row: its label, the two amounts (None: nothing to be drawn), and what each says."""

    label: str
    amounts: tuple[int | None, int | None]
    says: tuple[str, str]


@dataclass(frozen=True)
class SideBySide:
    """Rows of two bars each: what is drawn first, what second."""

    name: str
    title: Any
    describes: Any
    rows: Sequence[Pair]

    @property
    def width(self) -> int:
        """The drawing's width."""
        return WIDE

    @property
    def step(self) -> int:
        """How high a row is."""
        return LABEL + 2 * (BAR + GAP) + 2 * APART

    @property
    def height(self) -> int:
        """The drawing's height."""
        return self.step * len(self.rows)

    @property
    def zero(self) -> int:
        """Where nothing lies: on the left, or as far in as the least amount wants."""
        least, most = self._bounds()
        return -least * (WIDE - ROOM) // max(most - least, 1)

    def _bounds(self) -> tuple[int, int]:
        amounts = [one for row in self.rows for one in row.amounts if one is not None]
        return min([0, *amounts]), max([0, *amounts])

    def bars(self) -> list[tuple[str, str, Bar, str]]:
        """Every bar: its class, its colour, where it lies, what it says; at least one unit long."""
        least, most = self._bounds()
        found = []
        for place, row in enumerate(self.rows):
            for side, ((ink, fill), amount) in enumerate(zip((FIRST, SECOND), row.amounts, strict=True)):
                if amount is not None:
                    long = max(abs(amount) * (WIDE - ROOM) // max(most - least, 1), 1)
                    x = self.zero if amount >= 0 else self.zero - long
                    found.append((ink, fill, Bar(x, self._top(place, side), long, BAR), row.says[side]))
        return found

    def words(self) -> list[Words]:
        """Each row's label, and what each bar says, after it or after nothing's line."""
        ends = {bar.y: bar.x + bar.width for _ink, _fill, bar, _says in self.bars()}
        found = []
        for place, row in enumerate(self.rows):
            found.append(Words(0, place * self.step + LABEL - APART, row.label, heavy=True))
            for side, says in enumerate(row.says):
                top = self._top(place, side)
                found.append(Words(max(ends.get(top, 0), self.zero) + APART, top + DOWN, says))
        return found

    def _top(self, place: int, side: int) -> int:
        return place * self.step + LABEL + side * (BAR + GAP)
