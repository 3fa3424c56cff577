"""Questions about harvest lots and what left them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Self

from django.db.models import BooleanField, ExpressionWrapper, F, Prefetch, Q, Sum

from ledger.facts.models import FactQuerySet

from .asking import of, total

if TYPE_CHECKING:
    from ..models import Lot

DAYS_IN_WATER = 2


class LotQuerySet(FactQuerySet):
    """What was cut, and what of it has parted."""

    def with_stems_in_water(self, on: date) -> Self:
        """Add `stems_in_water`: stems that had not parted by the end of that day."""
        return self.annotate(stems_in_water=F("stems") - total(of("Parting").standing_on(on), "lot"))

    def whole(self) -> Self:
        """With the records their names and their beds are made of."""
        set_out = of("PlantedOut").standing().select_related("bed__plot").order_by("on", "pk")
        beds = Prefetch("planting__planted_out", set_out)
        return self.select_related("planting__variety__species", "planting__bed__plot").prefetch_related(beds)

    def in_water(self, on: date) -> Self:
        """Lots with a stem in water that day, the longest cut first."""
        return self.standing_on(on).with_stems_in_water(on).filter(stems_in_water__gt=0).order_by("on", "pk")

    def with_too_long(self, on: date) -> Self:
        """Add `too_long`: whether, with `stems_in_water` known, any has been there for as many days as are too long."""
        since = on - timedelta(days=days_in_water(on))
        return self.annotate(too_long=ExpressionWrapper(Q(on__lte=since, stems_in_water__gt=0), output_field=BooleanField()))

    def too_long_in_water(self, on: date) -> Self:
        """Lots with a stem in water for as many days as are too long, or more, the longest cut first."""
        return self.in_water(on).filter(on__lte=on - timedelta(days=days_in_water(on)))


class PartingQuerySet(FactQuerySet):
    """What left the lots."""

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("lot__planting__variety__species", "lot__planting__bed__plot")


def days_in_water(on: date) -> int:
    """The days in water that are too long as set by that day, else two (common practice is about one, no source)."""
    set_by_then = of("WaterLimit").standing_on(on).order_by("-on", "-pk").values_list("days", flat=True).first()
    return set_by_then or DAYS_IN_WATER


def stems_left_ever(lot: Lot) -> int:
    """Stems of a lot that have not parted, over all days."""
    gone = of("Parting").standing().filter(lot=lot).aggregate(n=Sum("stems"))["n"] or 0
    return lot.stems - gone
