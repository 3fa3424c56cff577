"""The stage's app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PricingConfig(AppConfig):
    name = "ledger.pricing"
    verbose_name = _("Pricing")
    default_auto_field = "django.db.models.BigAutoField"
