"""Boxes for a stall day: which can be loaded, which are, what was sold there last time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from ledger.facts.queries import today
from ledger.growing.models import Lot
from ledger.sales.models import SaleLine, StallDay, StallLoad
from ledger.stock.models import Balance, Box, Content, Line, Movement

from .offering import price_texts


@dataclass(frozen=True)
class Inside:
    """Bunches of a line in a box: their price as text (empty: none), how many of the line were sold last time.

    `free`: bunches of the line, wherever they lie, that nobody was promised.
    """

    line: Line
    bunches: int
    price: str
    sold_last: int
    free: int


@dataclass(frozen=True)
class Load:
    """A box to be loaded, or loaded already, with what is in it now."""

    box: Box
    inside: Sequence[Inside]
    load: StallLoad | None = None

    @property
    def bunches(self) -> int:
        return sum(one.bunches for one in self.inside)


def loaded_for(day: StallDay) -> QuerySet[StallLoad]:
    """The standing loads of a stall day, in walking order of shelves."""
    loads = StallLoad.objects.standing().filter(stall_day=day)
    return loads.select_related("box").order_by("box__shelf", "box__code", "pk")


def boxes_of(day: StallDay | None) -> list[Box]:
    """The boxes loaded for a stall day, none for no day."""
    return [load.box for load in loaded_for(day)] if day else []


def boxes_away(on: date, besides: StallDay | None = None) -> list[Box]:
    """Boxes that some other market has with it that day."""
    loads = StallLoad.objects.standing().filter(stall_day__on=on, stall_day__undone_at=None)
    loads = loads.exclude(stall_day=besides) if besides else loads
    return list(Box.objects.filter(pk__in=loads.values("box")).order_by("pk"))


def bunches_at_hand(day: StallDay | None) -> dict[int, int]:
    """Bunches of each line in the boxes loaded for a stall day, by the line's key."""
    rows = Content.objects.filter(box__in=boxes_of(day), bunches__gt=0).order_by("batch__line") if day else Content.objects.none()
    return dict(rows.values_list("batch__line").annotate(n=Sum("bunches")))


def lines_along(day: StallDay | None) -> set[int]:
    """The keys of lines in the boxes loaded for a stall day, and of those taken out of them that day; none for no day."""
    boxes = boxes_of(day)
    gone = Movement.objects.standing().filter(box__in=boxes, on=day.on).order_by() if day else Movement.objects.none()
    return {*bunches_at_hand(day), *gone.values_list("batch__line", flat=True).distinct()}


def can_be_loaded(day: StallDay) -> QuerySet[Box]:
    """Boxes with something in them that nothing keeps at home: no parcel, not held back, loaded for no market that day."""
    there = Content.objects.filter(box=OuterRef("pk"), bunches__gt=0)
    loaded = StallLoad.objects.standing().filter(stall_day__on=day.on, stall_day__undone_at=None).values("box")
    boxes = Box.objects.on_shelves().filter(Exists(there)).exclude(pk__in=loaded)
    return boxes.exclude(pk__in=Box.objects.held_back(day.on))


def last_time(day: StallDay) -> StallDay | None:
    """The market of the same name and way before this one, None where it is the first."""
    earlier = StallDay.objects.standing().filter(name__iexact=day.name, way=day.way, on__lt=day.on)
    return earlier.order_by("-on", "-pk").first()


def sold_at(day: StallDay | None) -> dict[int, int]:
    """Bunches of each line sold at a stall day, by the line's key."""
    lines = SaleLine.objects.filter(sale__stall_day=day, sale__undone_at=None).exclude(line=None) if day else None
    return dict(lines.order_by("line").values_list("line").annotate(n=Sum("quantity"))) if lines is not None else {}


def loads_of(day: StallDay) -> list[Load]:
    """What is loaded, with what each box holds now."""
    loads = list(loaded_for(day))
    inside = _inside(day, [load.box for load in loads])
    return [Load(load.box, inside[load.box_id], load) for load in loads]


def to_load(day: StallDay) -> list[Load]:
    """What could be loaded, in walking order of shelves."""
    boxes = list(can_be_loaded(day))
    inside = _inside(day, boxes)
    return [Load(box, inside[box.pk]) for box in boxes]


def _inside(day: StallDay, boxes: Iterable[Box]) -> dict[int, list[Inside]]:
    prices, sold = price_texts(day.way, day.on), sold_at(last_time(day))
    counted: dict[tuple[int, Line], int] = defaultdict(int)
    for content in Content.objects.there().filter(box__in=list(boxes)):
        counted[content.box_id or 0, content.batch.line] += content.bunches
    found: dict[int, list[Inside]] = defaultdict(list)
    balances = Balance.objects.filter(line__in={line for _box, line in counted})
    free = {balance.line_id: max(balance.on_hand - balance.held, 0) for balance in balances}
    for (box, line), bunches in counted.items():
        found[box].append(Inside(line, bunches, prices.get(line.pk, ""), sold.get(line.pk, 0), free[line.pk]))
    return found


def came_back(day: StallDay, on: date) -> tuple[list[Box], list[Content], list[Lot]]:
    """What may have come back: the loaded boxes, what lay in them, the lots sold fresh with stems left.

    Contents carry `then`: bunches there at the end of `on`. They are those of which something was there when the stall day
    ended, or came or went from that day to `on`, whatever lies there now.
    """
    boxes = boxes_of(day)
    rows = Movement.objects.standing().filter(box=OuterRef("box"), batch=OuterRef("batch"))
    contents = Content.objects.filter(box__in=boxes).annotate(
        then=_bunches(rows.filter(on__lte=on)), there=_bunches(rows.filter(on__lte=day.on)),
    )
    moved = Exists(rows.filter(on__range=(day.on, max(on, day.on))))
    contents = contents.filter(Q(there__gt=0) | moved).select_related("box", "batch__line__variety__species")
    sold = SaleLine.objects.filter(sale__stall_day=day, sale__undone_at=None).exclude(parting=None)
    lots = Lot.objects.in_water(today()).filter(pk__in=sold.values("parting__lot"))
    in_order = contents.order_by("batch__on", "batch__pk", "pk")
    return boxes, list(in_order), list(lots.select_related("planting__variety__species"))


def _bunches(rows: QuerySet[Movement]) -> Coalesce:
    """The sum of rows of one batch in one place, nil where there are none."""
    return Coalesce(Subquery(rows.order_by().values("batch").annotate(n=Sum("bunches")).values("n")), 0)
