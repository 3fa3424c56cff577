"""The filters of costing."""

import django_filters

from .models import OverheadPlan


class OverheadPlanFilter(django_filters.FilterSet):
    """Overhead plans by year."""

    class Meta:
        model = OverheadPlan
        fields = ("year",)
