"""Where beds lie on a plot: rectangles in metres from its left and front edges.

Lengths are exact fractions, so that an area over a length loses nothing. What
lies within a centimetre of an edge or of another bed is taken to touch it:
nobody measures ground closer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import isqrt

CENTIMETRE = Fraction(1, 100)


@dataclass(frozen=True)
class Patch:
    """A rectangle of ground: its nearest left corner, how wide it is and how deep, in metres."""

    left: Fraction
    front: Fraction
    wide: Fraction
    deep: Fraction

    @property
    def right(self) -> Fraction:
        """Where it ends to the right."""
        return self.left + self.wide

    @property
    def back(self) -> Fraction:
        """Where it ends away from the front."""
        return self.front + self.deep

    @property
    def area(self) -> Fraction:
        """Its area in m2."""
        return self.wide * self.deep


def outline(area: Decimal, wide: Decimal | None) -> Patch:
    """Return a plot of so many m2 and so wide; a square to a centimetre where nobody said how wide.

    >>> outline(Decimal(420), Decimal(30)).deep, outline(Decimal(100), None).wide
    (Fraction(14, 1), Fraction(10, 1))
    """
    across = Fraction(wide) if wide is not None else Fraction(isqrt(int(area * 10_000)), 100)
    return Patch(Fraction(0), Fraction(0), across, Fraction(area) / across)


def bed_patch(area: Decimal, *, left: Decimal, front: Decimal, long: Decimal, across: bool) -> Patch:
    """Return a bed of so many m2 and so long, away from the front or across; its width follows.

    >>> bed_patch(Decimal(24), left=Decimal(1), front=Decimal(0), long=Decimal(12), across=True).deep
    Fraction(2, 1)
    """
    length, width = Fraction(long), Fraction(area) / Fraction(long)
    wide, deep = (length, width) if across else (width, length)
    return Patch(Fraction(left), Fraction(front), wide, deep)


def lies_within(one: Patch, around: Patch) -> bool:
    """Whether one patch sticks out of another by no more than a centimetre."""
    return (
        one.left >= around.left - CENTIMETRE and one.front >= around.front - CENTIMETRE
        and one.right <= around.right + CENTIMETRE and one.back <= around.back + CENTIMETRE
    )


def overlap(one: Patch, other: Patch) -> bool:
    """Whether two patches lie on one another by more than a centimetre.

    >>> overlap(outline(Decimal(4), None), outline(Decimal(1), None))
    True
    """
    over = min(one.right, other.right) - max(one.left, other.left)
    up = min(one.back, other.back) - max(one.front, other.front)
    return over > CENTIMETRE and up > CENTIMETRE


def side_by_side(areas: Sequence[Decimal], around: Patch) -> list[Patch]:
    """Return patches of the given areas standing in a row from the left of `around`, each as deep as it.

    None sticks out where they are together no larger than it.
    """
    found, left = [], around.left
    for area in areas:
        wide = Fraction(area) / around.deep
        found.append(Patch(left, around.front, wide, around.deep))
        left += wide
    return found


def in_rows(sizes: Sequence[tuple[Fraction, Fraction]], *, wide: Fraction, apart: Fraction) -> list[Patch]:
    """Return patches of the given width and depth, put in rows no wider than `wide` while one fits, `apart` from each other."""
    found: list[Patch] = []
    left, front, deepest = Fraction(0), Fraction(0), Fraction(0)
    for across, deep in sizes:
        if left and left + across > wide:
            left, front, deepest = Fraction(0), front + deepest + apart, Fraction(0)
        found.append(Patch(left, front, across, deep))
        left, deepest = left + across + apart, max(deepest, deep)
    return found
