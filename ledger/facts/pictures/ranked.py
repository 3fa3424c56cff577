"""Ranked bars: what each brought in and, beyond it, what is left to sell, above what it cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from .bars import Bar, Layer
from .words import WIDE, Words

WORDS_DOWN, FIRST_DOWN, BAR_HIGH, BARS_APART, ROW_HIGH = 22, 30, 11, 1, 64
LAYERS = (("in", "#45503a"), ("left", "#c29a2b"), ("out", "#7c3420"))


@dataclass(frozen=True)
class RankedRow:
    """One row: what came in, what is still to come in, and what went out, in whole units; below nil is not drawn."""

    name: str
    numbers: tuple[int, int, int]


@dataclass(frozen=True)
class RankedBars:
    """Two bars a row under its name, best first: what came in with what is left to sell beyond it, and what it cost.

    `labels` names the three layers, `heads` the rows in the table of figures.
    The longest bar is as long as the drawing; parts are rounded up.
    """

    name: str
    title: Any
    describes: Any
    heads: Any
    labels: tuple[Any, Any, Any]
    rows: Sequence[RankedRow]

    @property
    def width(self) -> int:
        """The drawing's width."""
        return WIDE

    @property
    def height(self) -> int:
        """The drawing's height."""
        return ROW_HIGH * len(self.rows)

    @property
    def layers(self) -> list[Layer]:
        """Each layer with its own colour."""
        return [Layer(label, f"ink-{ink}", fill) for label, (ink, fill) in zip(self.labels, LAYERS, strict=True)]

    def bars(self) -> list[tuple[Layer, Bar, str]]:
        """Every part above nil: its layer, where it lies, and whose it is."""
        came, left, went = self.layers
        found = []
        for place, row in enumerate(self.rows):
            y = place * ROW_HIGH + FIRST_DOWN
            first, second, cost = (self._long(number) for number in row.numbers)
            below = y + BAR_HIGH + BARS_APART
            for layer, x, wide, high in ((came, 0, first, y), (left, first, second, y), (went, 0, cost, below)):
                if wide:
                    found.append((layer, Bar(x, high, wide, BAR_HIGH), f"{row.name}: {layer.label}"))
        return found

    def words(self) -> list[Words]:
        """The name above each pair of bars."""
        return [
            Words(0, place * ROW_HIGH + WORDS_DOWN, f"{place + 1}. {row.name}", heavy=True)
            for place, row in enumerate(self.rows)
        ]

    def _long(self, number: int) -> int:
        most = max((max(max(came, 0) + max(left, 0), went) for came, left, went in (row.numbers for row in self.rows)), default=0)
        return -(-max(number, 0) * WIDE // max(most, 1))
