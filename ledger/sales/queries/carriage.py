"""Carriage of orders: what was sent of it, what is left, and what of it each line of a dispatch brings in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import F, QuerySet, Sum
from django.db.models.functions import Coalesce

from ledger.reckoning.sharing import share_out
from ledger.sales.models import DispatchLine, InvoiceLine, Order, OrderLine

from .terms import carriage_proposed, order_terms_on


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


@dataclass(frozen=True)
class Net:
    """What an order comes to without carriage, net minor units: as taken, as wanted now, what of that is promised or sent."""

    taken: int
    wanted: int
    promised: int


@dataclass(frozen=True)
class Carriage:
    """What carriage an order is charged, and from what net on it is none (None: never, or none is charged at all).

    `usual`: what the terms of the order's day ask now that other bunches are wanted of it, where that is not what they asked
    of it as it was taken, that is charged still, and not all of it was sent and invoiced; else None. Net minor units.
    """

    charged: int
    free_from: int | None = None
    usual: int | None = None


def net_of(lines: Iterable[OrderLine]) -> Net:
    """What an order comes to by its lines, with their standing."""
    lines = list(lines)
    return Net(
        sum(line.asked * line.price for line in lines if line.instead_of_id is None),
        sum((line.wanted - line.stood_in) * line.price for line in lines),  # type: ignore[attr-defined]
        sum((line.entered - line.given_back - line.short) * line.price for line in lines),  # type: ignore[attr-defined]
    )


def carriage_of(order: Order, lines: Iterable[OrderLine]) -> Carriage:
    """How an order's carriage stands by the terms of its day; `lines`: its lines with their standing."""
    lines, charged = list(lines), order.said.carriage
    terms = order_terms_on(order.way, order.on)
    if terms is None or not terms.carriage:
        return Carriage(charged)
    net = net_of(lines)
    then, now = carriage_proposed(terms, net.taken), carriage_proposed(terms, net.wanted)
    under_way = any(line.kept or line.lacking > 0 or line.sent > line.invoiced for line in lines)  # type: ignore[attr-defined]
    changed = then == charged != now and net.wanted > 0 and under_way and not order.sale_or_return
    return Carriage(charged, terms.free_from, now if changed else None)


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
