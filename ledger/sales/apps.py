"""The stage's app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class SalesConfig(AppConfig):
    name = "ledger.sales"
    verbose_name = _("Sales")
    default_auto_field = "django.db.models.BigAutoField"
