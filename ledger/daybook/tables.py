"""The tables of the daybook."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import Material, Pay, Purchase, WorkEntry, Worker, YearOfSpace


class WorkerTable(tables.Table):
    """Workers by name."""

    class Meta:
        model = Worker
        fields = ("name", "paid")
        order_by = "name"
        empty_text = _("No worker yet.")


class WorkTable(tables.Table):
    """Work noted, the latest first."""

    what = tables.Column(_("Spent on"), orderable=False, empty_values=())

    class Meta:
        model = WorkEntry
        fields = ("on", "worker", "minutes", "task", "what")
        order_by = ("-on", "-pk")
        empty_text = _("No work is noted yet.")


class PayTable(tables.Table):
    """Pay, the latest first."""

    class Meta:
        model = Pay
        fields = ("on", "worker", "first_day", "last_day", "amount")
        order_by = ("-on", "-pk")
        empty_text = _("No pay is entered yet.")


class PurchaseTable(tables.Table):
    """Purchases, the latest first."""

    net = tables.Column(_("Net"))
    tax = tables.Column(_("Tax"))

    class Meta:
        model = Purchase
        fields = ("on", "supplier", "reference", "net", "tax")
        order_by = ("-on", "-pk")
        empty_text = _("No purchase is entered yet.")


class YearOfSpaceTable(tables.Table):
    """What plots and places cost, the latest year first."""

    class Meta:
        model = YearOfSpace
        fields = ("space", "year", "expected_cost", "normal_unit_days", "normal_source")
        order_by = ("-year", "space")
        empty_text = _("No year is entered yet.")


class MaterialTable(tables.Table):
    """Materials by name, with what is on hand."""

    on_hand = tables.Column(_("On hand"))
    last_counted_on = tables.Column(_("Last counted"))

    class Meta:
        model = Material
        fields = ("name", "on_hand", "unit", "by_count", "last_counted_on")
        order_by = "name"
        empty_text = _("No material yet.")
