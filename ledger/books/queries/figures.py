"""What a planting's season came to, as figures that add up and part without loss."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any

from ledger.reckoning.sharing import share_amounts, share_out
from ledger.reckoning.taking import proportion

WEEK = 7
HUNDREDTHS = 100


@dataclass(frozen=True)
class Figures:
    """Money in millionths, area in hundredths of m2, time in minutes.

    `income_of`: by kind; made-up goods and jobs net of `taken_off`, their other
    materials, work and selling, which `cost` leaves out. `space` is the bed and
    drying room within `cost`. `unsold` at cost, `fetches` what it is likely to
    bring after selling, `unpriced` the cost of what has no price yet.
    `area_days` and `minutes_of` by month of the year.
    """

    income_of: Mapping[str, int] = field(default_factory=dict)
    cost: int = 0
    space: int = 0
    taken_off: int = 0
    unsold: int = 0
    fetches: int = 0
    unpriced: int = 0
    stems: int = 0
    area: int = 0
    area_days: Mapping[int, int] = field(default_factory=dict)
    minutes_of: Mapping[int, int] = field(default_factory=dict)

    @property
    def income(self) -> int:
        """All it brought in."""
        return sum(self.income_of.values())

    @property
    def earned(self) -> int:
        """What it brought in less all it cost."""
        return self.income - self.cost

    @property
    def contribution(self) -> int:
        """Earned, bed and drying room left out."""
        return self.earned + self.space

    @property
    def minutes(self) -> int:
        """All minutes worked on it."""
        return sum(self.minutes_of.values())

    @property
    def m2_days(self) -> int:
        """Hundredths of m2 x days it held."""
        return sum(self.area_days.values())

    def minutes_in(self, month: int | None) -> int:
        """Minutes worked on it in one month of the year, or ever."""
        return self.minutes if month is None else self.minutes_of.get(month, 0)

    def m2_days_in(self, month: int | None) -> int:
        """Hundredths of m2 x days it held in one month of the year, or ever."""
        return self.m2_days if month is None else self.area_days.get(month, 0)

    @property
    def per_m2(self) -> int | None:
        """Earned for each m2."""
        return per(self.earned, self.area, HUNDREDTHS)

    @property
    def per_m2_week(self) -> int | None:
        """Earned for each m2 and week."""
        return per(self.earned, self.m2_days, HUNDREDTHS * WEEK)

    @property
    def contribution_per_m2_week(self) -> int | None:
        """Contribution for each m2 and week."""
        return per(self.contribution, self.m2_days, HUNDREDTHS * WEEK)

    @property
    def per_hour(self) -> int | None:
        """Earned for each hour."""
        return per(self.earned, self.minutes, 60)

    def parted(self, weights: Sequence[int]) -> list[Figures]:
        """These figures parted by weights; nothing is lost or made."""
        parts = [_part(getattr(self, one.name), weights) for one in fields(self)]
        return [Figures(*values) for values in zip(*parts, strict=True)]


def per(amount: int, number: int, scale: int) -> int | None:
    """amount / (number / scale); None where there is nothing to divide by."""
    return proportion(amount, scale, number) if number else None


def together(several: Iterable[Figures]) -> Figures:
    """The sum of figures."""
    rows = list(several)
    return Figures(**{one.name: _sum([getattr(row, one.name) for row in rows]) for one in fields(Figures)}) if rows else Figures()


def _part(value: Any, weights: Sequence[int]) -> Sequence[Any]:
    return share_out(value, weights) if isinstance(value, int) else share_amounts(value, weights)


def _sum(values: Sequence[Any]) -> Any:
    if isinstance(values[0], int):
        return sum(values)
    keys = sorted({key for value in values for key in value})
    return {key: sum(value.get(key, 0) for value in values) for key in keys}
