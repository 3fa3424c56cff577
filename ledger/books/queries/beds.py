"""How long a planting's season held how much of each bed, month by month."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from ledger.growing.models import PartCleared, PlantedOut, Planting
from ledger.reckoning.book import Ground, PlantingFact, bed_days
from ledger.reckoning.taking import proportion

ONE_DAY = timedelta(days=1)
HUNDREDTHS = 100
Steps = Mapping[int, Mapping[int, list[Ground]]]


@dataclass(frozen=True)
class Held:
    """What a planting held of a bed: days, and area x days in hundredths of m2 by month of the year."""

    days: int
    area_days: Mapping[int, int]

    @property
    def whole(self) -> int:
        """Area x days."""
        return sum(self.area_days.values())

    @property
    def area(self) -> int:
        """The mean area on the days it held any, in hundredths of m2."""
        return proportion(self.whole, 1, self.days) if self.days else 0


def steps_of_beds(on: date) -> Steps:
    """planting -> bed -> its area there growing (+) or shrinking (-) from a day on; each `plot` here a bed."""
    found: dict[int, dict[int, list[Ground]]] = defaultdict(lambda: defaultdict(list))
    for model, planting, sign in ((Planting, "pk", 1), (PlantedOut, "planting", 1), (PartCleared, "planting", -1)):
        rows = model.objects.standing_on(on).filter(bed__isnull=False).order_by("on", "pk")  # type: ignore[attr-defined]
        for number, bed, day, area in rows.values_list(planting, "bed", "on", "area_m2"):
            found[number][bed].append(Ground(bed, day, sign * int(area * HUNDREDTHS)))
    return found


def held_of(planting: PlantingFact, steps: Mapping[int, list[Ground]], first: date, end: date) -> dict[int, Held]:
    """bed -> what the planting held of it from `first` up to, not including, `end`; beds it did not hold left out."""
    found = {}
    for bed, ground in sorted(steps.items()):
        alone = replace(planting, plot=None, ground=ground)
        months: dict[int, int] = defaultdict(int)
        for month, day, until in _months(max(first, ground[0].on), min(end, planting.cleared or end)):
            months[month] += bed_days(alone, day, until)[1]
        days, whole = bed_days(alone, first, end)
        if whole:
            found[bed] = Held(days, {month: number for month, number in months.items() if number})
    return found


def _months(first: date, end: date) -> Iterator[tuple[int, date, date]]:
    """A stretch of days cut where one month ends and the next begins."""
    day = first
    while day < end:
        until = min(end, (day.replace(day=1) + timedelta(days=32)).replace(day=1))
        yield day.month, day, until
        day = until
