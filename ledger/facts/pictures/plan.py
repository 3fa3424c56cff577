"""Beds drawn to scale: plots with their beds as rectangles, a centimetre a unit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from ledger.reckoning.plan import Patch, in_rows

from .shades import PLAIN, Shade

METRE, APART = 100, Fraction(1)
WORD_SIZE, SMALLEST_WORD, LETTER = 16, 9, Fraction(3, 5)
SHEET = 720


@dataclass(frozen=True)
class Part:
    """A part of a bed: so many m2, in one shade, with what it says in full."""

    m2: Fraction
    shade: Shade
    says: str
    label: str


@dataclass(frozen=True)
class Ground:
    """One filled rectangle: where it lies, its class, its colour, whether its outline is broken, and what it says."""

    x: int
    y: int
    width: int
    height: int
    ink: str
    fill: str
    dashed: bool = False
    says: str = ""


@dataclass(frozen=True)
class PlanWords:
    """Words about their middle, `turned` by a quarter where the ground is higher than wide."""

    x: int
    y: int
    text: str
    size: int
    ink: str = "ink-on-light"
    fill: str = "#2a241d"
    turned: bool = False

    @property
    def base(self) -> int:
        """The line they stand on, so that their middle lies at `y`."""
        return self.y + self.size * 35 // 100


@dataclass(frozen=True)
class PlotDrawn:
    """A plot to be drawn: its name, outline, beds, and the outline of those that stand behind it."""

    name: str
    patch: Patch
    beds: Sequence[tuple[Patch, bool, str, Sequence[Part]]]
    behind: Patch | None = None

    @property
    def deep(self) -> Fraction:
        """How deep it is with what stands behind it."""
        return self.behind.back if self.behind else self.patch.back


def outlines(name: str, patch: Patch, beds: Sequence[tuple[Patch, bool, str, Sequence[Part]]], behind: Patch | None) -> PlotDrawn:
    """A plot from its beds: each where it lies, whether laid out, what it is called, and its parts."""
    return PlotDrawn(name, patch, beds, behind)


@dataclass
class PlanOfBeds:
    """Plots side by side at one scale, the front edge below; a small plan has marks alone for words."""

    name: str
    title: Any
    describes: Any
    plots: Sequence[PlotDrawn]
    small: bool = False
    width: int = 0
    height: int = 0
    long: int = 0
    rule: tuple[int, int, int, int] = (0, 0, 0, 0)
    grounds: list[Ground] = field(default_factory=list)
    words: list[PlanWords] = field(default_factory=list)

    def __post_init__(self) -> None:
        widest = max((plot.patch.wide for plot in self.plots), default=Fraction(1))
        head = Fraction(0) if self.small else widest / 20
        sizes = [(plot.patch.wide, plot.deep + head) for plot in self.plots]
        places = in_rows(sizes, wide=widest, apart=APART)
        self.width = units(widest)
        self.height = units(max((place.back for place in places), default=Fraction(1)))
        self.long = metres_of_rule(widest)
        self.rule = (units(widest - self.long), self.height + self.word_size, self.width, self.height + 5 * self.word_size // 2)
        self.height += 0 if self.small else 3 * self.word_size
        for plot, place in zip(self.plots, places, strict=True):
            self._draw(plot, place, head)

    @property
    def unit(self) -> int:
        """A unit of words and lines: a 720th of the drawing's width, two of a small plan."""
        return max(1, self.width // (SHEET // 3 if self.small else SHEET))

    @property
    def thick(self) -> int:
        """How thick the rule is."""
        return 2 * self.unit

    @property
    def word_size(self) -> int:
        """How large its words are."""
        return WORD_SIZE * self.unit

    @property
    def dash(self) -> str:
        """How an outline is broken."""
        return f"{4 * self.unit} {3 * self.unit}"

    def _draw(self, plot: PlotDrawn, place: Patch, head: Fraction) -> None:
        if not self.small:
            size = WORD_SIZE * self.unit
            self.words.append(PlanWords(units(place.left), units(place.front) + size, plot.name, size, "ink-heavy"))
        back = place.front + head + plot.deep

        def at(patch: Patch) -> Patch:
            return Patch(place.left + patch.left, back - patch.back, patch.wide, patch.deep)

        for around in [plot.patch, *([plot.behind] if plot.behind else [])]:
            self.grounds.append(ground(at(around), "ink-plan-plot", "#efe7d3", dashed=around is plot.behind))
        for patch, laid_out, name, parts in plot.beds:
            self._draw_bed(at(patch), laid_out, name, parts)

    def _draw_bed(self, patch: Patch, laid_out: bool, name: str, parts: Sequence[Part]) -> None:
        self.grounds.append(ground(patch, PLAIN.ink, PLAIN.fill, dashed=not laid_out, says=name))
        drawn = parted(patch, parts)
        for part, piece in drawn:
            self.grounds.append(ground(piece, part.shade.ink, part.shade.fill, says=f"{name}: {part.says}"))
        if not parts and not self.small:
            self._say(patch, [name], PLAIN)
        for place, (part, piece) in enumerate(drawn):
            said = [part.shade.mark] if self.small else [*([name] if not place else []), part.label]
            self._say(piece, said, part.shade)

    def _say(self, patch: Patch, lines: Sequence[str], shade: Shade) -> None:
        """Write along the longer side, in one line where it fits, smaller or not at all where it does not."""
        turned = patch.deep > patch.wide and not self.small
        long, short = units(max(patch.wide, patch.deep)), units(min(patch.wide, patch.deep))
        text = ": ".join(line for line in lines if line)
        room = short if self.small else long
        size = min(WORD_SIZE * self.unit, int(short * Fraction(4, 5)), int(room / (max(len(text), 1) * LETTER)))
        if text and size >= (1 if self.small else SMALLEST_WORD * self.unit // 2):
            x, y = units(patch.left + patch.wide / 2), units(patch.front + patch.deep / 2)
            self.words.append(PlanWords(x, y, text, size, shade.words_ink, shade.words, turned))


def parted(patch: Patch, parts: Sequence[Part]) -> list[tuple[Part, Patch]]:
    """Each part with its piece of the bed, along its longer side, to scale; what is left over is bare."""
    found, taken = [], Fraction(0)
    for part in parts:
        long = part.m2 / min(patch.wide, patch.deep)
        if patch.deep > patch.wide:
            piece = Patch(patch.left, patch.back - taken - long, patch.wide, long)
        else:
            piece = Patch(patch.left + taken, patch.front, long, patch.deep)
        found.append((part, piece))
        taken += long
    return found


def ground(patch: Patch, ink: str, fill: str, *, dashed: bool = False, says: str = "") -> Ground:
    """A patch as a rectangle of the drawing, its edges to a centimetre."""
    x, y = units(patch.left), units(patch.front)
    return Ground(x, y, units(patch.right) - x, units(patch.back) - y, ink, fill, dashed, says)


def metres_of_rule(wide: Fraction) -> int:
    """How many metres the rule beneath a plan so wide is long: the most of 1, 2, 5, 10, 20, 50, … within a third of it."""
    size = 1
    while 10 * size * 3 <= wide:
        size *= 10
    return max(digit * size for digit in (1, 2, 5) if digit * size * 3 <= wide or digit * size == 1)


def units(length: Fraction) -> int:
    """Metres as whole units of the drawing."""
    return round(length * METRE)
