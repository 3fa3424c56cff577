"""Questions about materials: what is on hand, and what became of them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any, Self

from django.apps import apps
from django.db import models
from django.db.models import F, OuterRef, Q, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from ledger.facts.models import CostObject

if TYPE_CHECKING:
    from ..models import Material

LONG_AGO = date(1, 1, 1)


def _of(name: str) -> Any:
    return apps.get_model("daybook", name)._default_manager.all()


class MaterialQuerySet(models.QuerySet):
    """Materials."""

    def with_on_hand(self, on: date) -> Self:
        """Add `on_hand` at the end of that day: the last count, since then bought less used.

        Below zero where more was used than entered as bought. `last_counted_on`
        is NULL where nothing was ever counted.
        """
        counts = _of("MaterialCount").standing_on(on).filter(material=OuterRef("pk")).order_by("-on", "-pk")
        counted = self.annotate(
            last_counted_on=Subquery(counts.values("on")[:1]), last_counted=Subquery(counts.values("counted")[:1])
        )
        bought = _since_count(bought_lines(OuterRef("pk"), on), "purchase__on")
        used = _since_count(_of("MaterialUse").standing_on(on).filter(material=OuterRef("pk")), "on")
        return counted.annotate(on_hand=Coalesce(F("last_counted"), 0) + bought - used)

    def to_count(self, on: date, since: date) -> Self:
        """Materials used up by count of which, by the record, some is left at the end of a day, not counted since another."""
        before = Q(last_counted_on__isnull=True) | Q(last_counted_on__lt=since)
        return self.filter(by_count=True).with_on_hand(on).filter(before, on_hand__gt=0)


def bought_lines(material: Any, on: date) -> QuerySet[Any]:
    """The lines that bought a material up to that day, the latest first."""
    lines = _of("PurchaseLine").filter(shares__spent_on=material, purchase__on__lte=on, purchase__undone_at__isnull=True)
    return lines.order_by("-purchase__on", "-pk")


def materials_used_for(thing: CostObject) -> QuerySet[Any]:
    """What of materials went into one thing, the latest first."""
    uses = _of("MaterialUse").standing().filter(spent_on=thing)
    return uses.select_related("material").order_by("-on", "-pk")  # type: ignore[no-any-return]


def _since_count(rows: Any, day: str) -> Any:
    """How many there were after the day of the last count."""
    later = rows.filter(**{f"{day}__gt": Coalesce(OuterRef("last_counted_on"), Value(LONG_AGO))})
    return Coalesce(Subquery(later.order_by().values(one=Value(1)).annotate(n=Sum("quantity")).values("n")), 0)


def on_hand(material: Material, on: date) -> int:
    """What there is of a material at the end of that day, below zero where more was used than entered as bought."""
    found = apps.get_model("daybook", "Material")._default_manager.with_on_hand(on).get(pk=material.pk)
    return int(found.on_hand)
