"""The tables of the books."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import LeastStems


class LeastStemsTable(tables.Table):
    """Fewest stems to judge by, the latest first."""

    class Meta:
        model = LeastStems
        fields = ("on", "stems")
        order_by = ("-on", "-pk")
        empty_text = _("None is set: even a handful of stems is ranked.")
