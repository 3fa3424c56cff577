"""Questions about beds, plantings and lots."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Self

from django.apps import apps
from django.db import models
from django.db.models import F, OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from ledger.facts.models import FactQuerySet

if TYPE_CHECKING:
    from .models import Bed, Lot, Planting, Variety


def _of(name: str) -> QuerySet:
    return apps.get_model("growing", name)._default_manager.all()


def _total(rows: QuerySet, link: str, of: str = "stems") -> Coalesce:
    sums = rows.filter(**{link: OuterRef("pk")}).order_by().values(link).annotate(n=Sum(of)).values("n")
    return Coalesce(Subquery(sums), 0)


class PlantingQuerySet(FactQuerySet):
    """What stands where, and what it has given."""

    def with_cleared_on(self) -> Self:
        """Add `cleared_on`: the day it left its bed, NULL while it stands."""
        clearing = _of("Clearing").standing().filter(planting=OuterRef("pk"))
        return self.annotate(cleared_on=Subquery(clearing.values("on")[:1]))

    def standing_in_beds(self, on: date) -> Self:
        """Plantings in their beds that day, bed by bed."""
        there = Q(cleared_on__isnull=True) | Q(cleared_on__gt=on)
        return self.standing_on(on).with_cleared_on().filter(there).order_by("bed__plot__name", "bed__name", "on", "pk")

    def with_stems_cut(self, on: date) -> Self:
        """Add `stems_cut`: all stems cut from it up to the end of that day."""
        return self.annotate(stems_cut=_total(_of("Lot").standing_on(on), "planting"))


class LotQuerySet(FactQuerySet):
    """What was cut, and what of it has parted."""

    def with_stems_in_water(self, on: date) -> Self:
        """Add `stems_in_water`: stems that had not parted by the end of that day."""
        return self.annotate(stems_in_water=F("stems") - _total(_of("Parting").standing_on(on), "lot"))

    def in_water(self, on: date) -> Self:
        """Lots with a stem in water that day, the longest cut first."""
        return self.standing_on(on).with_stems_in_water(on).filter(stems_in_water__gt=0).order_by("on", "pk")


class BedQuerySet(models.QuerySet):
    """Beds and what stands in them."""

    def of_plots(self) -> Self:
        """Every bed with its plot."""
        return self.select_related("plot").order_by("plot__name", "name", "pk")


def stems_left_ever(lot: Lot) -> int:
    """Stems of a lot that have not parted, over all days."""
    gone = _of("Parting").standing().filter(lot=lot).aggregate(n=Sum("stems"))["n"] or 0
    return lot.stems - gone


def cleared_on(planting: Planting) -> date | None:
    """The day a planting left its bed, None while it stands."""
    return _of("Clearing").standing().filter(planting=planting).values_list("on", flat=True).first()


def free_area(bed: Bed, first: date, *, besides: Planting | None = None) -> Decimal:
    """The area of a bed that is free on every day from `first` on, in m2."""
    stays = _stays(bed, besides)
    days = {first, *(start for _, start, _ in stays if start > first)}
    taken = (sum(area for area, start, end in stays if start <= day and (end is None or end > day)) for day in days)
    return bed.area_m2 - max((Decimal(one) for one in taken), default=Decimal(0))


def _stays(bed: Bed, besides: Planting | None) -> Sequence[tuple[Decimal, date, date | None]]:
    rows = _of("Planting").standing().filter(bed=bed).with_cleared_on()
    if besides is not None:
        rows = rows.exclude(pk=besides.pk)
    return list(rows.values_list("area_m2", "on", "cleared_on"))


def usual_stems(variety: Variety, area_m2: Decimal, season: int) -> int | None:
    """The stems to expect: last season's to the m2 of that variety, else the species list's, None where neither is known."""
    earlier = _of("Planting").standing().filter(variety=variety, lots__undone_at__isnull=True, lots__on__year__lt=season + 1)
    last = earlier.filter(season__lt=season).order_by("-season").values_list("season", flat=True).first()
    if last is not None:
        same = _of("Planting").standing().filter(variety=variety, season=last)
        cut = _of("Lot").standing().filter(planting__in=same).aggregate(n=Sum("stems"))["n"] or 0
        area = sum((one.area_m2 for one in same), Decimal(0))
        if cut and area:
            return max(1, int(cut * area_m2 / area))
    per_m2 = variety.species.stems_per_m2
    return max(1, int(per_m2 * area_m2)) if per_m2 else None
