"""The stage's app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class GrowingConfig(AppConfig):
    name = "ledger.growing"
    verbose_name = _("Growing")
    default_auto_field = "django.db.models.BigAutoField"
