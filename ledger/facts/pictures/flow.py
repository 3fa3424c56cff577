"""A flow picture: one stem that narrows from stage to stage, with what leaves it branching off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from .words import WIDE, Words

TRUNK, TURN, ROW, LEVEL = 260, 290, 42, 56
WORDS_FROM, WORDS_DOWN, THINNEST, SEAM = 304, 9, 2, 1


class Leaving(Protocol):
    """What leaves the stem of a flow picture at one stage."""

    label: Any
    stems: int
    lost: bool


class StageOfFlow(Protocol):
    """One stage of a flow picture: what is there, what leaves, what passes it by."""

    @property
    def label(self) -> Any: ...
    @property
    def stems(self) -> int: ...
    @property
    def exits(self) -> Sequence[Any]: ...
    @property
    def beside(self) -> Any: ...


@dataclass(frozen=True)
class Shape:
    """One filled shape: its outline, its class and the colour paper prints it in."""

    ink: str
    fill: str
    d: str


INK = {"stem": "#6b7358", "beside": "#b3872f", "leaf": "#8f9678", "lost": "#7c3420"}


class StemFlow:
    """A stem that narrows on its way down: what goes on stays in it, what leaves branches off to the right.

    Widths are to one scale. A branch too thin to be seen is drawn two units
    wide. `stages` from the first to the last; each goes on as its stems less
    its exits, and what stands `beside` it joins at its end.
    """

    def __init__(self, name: str, title: Any, describes: Any, stages: Sequence[StageOfFlow]) -> None:
        self.name, self.title, self.describes, self.stages = name, title, describes, stages
        self.shapes: list[Shape] = []
        self.words: list[Words] = []
        self.width, self.height = WIDE, 0
        self._whole = max(stages[0].stems, 1)
        for stage in stages:
            self._draw(stage)

    def _across(self, stems: int) -> int:
        return -(-stems * TRUNK // self._whole)

    def _draw(self, stage: StageOfFlow) -> None:
        beside, left = stage.beside.stems if stage.beside else 0, stage.stems
        self._down(beside, left, LEVEL)
        self._say(f"{stage.label}: {stage.stems}", LEVEL, heavy=True)
        if stage.beside:
            self._down(beside, left, ROW)
            self._say(f"{stage.beside.label}: {beside}", ROW)
        for one in stage.exits:
            left -= one.stems
            self._branch(one, beside + left)
            self._down(beside, left, self._row_of(one))
            self._say(f"{one.label}: {one.stems}", self._row_of(one))

    def _row_of(self, one: Leaving) -> int:
        return max(ROW, self._across(one.stems) + WORDS_DOWN)

    def _down(self, beside: int, left: int, high: int) -> None:
        """The stem for one row, what passes by to its left; words move on below it."""
        first, last, top = self._across(beside), self._across(beside + left), self.height
        foot = top + high + SEAM
        if beside:
            self.shapes.append(_shape("beside", f"M0 {top} H{first} V{foot} H0 Z"))
        if left:
            self.shapes.append(_shape("stem", f"M{first} {top} H{last} V{foot} H{first} Z"))
        self.height += high

    def _branch(self, one: Leaving, left: int) -> None:
        """What leaves bends out of the stem to the right, as wide as it was in it."""
        inner, outer = self._across(left), self._across(left + one.stems)
        outer = max(outer, inner + THINNEST)
        top = self.height + (self._row_of(one) - (outer - inner)) // 2
        foot, start = top + outer - inner, self.height
        edge = f"M{inner} {start} H{outer} C{outer} {top} {outer} {top} {TURN} {top}"
        back = f"V{foot} C{inner} {foot} {inner} {foot} {inner} {start} Z"
        self.shapes.append(_shape("lost" if one.lost else "leaf", f"{edge} {back}"))

    def _say(self, text: str, high: int, *, heavy: bool = False) -> None:
        self.words.append(Words(WORDS_FROM, self.height - high // 2 + WORDS_DOWN, text, heavy))


def _shape(ink: str, d: str) -> Shape:
    return Shape(f"ink-{ink}", INK[ink], d)
