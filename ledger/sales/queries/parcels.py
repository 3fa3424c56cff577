"""The parcels of an order that are here, with what is in each."""

from __future__ import annotations

from collections import defaultdict

from django.db.models import Sum

from ledger.sales.models import Order, OrderLine, Packing, Parcel


def parcels_here(order: Order) -> list[tuple[Parcel, list[tuple[OrderLine, int]]]]:
    """Each parcel that could go, the oldest first, with how many bunches of each line of its order lie in it."""
    parcels = list(Parcel.objects.to_go().filter(order=order).select_related("box"))
    sums = Packing.objects.standing().filter(parcel__in=parcels).values_list("parcel", "order_line")
    inside: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for parcel, line, bunches in sums.annotate(n=Sum("bunches")).order_by("order_line"):
        inside[parcel].append((line, bunches))
    keys = {line for some in inside.values() for line, _bunches in some}
    lines = OrderLine.objects.select_related("line__variety__species").in_bulk(keys)
    return [(parcel, [(lines[line], bunches) for line, bunches in inside[parcel.pk]]) for parcel in parcels]
