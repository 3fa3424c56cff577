"""Carriage of orders: what was sent of it, what is left, and what of it each line of a dispatch brings in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from django.db.models import Sum
from django.db.models.functions import Coalesce

from ledger.reckoning.sharing import share_out
from ledger.sales.models import DispatchLine, Order


def carriage_sent(order: Order) -> int:
    """The carriage that went with an order's dispatches, net minor units."""
    return int(order.dispatches.standing().aggregate(n=Coalesce(Sum("carriage"), 0))["n"])


def carriage_left(order: Order) -> int:
    """The carriage that goes with the next dispatch, net minor units; nil where less was said since than was sent."""
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
