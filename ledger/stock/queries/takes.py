"""What a stock-take covers, what is counted of it, and what it would put right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.db.models import BigIntegerField, Case, Exists, F, OuterRef, Q, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce

from .sets import BoxQuerySet, ContentQuerySet, TakeCountedQuerySet, place_of, rows_of

if TYPE_CHECKING:
    from ledger.stock.models import Batch, Box, CountLine, Line, StockTake, TakeCounted

PlaceKey = tuple[str, str, int]


@dataclass
class CountedRow:
    """One batch in one place of a stock-take: what the record says now, and what was counted (None: not yet).

    `again`: a correction overtook that count, it is to be counted again.
    """

    batch: Batch
    there: int = 0
    counted: TakeCounted | None = None
    again: bool = False

    @property
    def is_counted(self) -> bool:
        return self.counted is not None and not self.again


@dataclass
class TakePlace:
    """One box (None: what is not yet boxed) of a stock-take with its rows."""

    box: Box | None
    rows: dict[int, CountedRow]

    @property
    def key(self) -> int | None:
        return self.box.pk if self.box else None

    @property
    def batches_counted(self) -> int:
        return sum(row.is_counted for row in self.rows.values())

    @property
    def batches_again(self) -> int:
        return sum(row.again for row in self.rows.values())

    @property
    def bunches_counted(self) -> int:
        return sum(row.counted.counted for row in self.rows.values() if row.counted)

    @property
    def is_counted(self) -> bool:
        """Whether nothing that lies there is left to be counted."""
        return all(row.is_counted for row in self.rows.values())


@dataclass(frozen=True)
class Difference:
    """What counting a batch in a place would put right; `there` bounds what can be missing.

    `record`: what the book now says was there when it was counted. `over` below zero: missing. `found_since`: of what is
    over, so many a sale beyond the record found already. `overtaken`: what went before it was counted was put right since, so
    that it cannot be told from what is missing.
    """

    counted: TakeCounted
    record: int
    over: int
    there: int
    found_since: int = 0
    overtaken: bool = False

    @property
    def missing(self) -> int:
        """How many fewer were counted than recorded."""
        return max(-self.over, 0)

    @property
    def posted(self) -> int:
        """What goes into the book: what is missing at most as far as it is still there."""
        return max(self.over, -self.there) if self.over < 0 else self.over

    @property
    def gone_since(self) -> int:
        """How many that are missing cannot be written off, being there no longer."""
        return self.posted - self.over if self.over < 0 else 0


def covered(take: StockTake) -> ContentQuerySet:
    """What lies now where a stock-take counts, in the order of the walk: shelf, box, batch; the unboxed last."""
    rows = rows_of("Content").there().out_of_parcels()
    if take.line_id is not None:
        rows = rows.filter(batch__line=take.line_id)
    elif take.shelf:
        rows = rows.filter(box__shelf=take.shelf)
    return rows.annotate(boxed=Case(When(box__isnull=True, then=Value(1)), default=Value(0))).order_by(
        "boxed", "box__shelf", "box__code", "batch__on", "batch__pk"
    )


def boxes_covered(take: StockTake) -> BoxQuerySet:
    """The boxes a stock-take of a shelf or of everything walks past, by shelf and id; none for one of a line."""
    boxes = rows_of("Box").on_shelves()
    if take.line_id is not None:
        return boxes.none()
    return boxes.filter(shelf=take.shelf) if take.shelf else boxes


def places_of(take: StockTake) -> list[TakePlace]:
    """The places of a stock-take with a bunch there or counted there, in the order of the walk."""
    places: dict[int | None, TakePlace] = {}
    for content in covered(take):
        place = places.setdefault(content.box_id, TakePlace(content.box, {}))
        place.rows[content.batch_id] = CountedRow(content.batch, content.bunches)
    for counted in with_record(rows_of("TakeCounted").standing().filter(take=take)).whole().order_by("batch__on", "batch__pk"):
        place = places.setdefault(counted.box_id, TakePlace(counted.box, {}))
        row = place.rows.setdefault(counted.batch_id, CountedRow(counted.batch))
        row.counted, row.again = counted, not counted.counted_since and _difference(counted).overtaken
    return sorted(places.values(), key=_walked)


def _walked(place: TakePlace) -> PlaceKey:
    """Box by box in order of shelf, what is not boxed last."""
    return (place.box.shelf, place.box.code, 0) if place.box else ("\U0010ffff", "", 0)


def empty_boxes(take: StockTake, places: list[TakePlace]) -> BoxQuerySet:
    """The boxes of a stock-take the record says are empty and nobody has counted anything in."""
    return boxes_covered(take).exclude(pk__in=[place.key for place in places if place.key])


def open_takes() -> Any:
    """Stock-takes begun and not ended, the first begun first."""
    ended = rows_of("TakeEnd").standing().filter(take=OuterRef("pk"))
    return rows_of("StockTake").standing().exclude(Exists(ended)).select_related("line__variety__species").order_by("on", "pk")


def is_covered(take: StockTake, box: Box | None, line: Line | None = None) -> bool:
    """Whether a stock-take counts in a box (None: what is not yet boxed), and bunches of a line there."""
    if take.line_id is not None:
        return line is None or take.line_id == line.pk
    return not take.shelf or (box is not None and box.shelf == take.shelf)


def differences(take: StockTake) -> list[Difference]:
    """What counting has shown place by place, what agrees too.

    Left out is what was counted again by itself since, and what a correction overtook.
    """
    return [one for one in _all_differences(take) if not one.overtaken]


def overtaken(take: StockTake) -> list[Difference]:
    """What a correction overtook and is to be counted again: nothing of it is put right."""
    return [one for one in _all_differences(take) if one.overtaken]


def _all_differences(take: StockTake) -> list[Difference]:
    rows = with_record(rows_of("TakeCounted").standing().filter(take=take)).filter(counted_since=False).whole()
    shelf, code = F("box__shelf").asc(nulls_last=True), F("box__code").asc(nulls_last=True)
    return [_difference(row) for row in rows.order_by(shelf, code, "batch__on", "batch__pk")]


def _difference(row: Any) -> Difference:
    over = row.counted - row.known
    found = min(max(over, 0), row.found_since)
    put_right = (row.undone_here and row.known != row.recorded) or (row.undone_that_day and row.entered_since)
    return Difference(row, row.known, over - found, row.there, found, over != found and put_right)


def gone_since(line: CountLine) -> int:
    """How many that a count missed could not be written off, being there no longer on some later day."""
    written_off = line.movement.used if line.movement and line.movement.kind == "written_off" else 0
    return max(line.recorded - line.counted - written_off, 0)


def counted_again(take: StockTake) -> TakeCountedQuerySet:
    """What was counted for a stock-take and counted again by itself since: the later count stands."""
    rows = with_record(rows_of("TakeCounted").standing().filter(take=take))
    return rows.filter(counted_since=True).whole().order_by("batch__on", "batch__pk", "pk")


def with_record(rows: TakeCountedQuerySet) -> TakeCountedQuerySet:
    """Add `known`, `found_since`, `there`, `counted_since` and what tells that it was overtaken to what was counted.

    `known`: bunches the book now says were there: all rows of earlier days, of its own day those entered by then and what
    was found since to undo a shortage entered by then. What moved afterwards counts for nothing; what is entered late for an
    earlier day, or undone, does. `undone_here`, `undone_that_day`: whether a row it knew of was undone since, in its place or
    of its line on its day; `entered_since`: whether one of its day was entered in its place since.
    """
    ever = rows_of("Movement").filter(batch=OuterRef("batch")).alias(place=place_of("box"))
    ever = ever.filter(place=place_of(OuterRef("box")))
    moved = ever.filter(undone_at__isnull=True)
    since = Q(on=OuterRef("on"), recorded_at__gt=OuterRef("recorded_at"))
    not_missing = Q(
        on=OuterRef("on"), kind="found", to_check=False, brings_back__on=OuterRef("on"), brings_back__box=F("box"),
        brings_back__recorded_at__lte=OuterRef("recorded_at"),
    )
    earlier = Q(on__lt=OuterRef("on")) | Q(on=OuterRef("on"), recorded_at__lte=OuterRef("recorded_at")) | not_missing
    later = Q(on__gt=OuterRef("on")) | since
    undone = Q(recorded_at__lte=OuterRef("recorded_at"), undone_at__gt=OuterRef("recorded_at"))
    of_line = rows_of("Movement").filter(undone, on=OuterRef("on"), batch__line=OuterRef("batch__line"))
    there = rows_of("Content").filter(batch=OuterRef("batch")).alias(place=place_of("box"))
    counts = rows_of("CountLine").filter(
        batch=OuterRef("batch"), count__undone_at__isnull=True, count__recorded_at__gt=OuterRef("recorded_at"),
    )
    counts = counts.alias(place=place_of("count__box")).filter(place=place_of(OuterRef("box")))
    return rows.annotate(
        known=_summed(moved.filter(earlier)), found_since=_summed(moved.filter(later, kind="found", to_check=True)),
        there=_summed(there.filter(place=place_of(OuterRef("box")))), counted_since=Exists(counts),
        undone_here=Exists(ever.filter(undone, on__lte=OuterRef("on"))), undone_that_day=Exists(of_line),
        entered_since=Exists(moved.filter(since)),
    )


def _summed(rows: Any) -> Coalesce:
    sums = rows.order_by().values("batch").annotate(sum_of=Sum("bunches")).values("sum_of")
    return Coalesce(Subquery(sums, output_field=BigIntegerField()), 0, output_field=BigIntegerField())
