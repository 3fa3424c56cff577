"""Questions about beds, plantings and lots."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Self, cast

from django.apps import apps
from django.db import models
from django.db.models import F, OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from ledger.facts.models import FactQuerySet
from ledger.facts.queries import holding
from ledger.reckoning.years import season_bounds, season_of

if TYPE_CHECKING:
    from .models import Bed, Lot, Planting, Plot, Variety


def _of(name: str) -> QuerySet:
    return apps.get_model("growing", name)._default_manager.all()


def _total(rows: QuerySet, link: str, of: str = "stems", nil: int | Decimal = 0) -> Coalesce:
    sums = rows.filter(**{link: OuterRef("pk")}).order_by().values(link).annotate(n=Sum(of)).values("n")
    return Coalesce(Subquery(sums), nil, output_field=_of_kind(nil))


def _of_kind(nil: int | Decimal) -> models.Field:
    return models.IntegerField() if isinstance(nil, int) else models.DecimalField(max_digits=12, decimal_places=2)


class PlantingQuerySet(FactQuerySet):
    """What stands where, and what it has given."""

    def with_cleared_on(self) -> Self:
        """Add `cleared_on`: the day it left its bed, NULL while it stands."""
        clearing = _of("Clearing").standing().filter(planting=OuterRef("pk"))
        return self.annotate(cleared_on=Subquery(clearing.values("on")[:1]))

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("variety__species", "bed__plot")

    def lately_in_beds(self, since: date) -> Self:
        """Plantings in their beds on that day or later, the latest planted first."""
        there = Q(cleared_on__isnull=True) | Q(cleared_on__gte=since)
        return self.standing().with_cleared_on().filter(there).order_by("-on", "-pk")

    def standing_in_beds(self, on: date) -> Self:
        """Plantings in their beds that day, bed by bed."""
        there = Q(cleared_on__isnull=True) | Q(cleared_on__gt=on)
        return self.standing_on(on).with_cleared_on().filter(there).order_by("bed__plot__name", "bed__name", "on", "pk")

    def with_last_cut(self) -> Self:
        """Add `last_stage` and `last_per_bundle` of the lot last cut from it, else from its variety, NULL before the first."""
        lots = _of("Lot").standing().order_by("-on", "-pk")
        own, alike = lots.filter(planting=OuterRef("pk")), lots.filter(planting__variety=OuterRef("variety"))
        return self.annotate(
            last_stage=Coalesce(Subquery(own.values("stage")[:1]), Subquery(alike.values("stage")[:1])),
            last_per_bundle=Coalesce(Subquery(own.values("per_bundle")[:1]), Subquery(alike.values("per_bundle")[:1])),
        )

    def on_round(self, on: date, also: Sequence[int] = ()) -> Self:
        """Plantings to cut that day bed by bed, and any named besides, each with how it was last cut."""
        there = _of("Planting").standing_in_beds(on).order_by().values("pk")
        rows = self.filter(Q(pk__in=there) | Q(pk__in=also)).with_last_cut().whole()
        return rows.order_by("bed__plot__name", "bed__name", "on", "pk")

    def with_stems_cut(self, on: date) -> Self:
        """Add `stems_cut`: all stems cut from it up to the end of that day."""
        return self.annotate(stems_cut=_total(_of("Lot").standing_on(on), "planting"))


class LotQuerySet(FactQuerySet):
    """What was cut, and what of it has parted."""

    def with_stems_in_water(self, on: date) -> Self:
        """Add `stems_in_water`: stems that had not parted by the end of that day."""
        return self.annotate(stems_in_water=F("stems") - _total(_of("Parting").standing_on(on), "lot"))

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("planting__variety__species", "planting__bed__plot")

    def in_water(self, on: date) -> Self:
        """Lots with a stem in water that day, the longest cut first."""
        return self.standing_on(on).with_stems_in_water(on).filter(stems_in_water__gt=0).order_by("on", "pk")


class PartingQuerySet(FactQuerySet):
    """What left the lots."""

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("lot__planting__variety__species", "lot__planting__bed__plot")


class BedQuerySet(models.QuerySet):
    """Beds and what stands in them."""

    def with_free(self, on: date) -> Self:
        """Add `free_m2`: the area nothing stands on that day."""
        there = _of("Planting").standing_in_beds(on)
        return self.annotate(free_m2=F("area_m2") - _total(there, "bed", "area_m2", nil=Decimal(0)))

    def lock(self, bed: Bed) -> Bed:
        """Read the bed again and hold it until the transaction ends."""
        return cast("Bed", self.select_for_update(no_key=True, of=("self",)).select_related("plot").get(pk=bed.pk))

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


def unlaid_area(plot: Plot) -> Decimal:
    """The area of a plot no bed lies on, in m2."""
    return plot.area_m2 - (plot.beds.aggregate(n=Sum("area_m2"))["n"] or Decimal(0))


def _stays(bed: Bed, besides: Planting | None) -> Sequence[tuple[Decimal, date, date | None]]:
    rows = _of("Planting").standing().filter(bed=bed).with_cleared_on()
    if besides is not None:
        rows = rows.exclude(pk=besides.pk)
    return list(rows.values_list("area_m2", "on", "cleared_on"))


def usual_stems(variety: Variety, area_m2: Decimal, season: int) -> int | None:
    """The stems to expect: last season's to the m2 of that variety, else the species list's, None where neither is known.

    Rounded down, at least one. A planting that should have given that season and did not counts with its area.
    """
    month = holding().season_first_month
    earlier = _of("Lot").standing().filter(planting__variety=variety, on__lt=season_bounds(season, first_month=month)[0])
    last = earlier.order_by("-on", "-pk").values_list("on", flat=True).first()
    if last is not None:
        cut, area = _given_in(variety, season_of(last, first_month=month), month)
        return max(1, int(cut * area_m2 / area))
    per_m2 = variety.species.stems_per_m2
    return max(1, int(per_m2 * area_m2)) if per_m2 else None


def _given_in(variety: Variety, season: int, first_month: int) -> tuple[int, Decimal]:
    """Stems cut of a variety in one season, and the area they stood on in m2."""
    lots = _of("Lot").standing().filter(planting__variety=variety, on__range=season_bounds(season, first_month=first_month))
    cut = lots.aggregate(n=Sum("stems"))["n"] or 0
    plantings = _of("Planting").standing().filter(variety=variety)
    gave = plantings.filter(Q(pk__in=lots.values("planting")) | Q(season=season))
    return cut, gave.aggregate(n=Sum("area_m2"))["n"]


def lot_last_cut(planting: Planting) -> Lot | None:
    """The lot last cut from a planting, else from its variety: what the next is likely to be like."""
    lots = _of("Lot").standing().order_by("-on", "-pk")
    return lots.filter(planting=planting).first() or lots.filter(planting__variety=planting.variety_id).first()
