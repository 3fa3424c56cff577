"""Questions about the stock book: what there is, where it is, what is promised, what is free."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from itertools import accumulate
from typing import TYPE_CHECKING, Self

from django.apps import apps
from django.db import models
from django.db.models import Exists, F, OuterRef, QuerySet, Sum
from django.db.models.functions import Coalesce

from ledger.drying.queries import HangingQuerySet, total
from ledger.facts.models import FactQuerySet

if TYPE_CHECKING:
    from ledger.drying.models import Hanging

    from .models import Batch, Box, Hold, HoldChange, Line, Movement

DayChange = tuple[date, int]


def _rows(model: str) -> QuerySet:
    return apps.get_model("stock", model)._default_manager.all()


class LineQuerySet(models.QuerySet):
    """Bunch lines with what is on hand, kept and free."""

    def on_hand_on(self, on: date) -> Self:
        """Add `there`: bunches on hand at the end of that day by the stock book."""
        return self.annotate(there=total(_rows("Movement").standing_on(on), "batch__line", "bunches"))

    def held_on(self, on: date) -> Self:
        """Add `kept`: bunches kept for promises at the end of that day."""
        return self.annotate(kept=total(_rows("HoldChange").standing_on(on), "hold__line", "bunches"))

    def with_free(self) -> Self:
        """Add `on_hand`, `held` and `free` as they are now."""
        return self.annotate(
            on_hand=Coalesce(F("balance__on_hand"), 0), held=Coalesce(F("balance__held"), 0),
            free=Coalesce(F("balance__on_hand") - F("balance__held"), 0),
        )

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("variety__species", "balance")


class RunQuerySet(FactQuerySet):
    """Bunching runs."""

    def with_stems(self) -> Self:
        """Add `stems_in` and `bunches_made`."""
        return self.annotate(
            stems_in=total(_rows("RunInput"), "run", "stems"),
            bunches_made=total(_rows("Batch").standing(), "run", "made"),
        )


class BatchQuerySet(FactQuerySet):
    """Batches and what is left of them."""

    def with_on_hand(self, on: date) -> Self:
        """Add `there`: bunches of it on hand at the end of that day by the stock book."""
        return self.annotate(there=total(_rows("Movement").standing_on(on), "batch", "bunches"))

    def on_hand_on(self, on: date) -> Self:
        """Batches of which something is on hand that day, the oldest first."""
        return self.standing_on(on).with_on_hand(on).filter(there__gt=0).order_by("on", "pk")

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("line__variety__species", "run")


class BoxQuerySet(models.QuerySet):
    """Boxes and what is in them."""

    def with_bunches(self) -> Self:
        """Add `bunches`: all that is in it now."""
        return self.annotate(bunches=total(_rows("Content"), "box", "bunches"))

    def on_shelves(self) -> Self:
        """Boxes that are no parcel of an order, by shelf and id."""
        return self.filter(parcel=False).order_by("shelf", "code")


class ContentQuerySet(models.QuerySet):
    """What is where now."""

    def there(self) -> Self:
        """Rows with a bunch in them, batches oldest first, boxes by shelf and id, the unboxed last."""
        return (
            self.filter(bunches__gt=0)
            .select_related("box", "batch__line__variety__species", "batch__run")
            .order_by("batch__on", "batch__pk", F("box__shelf").asc(nulls_last=True), "box__code", "pk")
        )

    def out_of_parcels(self) -> Self:
        """Rows that no order has been packed with."""
        return self.exclude(box__parcel=True)


class MovementQuerySet(FactQuerySet):
    """Rows of the stock book."""

    def in_place(self, batch_pk: int, box_pk: int | None) -> Self:
        """Rows of one batch in one box (None: not yet boxed)."""
        return self.filter(batch=batch_pk, box=box_pk) if box_pk else self.filter(batch=batch_pk, box__isnull=True)

    def by_day(self) -> list[DayChange]:
        """The change of each day, in order; what comes and goes within a day is one sum."""
        return list(self.order_by("on").values_list("on").annotate(n=Sum("bunches")))

    def still_to_check(self) -> Self:
        """Bunches found by a sale beyond the record that no later count has looked at."""
        counted = _rows("CountLine").filter(
            count__undone_at__isnull=True, batch=OuterRef("batch"), count__box=OuterRef("box"),
            count__recorded_at__gt=OuterRef("recorded_at"),
        )
        return self.standing().filter(to_check=True).exclude(Exists(counted)).order_by("on", "pk")

    def with_brought_back(self) -> Self:
        """Add `brought_back`: bunches that later rows bring back of this one."""
        return self.annotate(brought_back=total(_rows("Movement").standing(), "brings_back", "bunches"))

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("box", "batch__line__variety__species", "recorded_by")


class HoldQuerySet(FactQuerySet):
    """Holds and what they keep."""

    def with_kept(self) -> Self:
        """Add `kept`: bunches kept now."""
        return self.annotate(kept=total(_rows("HoldChange").standing(), "hold", "bunches"))

    def with_short(self) -> Self:
        """Add `short`: bunches left short and not filled again."""
        left_short = _rows("HoldChange").standing().filter(why__in=["short", "refilled"])
        return self.annotate(short=-total(left_short, "hold", "bunches"))

    def left_short(self) -> Self:
        """Standing holds with bunches left short, the oldest promise first."""
        return self.standing().with_short().filter(short__gt=0).order_by("on", "pk")


def with_loose(hangings: HangingQuerySet, on: date) -> HangingQuerySet:
    """Add `sound`, `bunched` and `loose`: sound stems not yet bunched at the end of that day."""
    used = _rows("RunInput").filter(run__undone_at__isnull=True, run__on__lte=on)
    return hangings.with_sound(on).annotate(bunched=total(used, "hanging", "stems"), loose=F("sound") - F("bunched"))


def lowest_from(changes: Iterable[DayChange], on: date) -> int:
    """The lowest running sum at the end of `on` or of any later day; several changes of a day count as one."""
    days: dict[date, int] = {on: 0}
    for day, change in changes:
        days[max(day, on)] = days.get(max(day, on), 0) + change
    return min(accumulate(days[day] for day in sorted(days)))


def lowest_in_place(batch_pk: int, box_pk: int | None, on: date) -> int:
    """The fewest bunches of a batch in a box on `on` or any later day."""
    return lowest_from(_rows("Movement").standing().in_place(batch_pk, box_pk).by_day(), on)


def lowest_loose(hanging: Hanging, on: date) -> int:
    """The fewest sound stems loose on `on` or any later day."""
    down = hanging.takings.standing().values_list("on", "sound")
    used = _rows("RunInput").filter(hanging=hanging, run__undone_at__isnull=True).values_list("run__on", "stems")
    return lowest_from([*down, *((day, -stems) for day, stems in used)], on)


def lowest_free(line: Line, on: date) -> int:
    """The fewest bunches of a line that nobody is promised on `on` or any later day."""
    moved = _rows("Movement").standing().filter(batch__line=line).exclude(kind="moved").by_day()
    kept = _rows("HoldChange").standing().filter(hold__line=line).values_list("on", "bunches")
    return lowest_from([*moved, *((day, -bunches) for day, bunches in kept)], on)


def lowest_kept(hold: Hold, on: date) -> int:
    """The fewest bunches a hold keeps on `on` or any later day."""
    return lowest_from(hold.changes.standing().values_list("on", "bunches"), on)


def there_on(box: Box, on: date) -> dict[int, int]:
    """What the record says is in a box at the end of a day: bunches by the batch's key, none left out but nil."""
    rows = _rows("Movement").standing_on(on).filter(box=box).order_by("batch").values_list("batch")
    return {batch: n for batch, n in rows.annotate(n=Sum("bunches")) if n}


def shortages_of(batch: Batch, on: date) -> list[tuple[Movement, int]]:
    """What counts up to that day wrote off of a batch and nothing has brought back yet, the last first."""
    rows = _rows("Movement").standing_on(on).filter(batch=batch, kind="written_off", count_line__isnull=False)
    rows = rows.with_brought_back().order_by("-on", "-pk")
    return [(row, -row.bunches - row.brought_back) for row in rows if -row.bunches > row.brought_back]


def pair_of(movement: Movement) -> Movement | None:
    """The other row of a move: rows of one line are written one after another, out first."""
    rows = _rows("Movement").filter(batch=movement.batch, kind="moved")
    if movement.bunches < 0:
        return rows.filter(pk__gt=movement.pk).order_by("pk").first()
    return rows.filter(pk__lt=movement.pk).order_by("-pk").first()


def found_for(sold: Movement) -> list[Movement]:
    """What a sale beyond the record found first: the standing rows directly before it in the same place."""
    before = _rows("Movement").in_place(sold.batch_id, sold.box_id).filter(pk__lt=sold.pk).order_by("-pk")
    return _run_of(before, lambda row: row.kind == "found" and row.to_check and row.on == sold.on and row.stands)


def left_short_by(movements: Iterable[Movement], line_pk: int) -> list[HoldChange]:
    """The promises of a line left short when these rows were posted.

    A line's rows are written one post after another, its shortages before the
    rows that caused them: those since the post before.
    """
    first = min(row.recorded_at for row in movements)
    earlier = _rows("Movement").filter(batch__line=line_pk, recorded_at__lt=first).order_by("-recorded_at").first()
    shorts = _rows("HoldChange").standing().filter(hold__line=line_pk, why="short", recorded_at__lte=first)
    return list(shorts.filter(recorded_at__gt=earlier.recorded_at) if earlier else shorts)


def found_by_count(first: Movement) -> list[Movement]:
    """The rows a count line wrote beside its first: those directly after it that no count line names."""
    after = _rows("Movement").in_place(first.batch_id, first.box_id).filter(pk__gt=first.pk).order_by("pk")
    return _run_of(
        after.select_related("count_line"),
        lambda row: row.kind == "found" and not row.to_check and row.on == first.on and not hasattr(row, "count_line"),
    )


def _run_of(rows: Iterable[Movement], belongs: Callable[[Movement], bool]) -> list[Movement]:
    found: list[Movement] = []
    for row in rows:
        if not belongs(row):
            break
        found.append(row)
    return found


def where_is(line: Line) -> ContentQuerySet:
    """All the places of a line now."""
    return _rows("Content").there().filter(batch__line=line)
