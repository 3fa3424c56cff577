"""The stage's app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class DryingConfig(AppConfig):
    name = "ledger.drying"
    verbose_name = _("Drying")
    default_auto_field = "django.db.models.BigAutoField"
