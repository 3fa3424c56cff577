"""The stage's app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class DaybookConfig(AppConfig):
    name = "ledger.daybook"
    verbose_name = _("Daybook")
    default_auto_field = "django.db.models.BigAutoField"
