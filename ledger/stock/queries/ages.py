"""How old what is on hand is, and what is past its best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from django.db.models import Count, Q, Sum

from .sets import BatchQuerySet, rows_of

if TYPE_CHECKING:
    from ledger.stock.models import Batch

Days = Mapping[int | None, int]
CLASSES: tuple[tuple[int, int | None], ...] = ((0, 90), (91, 180), (181, 365), (366, 730), (731, None))


@dataclass(frozen=True)
class AgeClass:
    """Batches on hand from so many days old to so many (None: and older), and their bunches."""

    least: int
    most: int | None
    batches: int
    bunches: int


def days_at_best(on: date) -> dict[int | None, int]:
    """Days at their best in force on a day by the species' key; None: of any species without its own."""
    rows = rows_of("KeepsFor").standing_on(on).order_by("on", "pk")
    return dict(rows.values_list("species", "days"))


def best_until(batch: Batch, days: Days) -> date | None:
    """The last day a batch is at its best, None where nobody said how long."""
    species = batch.line.variety.species_id if batch.line.variety else None
    kept = days.get(species, days.get(None))
    return None if kept is None else batch.on + timedelta(days=kept)


def past_best(batches: BatchQuerySet, on: date) -> BatchQuerySet:
    """Those of the batches that are past their best on a day."""
    days = days_at_best(on)
    past = Q(pk__in=[])
    for species, kept in days.items():
        if species is not None:
            past |= Q(line__variety__species=species, on__lt=on - timedelta(days=kept))
    if None in days:
        named = [species for species in days if species is not None]
        others = Q(line__variety__isnull=True) | ~Q(line__variety__species__in=named)
        past |= others & Q(on__lt=on - timedelta(days=days[None]))
    return batches.filter(past)


def by_age(batches: BatchQuerySet, on: date) -> Sequence[AgeClass]:
    """Batches with `there` by how many days old they are, the youngest first; classes with nothing left out."""
    found = []
    for least, most in CLASSES:
        rows = batches.order_by().filter(on__lte=on - timedelta(days=least))
        if most is not None:
            rows = rows.filter(on__gte=on - timedelta(days=most))
        sums = rows.aggregate(batches=Count("pk"), bunches=Sum("there"))
        if sums["batches"]:
            found.append(AgeClass(least, most, sums["batches"], sums["bunches"]))
    return found
