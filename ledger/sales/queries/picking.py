"""What to take from where for an order: oldest batch first, listed in the order of shelves."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Sum

from ledger.facts.queries import today
from ledger.sales.models import Dispatch, Order, OrderLine
from ledger.stock.models import Content
from ledger.stock.queries.seasons import season_made


@dataclass(frozen=True)
class Pick:
    """One place of one order line: what lies there, and how many are proposed from it (nil: only another choice)."""

    order_line: OrderLine
    content: Content
    proposed: int


def picks(order: Order) -> list[Pick]:
    """Every place of what is promised and not yet packed, in the order of shelves, the unboxed last; no box held back."""
    lines = list(OrderLine.objects.standing().whole().with_standing().filter(order=order, to_pack__gt=0))
    places: dict[int, list[Content]] = defaultdict(list)
    offered = Content.objects.there().out_of_parcels().not_held_back(today())
    for content in offered.filter(batch__line__in=[line.line_id for line in lines]):
        places[content.batch.line_id].append(content)
    found = [pick for line in lines for pick in _of_line(line, places[line.line_id])]
    return sorted(found, key=_by_shelf)


def _of_line(line: OrderLine, places: Iterable[Content]) -> Iterable[Pick]:
    left, season = line.to_pack, line.hold.season
    for content in places:
        if season is not None and season_made(content.batch) != season:
            continue
        taken = min(left, content.bunches)
        left -= taken
        yield Pick(line, content, taken)


def _by_shelf(pick: Pick) -> tuple[bool, str, str, int]:
    box = pick.content.box
    return (box is None, box.shelf if box else "", box.code if box else "", pick.content.pk)


def sent_by_line(dispatch: Dispatch) -> list[tuple[OrderLine, int]]:
    """What a parcel held of each line of its order, batches taken together."""
    sums = dict(dispatch.lines.values_list("order_line").annotate(n=Sum("bunches")).order_by("order_line"))
    lines = OrderLine.objects.select_related("line__variety__species").filter(pk__in=sums).order_by("pk")
    return [(line, sums[line.pk]) for line in lines]
