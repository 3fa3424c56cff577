"""A quiet scale of colours to either side of nothing, each shade with a mark, so that colour is never alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

BELOW = (("−−−", "#7c3420", "#fdfaf2"), ("−−", "#c27a5c", "#2a241d"), ("−", "#e8c4ae", "#2a241d"))
ABOVE = (("+", "#d8dcc4", "#2a241d"), ("++", "#9aa283", "#2a241d"), ("+++", "#45503a", "#fdfaf2"))
STEPS = len(ABOVE)


@dataclass(frozen=True)
class Shade:
    """One shade: its mark, its class, the colour paper prints, the colour of words on it, and the amounts it stands for.

    From `least` up to, not including, `most`; None: no bound on that side.
    """

    mark: str
    ink: str
    fill: str
    words: str
    least: int | None
    most: int | None

    @property
    def words_ink(self) -> str:
        """The class of words on it."""
        return "ink-on-dark" if self.words == BELOW[0][2] else "ink-on-light"


PLAIN = Shade("", "ink-plan-plain", "#fdfaf2", "#2a241d", None, None)
UNKNOWN = Shade("?", "ink-plan-unknown", "#efe2bd", "#2a241d", None, None)


class Shades:
    """Six shades for whole amounts, three to either side of nothing, in steps of a round number.

    Three quarters of the amounts lie within two steps, so that one far from the rest does not make them all alike.
    """

    def __init__(self, amounts: Iterable[int]) -> None:
        sizes = sorted(abs(amount) for amount in amounts)
        self.step = round_step(sizes[len(sizes) * 3 // 4] if sizes else 0)
        below = [
            self._shade(place, one, -(STEPS - place) * self.step if place else None, -(STEPS - 1 - place) * self.step)
            for place, one in enumerate(BELOW)
        ]
        above = [
            self._shade(STEPS + place, one, place * self.step, (place + 1) * self.step if place + 1 < STEPS else None)
            for place, one in enumerate(ABOVE)
        ]
        self.all = [*below, *above]

    def _shade(self, place: int, one: tuple[str, str, str], least: int | None, most: int | None) -> Shade:
        mark, fill, words = one
        return Shade(mark, f"ink-plan-{place}", fill, words, least, most)

    def of(self, amount: int) -> Shade:
        """The shade of an amount; nothing at all counts as above."""
        return next(shade for shade in self.all if shade.most is None or amount < shade.most)


def round_step(most: int) -> int:
    """Return the least of 1, 2, 5, 10, 20, 50, … that reaches `most` in two steps.

    >>> round_step(0), round_step(7), round_step(1450)
    (1, 5, 1000)
    """
    size = 1
    while True:
        for digit in (1, 2, 5):
            if 2 * digit * size >= most:
                return digit * size
        size *= 10
