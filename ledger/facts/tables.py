"""The tables of the holding and its people."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import TaxRate, TaxStatus, User


class PeopleTable(tables.Table):
    """Those who sign in."""

    class Meta:
        model = User
        fields = ("username", "role", "is_active", "last_login")
        order_by = "username"


class TaxStatusTable(tables.Table):
    """Tax statuses, the latest first."""

    class Meta:
        model = TaxStatus
        fields = ("on", "status", "number", "addition_bp")
        order_by = "-on"
        empty_text = _("No tax status is entered.")


class TaxRateTable(tables.Table):
    """Tax rates, the latest first."""

    class Meta:
        model = TaxRate
        fields = ("on", "code", "rate_bp")
        order_by = "-on"
        empty_text = _("No tax rate is entered.")
