"""The filters of pricing."""

import django_filters
from django.utils.translation import gettext_lazy as _

from ledger.growing.models import Variety
from ledger.stock.models import Line

from .models import Offer, Price, Way


class PriceFilter(django_filters.FilterSet):
    """Prices by way, variety and grade."""

    way = django_filters.ModelChoiceFilter(queryset=Way.objects.all(), label=_("Way of selling"))
    variety = django_filters.ModelChoiceFilter(
        queryset=Variety.objects.select_related("species"), field_name="line__variety", label=_("Variety")
    )
    grade = django_filters.ChoiceFilter(choices=Line.Grade.choices, field_name="line__grade", label=_("Grade"))

    class Meta:
        model = Price
        fields = ()


class WayFilter(django_filters.FilterSet):
    """Ways by kind."""

    kind = django_filters.ChoiceFilter(choices=Way.Kind.choices, label=_("Kind"))

    class Meta:
        model = Way
        fields = ()


class OfferFilter(django_filters.FilterSet):
    """Offers by way and line."""

    way = django_filters.ModelChoiceFilter(queryset=Way.objects.retail(), label=_("Way of selling"))
    line = django_filters.ModelChoiceFilter(queryset=Line.objects.whole(), field_name="lines__line", label=_("Line"))

    class Meta:
        model = Offer
        fields = ()
