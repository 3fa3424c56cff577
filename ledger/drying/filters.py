"""The filters of drying."""

import django_filters
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayInput
from ledger.growing.models import Variety

from .models import DampLimit, Hanging, LossNorm, Oddments, Place, Reading, TakingDown

STANDING = [("up", _("still up")), ("down", _("all down or moved on"))]
TRIALS = [("yes", _("trials")), ("no", _("no trials"))]


class HangingFilter(django_filters.FilterSet):
    """Hangings by place, variety, day and whether any is still up."""

    place = django_filters.ModelChoiceFilter(queryset=Place.objects.all(), label=_("Place"))
    variety = django_filters.ModelChoiceFilter(
        queryset=Variety.objects.select_related("species"), field_name="parting__lot__planting__variety", label=_("Variety")
    )
    state = django_filters.ChoiceFilter(choices=STANDING, method="by_state", label=_("State"))
    trial = django_filters.ChoiceFilter(choices=TRIALS, method="by_trial", label=_("Trials"))
    since = django_filters.DateFilter(field_name="on", lookup_expr="gte", label=_("From"), widget=DayInput())
    until = django_filters.DateFilter(field_name="on", lookup_expr="lte", label=_("To"), widget=DayInput())

    class Meta:
        model = Hanging
        fields = ()

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        return rows.filter(stems_up__gt=0) if state == "up" else rows.filter(stems_up=0)

    def by_trial(self, rows: QuerySet, _name: str, trial: str) -> QuerySet:
        return rows.filter(trial=trial == "yes")


class TakingDownFilter(django_filters.FilterSet):
    """Takings down by place, variety and day."""

    place = django_filters.ModelChoiceFilter(queryset=Place.objects.all(), field_name="hanging__place", label=_("Place"))
    variety = django_filters.ModelChoiceFilter(
        queryset=Variety.objects.select_related("species"), field_name="hanging__parting__lot__planting__variety",
        label=_("Variety"),
    )
    since = django_filters.DateFilter(field_name="on", lookup_expr="gte", label=_("From"), widget=DayInput())
    until = django_filters.DateFilter(field_name="on", lookup_expr="lte", label=_("To"), widget=DayInput())

    class Meta:
        model = TakingDown
        fields = ()


class OddmentsFilter(django_filters.FilterSet):
    """Oddments by variety and day."""

    variety = django_filters.ModelChoiceFilter(
        queryset=Variety.objects.select_related("species"), field_name="hanging__parting__lot__planting__variety",
        label=_("Variety"),
    )
    since = django_filters.DateFilter(field_name="on", lookup_expr="gte", label=_("From"), widget=DayInput())
    until = django_filters.DateFilter(field_name="on", lookup_expr="lte", label=_("To"), widget=DayInput())

    class Meta:
        model = Oddments
        fields = ()


class PlaceFilter(django_filters.FilterSet):
    """Drying places by name and unit."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))

    class Meta:
        model = Place
        fields = ("name", "unit")


class LossNormFilter(django_filters.FilterSet):
    """Usual losses by variety."""

    variety = django_filters.ModelChoiceFilter(queryset=Variety.objects.select_related("species"), label=_("Variety"))

    class Meta:
        model = LossNorm
        fields = ("variety",)


class ReadingFilter(django_filters.FilterSet):
    """Readings by place and day."""

    place = django_filters.ModelChoiceFilter(queryset=Place.objects.all(), label=_("Place"))
    since = django_filters.DateFilter(field_name="on", lookup_expr="gte", label=_("From"), widget=DayInput())
    until = django_filters.DateFilter(field_name="on", lookup_expr="lte", label=_("To"), widget=DayInput())

    class Meta:
        model = Reading
        fields = ()


class DampLimitFilter(django_filters.FilterSet):
    """Limits of damp."""

    class Meta:
        model = DampLimit
        fields = ()
