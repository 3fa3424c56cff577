"""What customers have on sale or return."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import Sum

from ledger.sales.models import HandedOver, Order, OrderLine, Packing, Parcel
from ledger.stock.models import Movement


@dataclass(frozen=True)
class Out:
    """A parcel a customer has, and how many bunches of each line of its order are in it."""

    handed_over: HandedOver
    lines: list[tuple[OrderLine, int]]

    @property
    def bunches(self) -> int:
        return sum(bunches for _line, bunches in self.lines)

    @property
    def net(self) -> int:
        """What it brings if all is sold, net minor units."""
        return sum(line.price * bunches for line, bunches in self.lines)


def with_customers(order: Order | None = None) -> list[Out]:
    """What customers have on sale or return now (of one order), the longest there first; three statements."""
    parcels = Parcel.objects.out() if order is None else Parcel.objects.out().filter(order=order)
    handed = HandedOver.objects.standing().filter(parcel__in=parcels).select_related("parcel__box", "parcel__order__customer")
    handed = handed.order_by("on", "pk")
    sums = Packing.objects.standing().filter(parcel__in=[one.parcel_id for one in handed]).values_list("parcel", "order_line")
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for parcel, line, bunches in sums.annotate(n=Sum("bunches")).order_by("order_line"):
        found[parcel].append((line, bunches))
    keys = {line for some in found.values() for line, _bunches in some}
    lines = {line.pk: line for line in OrderLine.objects.select_related("line__variety__species").filter(pk__in=keys)}
    return [Out(one, [(lines[line], bunches) for line, bunches in found[one.parcel_id]]) for one in handed]


def out_on_return(on: date) -> dict[int, int]:
    """By batch: bunches that customers had on sale or return at the end of a day."""
    boxes = HandedOver.objects.standing_on(on).values("parcel__box")
    rows = Movement.objects.standing_on(on).filter(box__in=boxes).values_list("batch")
    return dict(rows.annotate(n=Sum("bunches")).filter(n__gt=0).order_by("batch"))
