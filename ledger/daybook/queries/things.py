"""What time and money can be spent on, and what a form offers of it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from operator import or_

from django.db.models import Case, F, Q, QuerySet, Value, When, Window
from django.db.models.functions import RowNumber

from ledger.facts.models import CostObject

FACT_KINDS = ("planting", "lot", "hanging", "run", "stall_day", "order", "sale", "job", "workshop")
IN_PATH_ORDER = (
    "plot", "planting", "lot", "place", "hanging", "run", "store", "stall_day", "order", "sale",
    "job", "workshop", "material", "holding",
)
LATEST_OF_A_KIND = 15
FOUND_AT_MOST = 60


def can_be_spent_on() -> QuerySet[CostObject]:
    """Everything time and money can be spent on, in the order of the path, records undone left out."""
    undone = reduce(or_, (Q(**{f"{kind}__undone_at__isnull": False}) for kind in FACT_KINDS))
    return in_path_order(CostObject.objects.exclude(pk__in=CostObject.objects.filter(undone).values("pk")))


def in_path_order(things: QuerySet[CostObject]) -> QuerySet[CostObject]:
    """Along the path by kind, each kind's latest first."""
    places = Case(*(When(kind=kind, then=Value(place)) for place, kind in enumerate(IN_PATH_ORDER)), default=Value(99))
    return things.alias(along=places).order_by("along", "-pk")


def offered(find: str = "", besides: Iterable[int] = (), *, materials: bool = False) -> QuerySet[CostObject]:
    """The latest of each kind, or those whose name holds every word of `find`; `besides` always.

    Materials are bought, but no time is spent on them: left out unless asked for.
    """
    things = can_be_spent_on() if materials else can_be_spent_on().exclude(kind=CostObject.Kind.MATERIAL)
    if find.split():
        named = reduce(lambda some, word: some.filter(label__icontains=word), find.split(), things)
        found = list(named.values_list("pk", flat=True)[:FOUND_AT_MOST])
    else:
        ranked = things.annotate(rank=Window(RowNumber(), partition_by=F("kind"), order_by=F("pk").desc()))
        found = list(ranked.filter(rank__lte=LATEST_OF_A_KIND).values_list("pk", flat=True))
    return things.filter(pk__in=[*found, *besides])
