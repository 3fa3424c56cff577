"""The tables of the holding and its people."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import TaxRate, TaxStatus, User


class PeopleTable(tables.Table):
    """Those who sign in."""

    username = tables.Column(_("Name"))
    is_active = tables.Column(_("May sign in"))
    last_login = tables.Column(_("Last signed in"))

    class Meta:
        model = User
        fields = ("username", "role", "is_active", "last_login")
        order_by = "username"


class TaxStatusTable(tables.Table):
    """Tax statuses, the latest first."""

    addition_bp = tables.Column(_("Flat-rate addition"), attrs={"th": {"class": "number"}, "td": {"class": "number"}})

    class Meta:
        model = TaxStatus
        fields = ("on", "status", "number", "addition_bp")
        order_by = "-on"
        empty_text = _("No tax status is entered.")


class TaxRateTable(tables.Table):
    """Tax rates, the latest first."""

    rate_bp = tables.Column(_("Rate"), attrs={"th": {"class": "number"}, "td": {"class": "number"}})

    class Meta:
        model = TaxRate
        fields = ("on", "code", "rate_bp")
        order_by = "-on"
        empty_text = _("No tax rate is entered.")
