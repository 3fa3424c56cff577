"""Carriage of orders: what was sent of it, what is left, and what of it each line of a dispatch brings in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from django.db.models import F, QuerySet, Sum
from django.db.models.functions import Coalesce

from ledger.reckoning.sharing import share_out
from ledger.sales.models import DispatchLine, InvoiceLine, Order


def carriage_sent(order: Order) -> int:
    """The carriage that went with an order's dispatches, or was billed with one of them afterwards, net minor units."""
    went = order.dispatches.standing().aggregate(n=Coalesce(Sum("carriage"), 0))["n"]
    later = billed_later().filter(carriage_of__order=order).aggregate(n=Coalesce(Sum("more"), 0))["n"]
    return int(went + later)


def billed_later() -> QuerySet[InvoiceLine]:
    """Lines of invoices that bill more carriage than went with their dispatch; `more`: how much more, net minor units."""
    billed = InvoiceLine.objects.filter(carriage_of__isnull=False, credits_line__isnull=True)
    return billed.annotate(more=F("net") - F("carriage_of__carriage")).filter(more__gt=0)


def carriage_left(order: Order) -> int:
    """The carriage that neither went nor was billed yet, net minor units; nil where less was said since than was sent."""
    return max(order.said.carriage - carriage_sent(order), 0)


def shared_over_lines(lines: Iterable[DispatchLine], carried: Mapping[int, int]) -> dict[int, int]:
    """What of an amount by the dispatch's key falls to each of its lines, by the line's key: by net value, else by bunches.

    Whole minor units, largest remainders first, ties to the earlier line; `lines` with their order line.
    """
    by_dispatch: dict[int, list[DispatchLine]] = defaultdict(list)
    for line in lines:
        by_dispatch[line.dispatch_id].append(line)
    found: dict[int, int] = {}
    for dispatch, rows in by_dispatch.items():
        values = [row.bunches * row.order_line.price for row in rows]
        weights = values if any(values) else [row.bunches for row in rows]
        parts = share_out(carried.get(dispatch, 0), weights)
        found.update({row.pk: part for row, part in zip(rows, parts, strict=True)})
    return found
