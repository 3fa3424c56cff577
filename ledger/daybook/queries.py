"""Questions about workers, their hours and rates, purchases, and what can be spent on."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Self

from django.apps import apps
from django.db import models
from django.db.models import Case, F, Min, OuterRef, Q, QuerySet, Subquery, Sum, Value, When, Window
from django.db.models.functions import Coalesce, RowNumber

from ledger.facts.models import CostObject, FactQuerySet

if TYPE_CHECKING:
    from .models import WorkEntry, Worker

FACT_KINDS = ("planting", "lot", "hanging", "run", "stall_day", "order", "sale")
IN_PATH_ORDER = ("plot", "planting", "lot", "place", "hanging", "run", "store", "stall_day", "order", "sale", "holding")
LATEST_OF_A_KIND = 15
FOUND_AT_MOST = 60


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


def can_be_spent_on() -> QuerySet[CostObject]:
    """Everything time and money can be spent on, in the order of the path, records undone left out."""
    undone = reduce(or_, (Q(**{f"{kind}__undone_at__isnull": False}) for kind in FACT_KINDS))
    return in_path_order(CostObject.objects.exclude(pk__in=CostObject.objects.filter(undone).values("pk")))


def in_path_order(things: QuerySet[CostObject]) -> QuerySet[CostObject]:
    """Along the path by kind, each kind's latest first."""
    places = Case(*(When(kind=kind, then=Value(place)) for place, kind in enumerate(IN_PATH_ORDER)), default=Value(99))
    return things.alias(along=places).order_by("along", "-pk")


def offered(find: str = "", besides: Iterable[int] = ()) -> QuerySet[CostObject]:
    """The latest of each kind, or those whose name holds every word of `find`; `besides` always."""
    things = can_be_spent_on()
    if find.split():
        named = reduce(lambda some, word: some.filter(label__icontains=word), find.split(), things)
        found = list(named.values_list("pk", flat=True)[:FOUND_AT_MOST])
    else:
        ranked = things.annotate(rank=Window(RowNumber(), partition_by=F("kind"), order_by=F("pk").desc()))
        found = list(ranked.filter(rank__lte=LATEST_OF_A_KIND).values_list("pk", flat=True))
    return things.filter(pk__in=[*found, *besides])
