"""Questions about workers, their hours and rates, and purchases."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Self

from django.apps import apps
from django.db import models
from django.db.models import Min, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from ledger.facts.models import CostObject, FactQuerySet

if TYPE_CHECKING:
    from ..models import WorkEntry, Worker


def _of(name: str) -> FactQuerySet:
    return apps.get_model("daybook", name)._default_manager.all()


class WorkerQuerySet(models.QuerySet):
    """Those whose hours are noted."""

    def with_rate(self, on: date) -> Self:
        """Add `per_hour`: what an hour costs that day in minor units, NULL before the first rate."""
        rates = _of("WorkerRate").standing_on(on).filter(worker=OuterRef("pk")).order_by("-on", "-pk")
        return self.annotate(per_hour=Subquery(rates.values("per_hour")[:1]))

    def with_minutes(self, first: date, last: date) -> Self:
        """Add `minutes`: all minutes noted from the first to the last day, both within it."""
        noted = _of("WorkEntry").standing().filter(worker=OuterRef("pk"), on__range=(first, last))
        sums = noted.order_by().values("worker").annotate(n=Sum("minutes")).values("n")
        return self.annotate(minutes=Coalesce(Subquery(sums), 0))


class WorkEntryQuerySet(FactQuerySet):
    """Hours noted."""

    def whole(self) -> Self:
        """With the worker and what the time was spent on."""
        return self.select_related("worker").prefetch_related("shares__spent_on")

    def spent_on(self, thing: CostObject) -> Self:
        """Entries of which one thing bears a part, the latest first."""
        return self.standing().filter(shares__spent_on=thing).order_by("-on", "-pk")


class PurchaseQuerySet(FactQuerySet):
    """Bills and receipts."""

    def with_totals(self) -> Self:
        """Add `net` and `tax`: the sums of its lines in minor units."""
        lines = apps.get_model("daybook", "PurchaseLine").objects.filter(purchase=OuterRef("pk")).order_by().values("purchase")
        return self.annotate(
            net=Coalesce(Subquery(lines.annotate(n=Sum("net")).values("n")), 0),
            tax=Coalesce(Subquery(lines.annotate(n=Sum("tax")).values("n")), 0),
        )

    def spent_on(self, thing: CostObject) -> Self:
        """Purchases of which one thing bears a part, the latest first."""
        return self.standing().filter(shares__spent_on=thing).distinct().order_by("-on", "-pk")


def rate_in_force(worker: Worker, on: date) -> int | None:
    """What an hour of a worker costs that day, in minor units; None before the first rate."""
    rates = _of("WorkerRate").standing_on(on).filter(worker=worker)
    return rates.order_by("-on", "-pk").values_list("per_hour", flat=True).first()


def first_without_rate(worker: Worker) -> WorkEntry | None:
    """The first hours noted for a day on which the worker has no rate, None where every hour has one."""
    first = _of("WorkerRate").standing().filter(worker=worker).aggregate(first=Min("on"))["first"]
    entries = _of("WorkEntry").standing().filter(worker=worker).order_by("on", "pk")
    return (entries if first is None else entries.filter(on__lt=first)).first()


def minutes_on(worker: Worker, on: date) -> int:
    """Minutes already noted for a worker on one day."""
    entries = _of("WorkEntry").standing().filter(worker=worker, on=on)
    return entries.aggregate(n=Sum("minutes"))["n"] or 0


def minutes_spent_on(thing: CostObject) -> int:
    """Minutes of all the entries of which one thing bears a part, shared ones whole."""
    return _of("WorkEntry").spent_on(thing).order_by().aggregate(n=Sum("minutes"))["n"] or 0
