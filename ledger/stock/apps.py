"""The stage's app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class StockConfig(AppConfig):
    name = "ledger.stock"
    verbose_name = _("Stock")
    default_auto_field = "django.db.models.BigAutoField"
