"""Questions about beds: what stands on how much of them, and what is free."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Self, cast

from django.db import models
from django.db.models import F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.expressions import Combinable
from django.db.models.functions import Greatest

from ledger.reckoning.overfull import Overfull, overfull_days

from .asking import of, total

if TYPE_CHECKING:
    from ..models import Bed, Planting, Plot

NOTHING, ONE_DAY = Decimal(0), timedelta(days=1)
AREA: models.Field = models.DecimalField(max_digits=12, decimal_places=2)
TAKES, GIVES_UP = 1, -1
STEPS = (("Planting", "pk", TAKES), ("PlantedOut", "planting", TAKES), ("PartCleared", "planting", GIVES_UP))


class BedQuerySet(models.QuerySet):
    """Beds and what stands in them."""

    def with_free(self, on: date) -> Self:
        """Add `free_m2`: the area nothing stands on that day, nil where it is overfull."""
        gone = of("Clearing").standing_on(on).values("planting")
        free: Combinable = F("area_m2")
        for name, link, sign in STEPS:
            there = of(name).standing_on(on).exclude(**{f"{link}__in": gone})
            area = total(there, "bed", "area_m2", nil=NOTHING)
            free = free - area if sign == TAKES else free + area
        return self.annotate(free_m2=Greatest(free, NOTHING, output_field=AREA))

    def lock(self, bed: Bed) -> Bed:
        """Read the bed again and hold it until the transaction ends."""
        return cast("Bed", self.select_for_update(no_key=True, of=("self",)).select_related("plot").get(pk=bed.pk))

    def of_plots(self) -> Self:
        """Every bed with its plot."""
        return self.select_related("plot").order_by("plot__name", "name", "pk")


@dataclass(frozen=True)
class Step:
    """An area of one bed taken by a planting (given up: below zero) from a day until it is cleared."""

    planting: int
    bed: int
    area: Decimal
    on: date
    cleared: date | None

    def counts_on(self, day: date) -> bool:
        """Whether it is in force that day."""
        return self.on <= day and (self.cleared is None or self.cleared > day)


def free_area(bed: Bed, on: date) -> Decimal:
    """The area of a bed nothing stands on that day, nil where it is overfull, in m2."""
    taken = sum((step.area for step in _steps(bed=bed) if step.counts_on(on)), NOTHING)
    return max(bed.area_m2 - taken, NOTHING)


def overfull_in(bed: Bed) -> list[Overfull[Decimal]]:
    """The days on which a bed holds more than its area: facts were entered late, or one is missing or wrong."""
    return overfull_days([(step.on, step.cleared, step.area) for step in _steps(bed=bed)], bed.area_m2)


def overfull_beds(after: date | None) -> list[tuple[Bed, Overfull[Decimal]]]:
    """Every bed that holds more than its area on a day after that one (None: on any), by bed and day."""
    steps: dict[int, list[tuple[date, date | None, Decimal]]] = defaultdict(list)
    for step in _steps():
        steps[step.bed].append((step.on, step.cleared, step.area))
    days = ((bed, one) for bed in of("Bed").of_plots() for one in overfull_days(steps[bed.pk], bed.area_m2))
    return [(bed, one) for bed, one in days if after is None or one.until is None or one.until > after + ONE_DAY]


def area_held(planting: Planting, first: date, *, bed: Bed | None = None) -> Decimal:
    """The area a planting holds, of one bed or of all, on every day from `first` until it is cleared, in m2."""
    steps = _steps(bed=bed, planting=planting)
    days = {first, *(step.on for step in steps if step.on > first)}
    return min(_held(steps, day) for day in days)


def areas_of(planting: Planting, on: date) -> dict[int, Decimal]:
    """The area a planting holds of each of its beds that day, cleared or not, by the bed's key, in m2."""
    held: dict[int, Decimal] = {}
    for step in _steps(planting=planting):
        if step.on <= on:
            held[step.bed] = held.get(step.bed, NOTHING) + step.area
    return held


def areas_in(bed: Bed) -> dict[int, Decimal]:
    """The area each planting holds of a bed, or held when it was cleared, by the planting's key, in m2."""
    held: dict[int, Decimal] = {}
    for step in _steps(bed=bed):
        held[step.planting] = held.get(step.planting, NOTHING) + step.area
    return held


def unlaid_area(plot: Plot) -> Decimal:
    """The area of a plot no bed lies on, in m2."""
    return plot.area_m2 - (plot.beds.aggregate(n=Sum("area_m2"))["n"] or NOTHING)


def all_steps() -> list[Step]:
    """What was taken and given up of every bed, in no order."""
    return _steps()


def _held(steps: Iterable[Step], day: date) -> Decimal:
    return sum((step.area for step in steps if step.on <= day), NOTHING)


def _steps(*, bed: Bed | None = None, planting: Planting | None = None) -> list[Step]:
    """What was taken and given up, of one bed or by one planting, in no order."""
    found: list[Step] = []
    for name, link, sign in STEPS:
        rows: QuerySet = of(name).standing().filter(bed__isnull=False)
        rows = rows.filter(bed=bed) if bed is not None else rows
        rows = rows.filter(**{link: planting.pk}) if planting is not None else rows
        clearing = of("Clearing").standing().filter(planting=OuterRef(link)).values("on")[:1]
        taken = rows.annotate(gone=Subquery(clearing)).values_list(link, "bed", "area_m2", "on", "gone")
        found += [Step(key, of_bed, sign * area, on, gone) for key, of_bed, area, on, gone in taken]
    return found
