"""What to take from where for an order: oldest batch first, listed in the order of shelves."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Q, Sum

from ledger.facts.queries import today
from ledger.sales.models import Dispatch, Later, Order, OrderLine
from ledger.stock.models import Content, Hold, Line
from ledger.stock.queries.seasons import seasons_made

from .lacking import alike
from .out import with_customers

MOST_INSTEAD = 8


@dataclass(frozen=True)
class Pick:
    """One place of one order line: what lies there, and how many are proposed from it (nil: only another choice)."""

    order_line: OrderLine
    content: Content
    proposed: int


@dataclass
class _There:
    """What lies of one bunch line.

    `left`: what of each place the lines before did not propose to take; `wanted`: by season what lines of that season alone
    have still to pack.
    """

    places: list[Content] = field(default_factory=list)
    left: dict[int, int] = field(default_factory=dict)
    wanted: dict[int, int] = field(default_factory=lambda: defaultdict(int))

    def spare(self, season: int, made: Mapping[int, int]) -> int:
        """What of a season's bunches no line of that season wants."""
        return sum(self.left[one.pk] for one in self.places if made[one.batch_id] == season) - self.wanted[season]


def picks(order: Order) -> list[Pick]:
    """Every place of what is promised and not yet packed, in the order of shelves, the unboxed last; no box held back.

    What this or another order wants of one season is not proposed to a line of any.
    """
    lines = list(OrderLine.objects.standing().whole().with_standing().filter(order=order, to_pack__gt=0))
    there = _there({line.line_id for line in lines})
    made = seasons_made(one.batch for of_line in there.values() for one in of_line.places)
    lines.sort(key=lambda line: line.hold.season is None)
    found = [pick for line in lines for pick in _of_line(line, there[line.line_id], made)]
    return sorted(found, key=_by_shelf)


def _there(lines: set[int]) -> dict[int, _There]:
    """What lies of each bunch line (by its key), the oldest first, and what of one season is still to be packed for whom ever."""
    there: dict[int, _There] = defaultdict(_There)
    for content in Content.objects.there().out_of_parcels().not_held_back(today()).filter(batch__line__in=lines):
        of_line = there[content.batch.line_id]
        of_line.places.append(content)
        of_line.left[content.pk] = content.bunches
    if not Hold.objects.standing().filter(line__in=lines, season__isnull=False).exists():
        return there
    of_season = OrderLine.objects.standing().with_standing().filter(line__in=lines, hold__season__isnull=False, to_pack__gt=0)
    for line, season, bunches in of_season.values_list("line", "hold__season", "to_pack"):
        there[line].wanted[season] += bunches
    return there


def lines_to_pick(order: Order) -> list[OrderLine]:
    """Lines of which something promised is not packed yet, or that were left short of what is not."""
    lines = OrderLine.objects.standing().whole().with_standing().filter(order=order)
    lines = lines.filter(Q(to_pack__gt=0) | Q(short__gt=0)).order_by("pk")
    return [line for line in lines if line.kept + line.short > line.packed]


@dataclass(frozen=True)
class NotFound:
    """A line of which so many to be packed, or left short, can be taken nowhere.

    `elsewhere`: how many of it lie on the shelves beside what is proposed, kept for others or left free; `free`: those no
    promise keeps, where some were left short.
    """

    line: OrderLine
    missing: int
    elsewhere: int
    free: int


def not_to_be_found(lines: Iterable[OrderLine], picked: Iterable[Pick]) -> list[NotFound]:
    """Of lines of an order (with their standing) those of which the proposed places hold too little; few statements."""
    proposed, taken = defaultdict[int, int](int), defaultdict[int, int](int)
    for pick in picked:
        proposed[pick.order_line.pk] += pick.proposed
        taken[pick.content.pk] += pick.proposed
    missing = {line: n for line in lines if (n := missing_of(line, proposed[line.pk])) > 0}
    if not missing:
        return []
    there = _there({line.line_id for line in missing})
    made = seasons_made(one.batch for of_line in there.values() for one in of_line.places)
    found = []
    for line, n in missing.items():
        its = [one for one in there[line.line_id].places if line.hold.season in (None, made[one.batch_id])]
        elsewhere = sum(one.bunches - taken[one.pk] for one in its)
        free = min(max(line.line.balance.free, 0), elsewhere) if line.short else 0  # type: ignore[attr-defined]
        found.append(NotFound(line, n, elsewhere, free))
    return found


def missing_of(line: OrderLine, proposed: int) -> int:
    """How many of a line to be packed, or left short of what is not, the places proposed do not hold."""
    return line.kept + line.short - line.packed - proposed  # type: ignore[attr-defined,no-any-return]


def _of_line(line: OrderLine, there: _There, made: Mapping[int, int]) -> Iterable[Pick]:
    """The places of one line; `made`: the season of each batch."""
    to_pack, season = line.to_pack, line.hold.season  # type: ignore[attr-defined]
    for content in there.places:
        its = made[content.batch_id]
        if season not in (None, its):
            continue
        most = there.left[content.pk]
        if season is None and there.wanted[its]:
            most = min(most, max(there.spare(its, made), 0))
        taken = min(to_pack, most)
        to_pack -= taken
        there.left[content.pk] -= taken
        if season is not None:
            there.wanted[its] -= taken
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
