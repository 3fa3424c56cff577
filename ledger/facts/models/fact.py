"""The shape every fact shares: a day, who recorded it and when, and its undoing."""

from __future__ import annotations

from datetime import date, datetime
from typing import Self, TypeVar, cast

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

M = TypeVar("M", bound=models.Model)


def label_of(choices: type[models.TextChoices], value: str) -> str:
    """A choice in words, as `get_..._display` has it, which puts every other choice in words as well."""
    return str(dict(choices.choices).get(value, value))


class FactQuerySet(models.QuerySet):
    """Questions every fact answers: what stood on a day, what was known at a moment."""

    def standing(self) -> Self:
        """Facts not undone, of any day."""
        return self.filter(undone_at__isnull=True)

    def standing_on(self, on: date) -> Self:
        """Facts of that day or earlier, not undone."""
        return self.standing().filter(on__lte=on)

    def as_of(self, on: date, known: datetime | None = None) -> Self:
        """Facts up to that day as they stood at the moment `known` (None: now)."""
        if known is None:
            return self.standing_on(on)
        not_yet_undone = Q(undone_at__isnull=True) | Q(undone_at__gt=known)
        return self.filter(not_yet_undone, on__lte=on, recorded_at__lte=known)

    def lock(self, fact: M) -> M:
        """Read the row again and hold it until the transaction ends."""
        return cast(M, self.select_for_update(no_key=True).get(pk=fact.pk))


class Fact(models.Model):
    """Something that happened on one business day; corrected by undoing, never by change."""

    on = models.DateField(_("day"), db_index=True)
    recorded_at = models.DateTimeField(_("recorded at"), editable=False)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", editable=False
    )
    undone_at = models.DateTimeField(_("undone at"), null=True, blank=True, editable=False)
    undone_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )
    replaces = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="replaced_by", editable=False
    )

    objects = FactQuerySet.as_manager()

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=Q(undone_at__isnull=True, undone_by__isnull=True)
                | Q(undone_at__isnull=False, undone_by__isnull=False),
                name="%(app_label)s_%(class)s_undone_whole",
            ),
        ]

    @property
    def stands(self) -> bool:
        """Whether the fact has not been undone."""
        return self.undone_at is None
