"""Questions asked of one kind of record: lines, runs, batches, boxes, the stock book, holds."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, Any, Self

from django.apps import apps
from django.db import models
from django.db.models import Exists, F, OuterRef, Prefetch, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce, Greatest

from ledger.drying.queries import total
from ledger.facts.models import FactQuerySet
from ledger.facts.queries import today

if TYPE_CHECKING:
    from ledger.stock.models import Box, Line

DayChange = tuple[date, int]


def place_of(box: Any) -> Coalesce:
    """The key of a box, nil for what is not yet boxed: two of them compare where NULL would not."""
    return Coalesce(box, 0, output_field=models.BigIntegerField())


def rows_of(model: str) -> QuerySet:
    """All rows of a record of stock, by its name."""
    return apps.get_model("stock", model)._default_manager.all()


class LineQuerySet(models.QuerySet):
    """Bunch lines with what is on hand, kept and free."""

    def on_hand_on(self, on: date) -> Self:
        """Add `there`: bunches on hand at the end of that day by the stock book."""
        return self.annotate(there=total(rows_of("Movement").standing_on(on), "batch__line", "bunches"))

    def held_on(self, on: date) -> Self:
        """Add `kept`: bunches kept for promises at the end of that day."""
        return self.annotate(kept=total(rows_of("HoldChange").standing_on(on), "hold__line", "bunches"))

    def free_on(self, on: date) -> Self:
        """Add `free` as it was at the end of a day by the stock book, lines with none left out."""
        boxes = rows_of("HeldBack").in_force(on).values("box")
        back = total(rows_of("Movement").standing_on(on).filter(box__in=boxes), "batch__line", "bunches")
        counted = self.on_hand_on(on).held_on(on).annotate(back=back)
        return counted.annotate(free=F("there") - F("kept") - F("back")).filter(free__gt=0)

    def with_free(self) -> Self:
        """Add `on_hand`, `held`, `held_back` (in boxes held back) and `free` as they are now."""
        boxes = rows_of("HeldBack").in_force(today()).values("box")
        held_back = total(rows_of("Content").filter(box__in=boxes), "batch__line", "bunches")
        return self.annotate(
            on_hand=Coalesce(F("balance__on_hand"), 0), held=Coalesce(F("balance__held"), 0), held_back=held_back,
        ).annotate(free=Greatest(F("on_hand") - F("held") - F("held_back"), 0))

    def promised_in_held_back(self, on: date) -> Self:
        """Add `in_held_back`: promised bunches that only boxes held back that day could give; lines with any, by key."""
        boxes = rows_of("HeldBack").in_force(on).values("box")
        back = total(rows_of("Content").filter(box__in=boxes), "batch__line", "bunches")
        lacking = F("balance__held") - F("balance__on_hand") + back
        return self.annotate(in_held_back=lacking).filter(in_held_back__gt=0, balance__held__gt=0).order_by("pk")

    def alike(self, line: Line) -> Self:
        """Lines that say the same, the sizes too."""
        same = {field: getattr(line, field) for field in ("variety", "name", "colour", "grade", "finish", "unit")}
        return self.filter(**same, stems=line.stems, grams=line.grams)

    def of_varieties(self, varieties: Iterable[int]) -> Self:
        """Lines of these varieties, and those of none."""
        return self.filter(Q(variety__in=set(varieties)) | Q(variety__isnull=True))

    def made_up(self, on: date) -> Self:
        """Lines with a name of their own or a recipe by that day."""
        return self.filter(~Q(name="") | Exists(rows_of("Recipe").standing_on(on).filter(line=OuterRef("pk"))))

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("variety__species", "balance")


class RecipeQuerySet(FactQuerySet):
    """Recipes."""

    def in_force(self, on: date) -> Self:
        """The latest of each line by that day."""
        latest = rows_of("Recipe").standing_on(on).filter(line=OuterRef("line")).order_by("-on", "-pk").values("pk")[:1]
        return self.filter(pk=Subquery(latest))

    def whole(self) -> Self:
        """With the records its name is made of."""
        return self.select_related("line__variety__species")


class RunQuerySet(FactQuerySet):
    """Runs."""

    def with_stems(self) -> Self:
        """Add `stems_in` and `bunches_made`."""
        return self.annotate(
            stems_in=total(rows_of("RunInput"), "run", "stems"),
            bunches_made=total(rows_of("Batch").standing(), "run", "made"),
        )


class RunInputQuerySet(models.QuerySet):
    """Stems that runs used."""

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related(
            "hanging__place", "hanging__parting__lot__planting__variety__species",
            "parting__lot__planting__variety__species", "oddments__hanging__place",
            "oddments__hanging__parting__lot__planting__variety__species",
        )


class BatchQuerySet(FactQuerySet):
    """Batches and what is left of them."""

    def with_on_hand(self, on: date) -> Self:
        """Add `there`: bunches of it on hand at the end of that day by the stock book."""
        return self.annotate(there=total(rows_of("Movement").standing_on(on), "batch", "bunches"))

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
        return self.annotate(bunches=total(rows_of("Content"), "box", "bunches"))

    def on_shelves(self) -> Self:
        """Boxes that are no parcel of an order, by shelf and id."""
        return self.filter(parcel=False).order_by("shelf", "code")

    def held_back(self, on: date) -> Self:
        """Boxes held back that day."""
        return self.filter(pk__in=rows_of("HeldBack").in_force(on).values("box"))


class HeldBackQuerySet(FactQuerySet):
    """Boxes held back."""

    def overlapping(self, box: Box, first: date, last: date) -> Self:
        """Those that hold a box back on any day of a stretch, the first first."""
        let_go = rows_of("LetGo").standing().filter(held_back=OuterRef("pk"), on__lte=first)
        rows = self.standing().filter(box=box, on__lte=last, until__gte=first)
        return rows.exclude(Exists(let_go)).order_by("on", "pk")

    def in_force(self, on: date) -> Self:
        """Those that hold a box back on that day: begun, not yet past, not let go."""
        let_go = rows_of("LetGo").standing_on(on).filter(held_back=OuterRef("pk"))
        return self.standing_on(on).filter(until__gte=on).exclude(Exists(let_go))


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

    def not_held_back(self, on: date) -> Self:
        """Rows in no box held back that day."""
        held_back = rows_of("HeldBack").in_force(on).filter(box=OuterRef("box"))
        return self.exclude(Exists(held_back))


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
        counted = rows_of("CountLine").filter(
            count__undone_at__isnull=True, batch=OuterRef("batch"), count__recorded_at__gt=OuterRef("recorded_at"),
        )
        counted = counted.alias(place=place_of("count__box")).filter(place=place_of(OuterRef("box")))
        return self.standing().filter(to_check=True).exclude(Exists(counted)).order_by("on", "pk")

    def with_brought_back(self) -> Self:
        """Add `brought_back`: bunches that later rows bring back of this one."""
        return self.annotate(brought_back=total(rows_of("Movement").standing(), "brings_back", "bunches"))

    def whole(self) -> Self:
        """With the records its row shows."""
        records = self.select_related("box", "batch__line__variety__species", "recorded_by")
        return records.prefetch_related(*_work_of_rows())

    def leaf(self) -> Self:
        """With the records its row in a list shows, fetched apart: joined, a long journal would be sorted whole for one leaf."""
        batches = rows_of("Batch").select_related("line__variety__species")
        return self.prefetch_related("box", Prefetch("batch", batches), *_work_of_rows())


def _work_of_rows() -> list[Prefetch]:
    """The job or workshop a row was taken for or came back from, by the names a later stage gave; a statement each."""
    rows = {"taken_row": "taken", "came_back_row": "came_back__taken"}
    found: Any = {name: rows_of("Movement").model._meta.get_field(name).related_model for name in rows}
    return [
        Prefetch(name, found[name]._base_manager.select_related(f"{path}__job", f"{path}__workshop"))
        for name, path in rows.items()
    ]


class StockTakeQuerySet(FactQuerySet):
    """Stock-takes and how far they have come."""

    def with_progress(self) -> Self:
        """Add `ended`: the day it was put into the book, NULL while it is open; `batches_counted`."""
        ended = rows_of("TakeEnd").standing().filter(take=OuterRef("pk")).values("on")[:1]
        counted = rows_of("TakeCounted").standing().filter(take=OuterRef("pk")).order_by().values("take")
        number = Subquery(counted.annotate(n=models.Count("pk")).values("n"))
        return self.annotate(ended=Subquery(ended), batches_counted=Coalesce(number, 0))


class TakeCountedQuerySet(FactQuerySet):
    """What was counted for stock-takes."""

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("box", "batch__line__variety__species", "batch__run", "recorded_by")


class HoldQuerySet(FactQuerySet):
    """Holds and what they keep."""

    def with_kept(self) -> Self:
        """Add `kept`: bunches kept now."""
        return self.annotate(kept=total(rows_of("HoldChange").standing(), "hold", "bunches"))

    def with_short(self) -> Self:
        """Add `short`: bunches left short and not filled again."""
        left_short = rows_of("HoldChange").standing().filter(why__in=["short", "refilled"])
        return self.annotate(short=-total(left_short, "hold", "bunches"))

    def of_jobs_over(self) -> Self:
        """Holds for a job that is done or cancelled: nothing is owed on them any more."""
        done = Q(job_hold__job__doings__isnull=False, job_hold__job__doings__undone_at=None)
        cancelled = Q(job_hold__job__cancellings__isnull=False, job_hold__job__cancellings__undone_at=None)
        return self.filter(done | cancelled).distinct()

    def left_short(self) -> Self:
        """Standing holds with bunches left short, the oldest promise first."""
        return self.standing().with_short().filter(short__gt=0).order_by("on", "pk")
