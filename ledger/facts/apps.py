"""What every record shares."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FactsConfig(AppConfig):
    name = "ledger.facts"
    verbose_name = _("Facts")
    default_auto_field = "django.db.models.BigAutoField"
