"""Questions about plantings: where they stand, what they gave, what is to be expected."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Self

from django.db.models import OuterRef, Prefetch, Q, Subquery, Sum
from django.db.models.functions import Coalesce

from ledger.facts.models import FactQuerySet
from ledger.facts.queries import holding
from ledger.reckoning.years import season_bounds, season_of

from .asking import of, total

if TYPE_CHECKING:
    from ..models import Bed, Lot, Planting, Plot, Variety


class PlantingQuerySet(FactQuerySet):
    """What stands where, and what it has given."""

    def with_cleared_on(self) -> Self:
        """Add `cleared_on`: the day it left its beds, NULL while it stands."""
        clearing = of("Clearing").standing().filter(planting=OuterRef("pk"))
        return self.annotate(cleared_on=Subquery(clearing.values("on")[:1]))

    def whole(self) -> Self:
        """With the records their names and their beds are made of."""
        set_out = of("PlantedOut").standing().select_related("bed__plot").order_by("on", "pk")
        return self.select_related("variety__species", "bed__plot").prefetch_related(Prefetch("planted_out", set_out))

    def bed_by_bed(self, *then: str) -> Self:
        """In the order of the bed first taken, those without a bed last."""
        first = of("PlantedOut").standing().filter(planting=OuterRef("pk")).order_by("on", "pk")
        names = [Coalesce(name, Subquery(first.values(name)[:1])) for name in ("bed__plot__name", "bed__name")]
        return self.order_by(*(name.asc(nulls_last=True) for name in names), *then, "pk")

    def of_beds(self) -> Self:
        """Plantings that stand or stood in a bed."""
        return self.filter(Q(bed__isnull=False) | Q(pk__in=of("PlantedOut").standing().values("planting")))

    def of_bed(self, bed: Bed) -> Self:
        """Plantings that stand or stood in a bed."""
        return self.filter(Q(bed=bed) | Q(pk__in=of("PlantedOut").standing().filter(bed=bed).values("planting")))

    def of_plot(self, plot: Plot) -> Self:
        """Plantings that stand or stood in a bed of a plot."""
        return self.filter(Q(bed__plot=plot) | Q(pk__in=of("PlantedOut").standing().filter(bed__plot=plot).values("planting")))

    def lately_in_beds(self, since: date) -> Self:
        """Plantings that stood on that day or later, the latest planted first."""
        there = Q(cleared_on__isnull=True) | Q(cleared_on__gte=since)
        return self.standing().with_cleared_on().filter(there).order_by("-on", "-pk")

    def standing_in_beds(self, on: date) -> Self:
        """Plantings that stood that day, bed by bed, those without a bed among them."""
        there = Q(cleared_on__isnull=True) | Q(cleared_on__gt=on)
        return self.standing_on(on).with_cleared_on().filter(there).bed_by_bed("on")

    def with_last_cut(self) -> Self:
        """Add `last_stage`, `last_per_bundle` of the lot last cut from it, else from its variety, NULL before the first."""
        lots = of("Lot").standing().order_by("-on", "-pk")
        own, alike = lots.filter(planting=OuterRef("pk")), lots.filter(planting__variety=OuterRef("variety"))
        return self.annotate(
            last_stage=Coalesce(Subquery(own.values("stage")[:1]), Subquery(alike.values("stage")[:1])),
            last_per_bundle=Coalesce(Subquery(own.values("per_bundle")[:1]), Subquery(alike.values("per_bundle")[:1])),
        )

    def in_trays(self, on: date) -> Self:
        """Plantings raised in trays of which nothing was planted out by that day."""
        return self.filter(origin="trays").exclude(pk__in=of("PlantedOut").standing_on(on).values("planting"))

    def on_round(self, on: date, also: Sequence[int] = ()) -> Self:
        """Plantings to cut that day bed by bed, and any named besides, each with how it was last cut; none still in trays."""
        in_trays = of("Planting").in_trays(on).values("pk")
        there = of("Planting").standing_in_beds(on).exclude(pk__in=in_trays).order_by().values("pk")
        return self.filter(Q(pk__in=there) | Q(pk__in=also)).with_last_cut().whole().bed_by_bed("on")

    def with_stems_cut(self, on: date) -> Self:
        """Add `stems_cut`: all stems cut from it up to the end of that day."""
        return self.annotate(stems_cut=total(of("Lot").standing_on(on), "planting"))


def cleared_on(planting: Planting) -> date | None:
    """The day a planting left its beds, None while it stands."""
    return of("Clearing").standing().filter(planting=planting).values_list("on", flat=True).first()


def life_on(planting: Planting, on: date) -> int:
    """The productive seasons expected of a planting in all, as estimated by that day."""
    latest = of("Life").standing_on(on).filter(planting=planting).order_by("-on", "-pk").first()
    return latest.productive_seasons if latest else planting.productive_seasons


def plants_left(planting: Planting) -> int | None:
    """Plants raised that were neither set out nor dumped, over all days; None where nobody counted them."""
    if planting.plants is None:
        return None
    set_out = of("PlantedOut").standing().filter(planting=planting).aggregate(n=Sum("plants"))["n"] or 0
    dumped = of("SeedlingsDumped").standing().filter(planting=planting).aggregate(n=Sum("plants"))["n"] or 0
    return planting.plants - set_out - dumped


def usual_stems(variety: Variety, area_m2: Decimal | None, season: int) -> int | None:
    """The stems to expect: last season's to the m2 of that variety, else the species list's, None where neither is known.

    Rounded down, at least one. A planting that should have given that season
    and did not counts with its area; one that stood in no bed does not count.
    """
    if not area_m2:
        return None
    month = holding().season_first_month
    earlier = of("Lot").standing().filter(planting__variety=variety, on__lt=season_bounds(season, first_month=month)[0])
    of_beds = of("Planting").of_beds().values("pk")
    last = earlier.filter(planting__in=of_beds).order_by("-on", "-pk").values_list("on", flat=True).first()
    if last is not None:
        cut, area = _given_in(variety, season_of(last, first_month=month), month)
        return max(1, int(cut * area_m2 / area))
    per_m2 = variety.species.stems_per_m2
    return max(1, int(per_m2 * area_m2)) if per_m2 else None


def _given_in(variety: Variety, season: int, first_month: int) -> tuple[int, Decimal]:
    """Stems cut of a variety in one season, and the area they stood on in m2."""
    lots = of("Lot").standing().filter(planting__variety=variety, on__range=season_bounds(season, first_month=first_month))
    plantings = of("Planting").standing().filter(variety=variety).of_beds()
    gave = plantings.filter(Q(pk__in=lots.values("planting")) | Q(season=season))
    cut = lots.filter(planting__in=plantings.values("pk")).aggregate(n=Sum("stems"))["n"] or 0
    sown = gave.aggregate(n=Sum("area_m2"))["n"] or Decimal(0)
    set_out = of("PlantedOut").standing().filter(planting__in=gave.values("pk")).aggregate(n=Sum("area_m2"))["n"] or Decimal(0)
    return cut, sown + set_out


def lot_last_cut(planting: Planting) -> Lot | None:
    """The lot last cut from a planting, else from its variety: what the next is likely to be like."""
    lots = of("Lot").standing().order_by("-on", "-pk")
    return lots.filter(planting=planting).first() or lots.filter(planting__variety=planting.variety_id).first()
