"""Records and totals asked for by name, so that the records themselves may ask."""

from __future__ import annotations

from decimal import Decimal

from django.apps import apps
from django.db import models
from django.db.models import OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce


def of(name: str) -> QuerySet:
    """Every record of growing of that name."""
    return apps.get_model("growing", name)._default_manager.all()


def total(rows: QuerySet, link: str, what: str = "stems", nil: int | Decimal = 0) -> Coalesce:
    """The sum of one field over the rows that point to each outer row, `nil` where none does."""
    sums = rows.filter(**{link: OuterRef("pk")}).order_by().values(link).annotate(n=Sum(what)).values("n")
    return Coalesce(Subquery(sums), nil, output_field=_of_kind(nil))


def _of_kind(nil: int | Decimal) -> models.Field:
    return models.IntegerField() if isinstance(nil, int) else models.DecimalField(max_digits=12, decimal_places=2)
