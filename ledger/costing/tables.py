"""The tables of costing."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import OverheadPlan


class OverheadPlanTable(tables.Table):
    """Overhead plans, latest year first."""

    class Meta:
        model = OverheadPlan
        fields = ("year", "on", "overheads", "storage", "usual_idle_and_luck", "usual_base", "source")
        order_by = "-year"
        empty_text = _("No overheads are planned yet.")
