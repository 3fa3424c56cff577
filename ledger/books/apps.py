"""The stage's app."""

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class BooksConfig(AppConfig):
    name = "ledger.books"
    verbose_name = _("Books")
    default_auto_field = "django.db.models.BigAutoField"
