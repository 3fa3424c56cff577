"""What makes a write one action: the ledger's state, form keys and kept changes."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class LedgerState(models.Model):
    """One row: a token that changes with every write, and the day the books are closed to."""

    token = models.CharField(max_length=32)
    closed_until = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(pk=1), name="ledger_state_only_one"),
        ]


class FormKey(models.Model):
    """The key a form carried when its verb was done; a second press finds it."""

    key = models.CharField(max_length=36, primary_key=True)
    verb = models.CharField(max_length=100)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    result_model = models.CharField(max_length=100, blank=True)
    result_pk = models.CharField(max_length=40, blank=True)


class Amendment(models.Model):
    """One change of a name, note or address: what it was, what it became."""

    model = models.CharField(max_length=100)
    record_pk = models.CharField(max_length=40)
    field = models.CharField(max_length=60)
    before = models.TextField(_("before"), blank=True)
    after = models.TextField(_("after"), blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["model", "record_pk"])]
