"""Where labels lie on a sheet of them. Lengths in tenths of a millimetre, from the sheet's left upper corner."""

from collections.abc import Iterator
from dataclasses import dataclass

LARGE, MIDDLING = (900, 600), (600, 330)


@dataclass(frozen=True)
class LabelSheet:
    """A sheet of `columns` x `rows` labels of one size, `left` and `top` before the first, `across` and `down` between them.

    A roll is a sheet of one. Raises ValueError where the labels do not fit on it.
    """

    wide: int
    high: int
    columns: int
    rows: int
    label_wide: int
    label_high: int
    left: int = 0
    top: int = 0
    across: int = 0
    down: int = 0

    def __post_init__(self) -> None:
        sizes, before = (self.columns, self.rows, self.label_wide, self.label_high), (self.left, self.top, self.across, self.down)
        if min(sizes) < 1 or min(before) < 0:
            raise ValueError("a sheet holds at least one label of some size")
        if self.left + self._taken(self.columns, self.label_wide, self.across) > self.wide:
            raise ValueError("the labels are wider than the sheet")
        if self.top + self._taken(self.rows, self.label_high, self.down) > self.high:
            raise ValueError("the labels are higher than the sheet")

    @staticmethod
    def _taken(number: int, size: int, apart: int) -> int:
        return number * size + (number - 1) * apart

    @property
    def count(self) -> int:
        """How many labels a sheet holds."""
        return self.columns * self.rows

    @property
    def room(self) -> str:
        """How much a label can say: "large", "middling" or "small"."""
        size = (self.label_wide, self.label_high)
        if all(has >= wants for has, wants in zip(size, LARGE, strict=True)):
            return "large"
        return "middling" if all(has >= wants for has, wants in zip(size, MIDDLING, strict=True)) else "small"

    def places(self) -> Iterator[tuple[int, int]]:
        """The left upper corner of each label, row by row."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield (
                    self.left + column * (self.label_wide + self.across), self.top + row * (self.label_high + self.down)
                )


def laid_out(labels: int, per_sheet: int, first: int = 1) -> list[list[int]]:
    """Return for every sheet which of so many labels lie on it, -1 for a place already used; `first` is the first free place.

    >>> laid_out(4, 3, first=2)
    [[-1, 0, 1], [2, 3]]
    """
    if not 1 <= first <= per_sheet:
        raise ValueError(f"a sheet of {per_sheet} has no place {first}")
    places = [*[-1] * (first - 1), *range(labels)]
    return [places[start : start + per_sheet] for start in range(0, len(places), per_sheet)]
