"""The stage's app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class CostingConfig(AppConfig):
    name = "ledger.costing"
    verbose_name = _("Costing")
    default_auto_field = "django.db.models.BigAutoField"
