"""What may be asked of many hangings, takings down, readings and places at once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Self

from django.apps import apps
from django.db import models
from django.db.models import Case, F, Max, OuterRef, Q, QuerySet, Subquery, Sum, When
from django.db.models.functions import Coalesce, Greatest

from ledger.facts.models import FactQuerySet

if TYPE_CHECKING:
    from ..models import Place


def _takings() -> TakingDownQuerySet:
    return apps.get_model("drying", "TakingDown")._default_manager.all()


def _moves() -> HangingQuerySet:
    """Hangings of stems that came from another hanging, which is their `moved_from`."""
    return apps.get_model("drying", "Hanging")._default_manager.filter(moved_from__isnull=False)


def total(rows: QuerySet, link: str, of: str) -> Coalesce:
    """The sum of `of` over the rows whose `link` is the outer row, nil where there are none."""
    sums = rows.filter(**{link: OuterRef("pk")}).order_by().values(link).annotate(sum_of=Sum(of)).values("sum_of")
    return Coalesce(Subquery(sums), 0)


def _last_day(rows: FactQuerySet, link: str) -> Subquery:
    """The last day of the standing rows whose `link` is the outer row, NULL where there are none."""
    ever = rows.standing().filter(**{link: OuterRef("pk")}).order_by().values(link)
    return Subquery(ever.annotate(last=Max("on")).values("last"))


class HangingQuerySet(FactQuerySet):
    """What hangs, how much of it, and what came of it."""

    def with_stems_up(self, on: date) -> Self:
        """Add `stems_up`: stems left after all takings down and moves to the end of that day."""
        down = total(_takings().standing_on(on), "hanging", "stems")
        return self.with_moved(on).annotate(stems_up=F("stems") - F("moved") - down)

    def with_moved(self, on: date) -> Self:
        """Add `moved`: stems moved to other hangings by the end of that day."""
        return self.annotate(moved=total(_moves().standing_on(on), "moved_from", "stems"))

    def with_sound(self, on: date) -> Self:
        """Add `sound`: stems that came down sound by the end of that day."""
        return self.annotate(sound=total(_takings().standing_on(on), "hanging", "sound"))

    def with_lost(self, on: date) -> Self:
        """Add `lost`: stems that came down and were not sound by the end of that day."""
        came_down = total(_takings().standing_on(on), "hanging", "stems")
        return self.annotate(lost=came_down - total(_takings().standing_on(on), "hanging", "sound"))

    def with_down_on(self) -> Self:
        """Add `down_on`: the day the last stem came down or was moved on, NULL while any is up, over all days.

        `last_taking`: the day any last came down, NULL where none did.
        """
        gone = total(_takings().standing(), "hanging", "stems") + total(_moves().standing(), "moved_from", "stems")
        last_move = _last_day(_moves(), "moved_from")
        rows = self.annotate(gone_ever=gone, last_taking=_last_day(_takings(), "hanging"))
        later = Greatest(Coalesce(F("last_taking"), last_move), Coalesce(last_move, F("last_taking")))
        return rows.annotate(down_on=Case(When(gone_ever__gte=F("stems"), then=later)))

    def with_disaster(self, on: date) -> Self:
        """Add `is_disaster`: whether it stands marked as a disaster by the end of that day."""
        marks = apps.get_model("drying", "Disaster")._default_manager.standing_on(on)
        return self.annotate(is_disaster=models.Exists(marks.filter(hanging=OuterRef("pk"))))

    def still_up(self, on: date) -> Self:
        """Hangings with a stem still up that day, the longest hung first."""
        return self.with_stems_up(on).standing_on(on).filter(stems_up__gt=0).order_by("parting__on", "on", "pk")

    def finished(self, on: date) -> Self:
        """Hangings all of whose stems had come down or been moved on by the end of that day."""
        return self.with_stems_up(on).standing_on(on).filter(stems_up=0).order_by("on", "pk")

    def on_round(self, place: Place, on: date, also: Sequence[int] = ()) -> Self:
        """Hangings up in a place that day, and any named besides, the longest hung first."""
        rows = self.standing_on(on).filter(place=place).with_stems_up(on).whole()
        return rows.filter(Q(stems_up__gt=0) | Q(pk__in=also)).order_by("parting__on", "on", "pk")

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("place", "parting__lot__planting__variety__species", "parting__lot__planting__bed__plot")


class TakingDownQuerySet(FactQuerySet):
    """What came down."""

    def with_lost(self) -> Self:
        """Add `lost`: stems that came down and were not sound."""
        return self.annotate(lost=F("stems") - F("sound"))

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("hanging__place", "hanging__parting__lot__planting__variety__species")


class OddmentsQuerySet(FactQuerySet):
    """What was kept of the lost."""

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("hanging__place", "hanging__parting__lot__planting__variety__species")


class ReadingQuerySet(FactQuerySet):
    """What the instruments said."""

    def with_damp(self) -> Self:
        """Add `damp`: whether the humidity lay above the limit in force that day; never where none was set."""
        limits = apps.get_model("drying", "DampLimit")._default_manager.standing().filter(on__lte=OuterRef("on"))
        in_force = Subquery(limits.order_by("-on", "-pk").values("humidity_percent")[:1])
        return self.annotate(limit=in_force).annotate(
            damp=Case(When(humidity_percent__gt=F("limit"), then=True), default=False, output_field=models.BooleanField())
        )

    def latest_first(self) -> Self:
        """The latest first; of one day those without a time last."""
        return self.order_by("-on", F("at").desc(nulls_last=True), "-pk")

    def damp_again(self, on: date) -> Self:
        """The last humidity of each place by that day, where it was damp, by place."""
        said = self.model._default_manager.standing_on(on).filter(humidity_percent__isnull=False)
        last = said.filter(place=OuterRef("place")).latest_first().values("pk")[:1]
        return self.with_damp().filter(pk=Subquery(last), damp=True).select_related("place").order_by("place__name", "pk")


class PlaceQuerySet(models.QuerySet):
    """Drying places and how full they are."""

    def with_room_taken(self, on: date) -> Self:
        """Add `room_taken`: room of the hangings up that day; a place is free from the day its last stem came down."""
        hangings = apps.get_model("drying", "Hanging")._default_manager.standing_on(on).with_down_on()
        up = hangings.filter(Q(down_on__isnull=True) | Q(down_on__gt=on))
        return self.annotate(room_taken=total(up, "place", "room"))
