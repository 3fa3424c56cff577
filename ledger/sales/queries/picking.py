"""What to take from where for an order: oldest batch first, listed in the order of shelves."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q, Sum

from ledger.facts.queries import today
from ledger.sales.models import Dispatch, Later, Order, OrderLine
from ledger.stock.models import Content, Line
from ledger.stock.queries.seasons import season_made

from .lacking import alike
from .out import with_customers

MOST_INSTEAD = 8


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
    left = {content.pk: content.bunches for of_line in places.values() for content in of_line}
    found = [pick for line in lines for pick in _of_line(line, places[line.line_id], left)]
    return sorted(found, key=_by_shelf)


def lines_to_pick(order: Order) -> list[OrderLine]:
    """Lines of which something promised is not packed yet, or that were left short."""
    lines = OrderLine.objects.standing().whole().with_standing().filter(order=order)
    return list(lines.filter(Q(to_pack__gt=0) | Q(short__gt=0)).order_by("pk"))


def _of_line(line: OrderLine, places: Iterable[Content], left: dict[int, int]) -> Iterable[Pick]:
    """The places of one line; `left`: what of each the lines before did not propose to take."""
    wanted, season = line.to_pack, line.hold.season
    for content in places:
        if season is not None and season_made(content.batch) != season:
            continue
        taken = min(wanted, left[content.pk])
        wanted -= taken
        left[content.pk] -= taken
        yield Pick(line, content, taken)


def _by_shelf(pick: Pick) -> tuple[bool, str, str, int]:
    box = pick.content.box
    return (box is None, box.shelf if box else "", box.code if box else "", pick.content.pk)


def places_instead(line: OrderLine) -> list[Content]:
    """Where free bunches lie that could be packed in the place of a line: same variety or colour, the nearest kin first."""
    lines = alike(line.line, Line.objects.whole().with_free(), most=MOST_INSTEAD)
    nearness = {one.pk: place for place, one in enumerate(lines)}
    there = Content.objects.there().out_of_parcels().not_held_back(today()).filter(batch__line__in=lines)
    return sorted(there, key=lambda one: nearness[one.batch.line_id])


def sent_by_line(dispatch: Dispatch) -> list[tuple[OrderLine, int]]:
    """What a parcel held of each line of its order, batches taken together."""
    sums = dict(dispatch.lines.values_list("order_line").annotate(n=Sum("bunches")).order_by("order_line"))
    lines = OrderLine.objects.whole().filter(pk__in=sums).order_by("pk")
    return [(line, sums[line.pk]) for line in lines]


@dataclass(frozen=True)
class ToCome:
    """So many of an order's line that come with a later parcel: promised, or hoped for by a day (None: not known)."""

    line: OrderLine
    bunches: int
    promised: bool
    hoped_for: date | None = None


def still_to_come(order: Order) -> list[ToCome]:
    """What of an order is kept and not sent yet, and what was said to come later as far as it lacks, in order of its lines.

    What the customer has on sale or return is there already.
    """
    later = {one.order_line_id: one for one in Later.objects.standing().filter(order_line__order=order)}
    found = []
    out: dict[int, int] = defaultdict(int)
    for parcel in with_customers(order) if order.sale_or_return else []:
        for there, bunches in parcel.lines:
            out[there.pk] += bunches
    for line in OrderLine.objects.whole().with_standing().filter(order=order):
        if line.kept > out[line.pk]:
            found.append(ToCome(line, line.kept - out[line.pk], True))
        if line.pk in later and line.lacking > 0:
            said = later[line.pk]
            found.append(ToCome(line, min(said.bunches, line.lacking), False, said.hoped_for))
    return found
