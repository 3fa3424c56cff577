"""The filters of growing."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayInput
from ledger.facts.queries import today

from .models import Bed, GoneOver, Lot, Parting, Planting, Plot, Species, Variety, WaterLimit

STANDING = [("standing", _("in its bed")), ("trays", _("still in trays")), ("cleared", _("cleared"))]
IN_WATER = [("in_water", _("stems in water")), ("too_long", _("too long in water")), ("parted", _("all parted"))]


def _since(field: str = "on") -> django_filters.DateFilter:
    return django_filters.DateFilter(field_name=field, lookup_expr="gte", label=_("From"), widget=DayInput())


def _until(field: str = "on") -> django_filters.DateFilter:
    return django_filters.DateFilter(field_name=field, lookup_expr="lte", label=_("To"), widget=DayInput())


def _variety(field: str) -> django_filters.ModelChoiceFilter:
    return django_filters.ModelChoiceFilter(
        queryset=Variety.objects.select_related("species"), field_name=field, label=_("Variety")
    )


class PlotFilter(django_filters.FilterSet):
    """Plots by name and kind."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))

    class Meta:
        model = Plot
        fields = ("name", "kind")


class BedFilter(django_filters.FilterSet):
    """Beds by plot and name."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))

    class Meta:
        model = Bed
        fields = ("plot", "name")


class SpeciesFilter(django_filters.FilterSet):
    """Species by name."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))

    class Meta:
        model = Species
        fields = ("name",)


class VarietyFilter(django_filters.FilterSet):
    """Varieties by species, name and colour."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))
    colour = django_filters.CharFilter(lookup_expr="icontains", label=_("Colour"))

    class Meta:
        model = Variety
        fields = ("species", "name", "colour")


class PlantingFilter(django_filters.FilterSet):
    """Plantings by season, variety, bed and whether they stand."""

    season = django_filters.NumberFilter(label=_("Season"))
    variety = _variety("variety")
    bed = django_filters.ModelChoiceFilter(queryset=Bed.objects.of_plots(), label=_("Bed"), method="by_bed")
    state = django_filters.ChoiceFilter(choices=STANDING, method="by_state", label=_("State"))

    class Meta:
        model = Planting
        fields = ()

    def by_bed(self, rows: Any, _name: str, bed: Bed) -> QuerySet:
        return rows.of_bed(bed)

    def by_state(self, rows: Any, _name: str, state: str) -> QuerySet:
        if state == "cleared":
            return rows.filter(cleared_on__isnull=False)
        still, trays = rows.filter(cleared_on__isnull=True), Planting.objects.in_trays(today()).values("pk")
        return still.filter(pk__in=trays) if state == "trays" else still.exclude(pk__in=trays)


class LotFilter(django_filters.FilterSet):
    """Lots by variety, day and whether any is in water."""

    variety = _variety("planting__variety")
    state = django_filters.ChoiceFilter(choices=IN_WATER, method="by_state", label=_("State"))
    since, until = _since(), _until()

    class Meta:
        model = Lot
        fields = ()

    def by_state(self, rows: Any, _name: str, state: str) -> QuerySet:
        if state == "too_long":
            return rows.filter(too_long=True)
        return rows.filter(stems_in_water__gt=0) if state == "in_water" else rows.filter(stems_in_water=0)


class PartingFilter(django_filters.FilterSet):
    """What left lots, by variety, way and day."""

    variety = _variety("lot__planting__variety")
    way = django_filters.ChoiceFilter(choices=Parting.Way.choices, label=_("What became of them"))
    since, until = _since(), _until()

    class Meta:
        model = Parting
        fields = ()


class GoneOverFilter(django_filters.FilterSet):
    """What went over uncut, by variety and day."""

    variety = _variety("planting__variety")
    since, until = _since(), _until()

    class Meta:
        model = GoneOver
        fields = ()


class WaterLimitFilter(django_filters.FilterSet):
    """Nothing to sift."""

    class Meta:
        model = WaterLimit
        fields = ()
