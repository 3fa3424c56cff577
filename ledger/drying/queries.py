"""Questions about hangings, the room they take and what is usually lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Self

from django.apps import apps
from django.db import models
from django.db.models import Case, F, Max, OuterRef, Q, QuerySet, Subquery, Sum, When
from django.db.models.functions import Coalesce, Greatest

from ledger.facts.models import FactQuerySet

if TYPE_CHECKING:
    from ledger.growing.models import Variety

    from .models import Disaster, Hanging, LossNorm, Place, TakingDown

WHOLE_BP = 10_000


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
        return self.with_stems_up(on).standing_on(on).filter(stems_up__gt=0).order_by("on", "pk")

    def finished(self, on: date) -> Self:
        """Hangings all of whose stems had come down by the end of that day."""
        return self.with_stems_up(on).standing_on(on).filter(stems_up=0).order_by("on", "pk")

    def on_round(self, place: Place, on: date, also: Sequence[int] = ()) -> Self:
        """Hangings up in a place that day, and any named besides, the longest hung first."""
        rows = self.standing_on(on).filter(place=place).with_stems_up(on).whole()
        return rows.filter(Q(stems_up__gt=0) | Q(pk__in=also)).order_by("on", "pk")

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


def stems_still_up(hanging: Hanging) -> int:
    """Stems still up after every standing taking down and move, whatever its day."""
    down = _takings().standing().filter(hanging=hanging).aggregate(n=Coalesce(Sum("stems"), 0))["n"]
    moved = _moves().standing().filter(moved_from=hanging).aggregate(n=Coalesce(Sum("stems"), 0))["n"]
    return hanging.stems - down - moved


def fullest_from(place: Place, on: date, *, besides: Hanging | None = None) -> int:
    """The most room taken in a place on any one day from `on` on, `besides` one hanging."""
    hangings = place.hangings.standing().with_down_on()
    if besides is not None:
        hangings = hangings.exclude(pk=besides.pk)
    stretches = list(hangings.values_list("on", "down_on", "room"))
    days = {on, *(first for first, _, _ in stretches if first > on)}
    return max(_taken(stretches, day) for day in days)


def room_taken_by_day(place: Place, first: date, last: date) -> list[tuple[date, int]]:
    """The room taken in a place on each day from the first to the last, both counted."""
    stretches = list(place.hangings.standing().with_down_on().values_list("on", "down_on", "room"))
    days = (first + timedelta(days=number) for number in range((last - first).days + 1))
    return [(day, _taken(stretches, day)) for day in days]


def _taken(stretches: Iterable[tuple[date, date | None, int]], day: date) -> int:
    return sum(room for first, gone, room in stretches if first <= day and (gone is None or day < gone))


def norm_in_force(variety: Variety, on: date) -> LossNorm | None:
    """The usual loss entered for a variety and in force that day, None where nobody entered one."""
    norms: FactQuerySet = apps.get_model("drying", "LossNorm")._default_manager.all()
    return norms.standing_on(on).filter(variety=variety).order_by("-on", "-pk").first()


def learnt_loss_bp(variety: Variety, on: date, *, besides: Hanging | None = None) -> int | None:
    """The share lost of earlier finished hangings no disaster, halves up; None before the first."""
    hangings = apps.get_model("drying", "Hanging")._default_manager.finished(on).with_disaster(on).with_lost(on)
    hangings = hangings.filter(parting__lot__planting__variety=variety, is_disaster=False)
    if besides is not None:
        hangings = hangings.exclude(pk=besides.pk)
    counts = list(hangings.values_list("stems", "lost"))
    hung, lost = sum(stems for stems, _ in counts), sum(lost for _, lost in counts)
    return min((2 * lost * WHOLE_BP + hung) // (2 * hung), WHOLE_BP - 1) if hung else None


def usual_loss_bp(variety: Variety, on: date, *, besides: Hanging | None = None) -> int:
    """The norm in force, else what was learnt, else nil, in hundredths of a per cent of stems hung."""
    norm = norm_in_force(variety, on)
    if norm is not None:
        return norm.share_bp
    return learnt_loss_bp(variety, on, besides=besides) or 0


def disaster_of(hanging: Hanging) -> Disaster | None:
    """The standing mark of a hanging, None where it is none."""
    return hanging.disasters.standing().first()


def losses_of(hanging: Hanging) -> list[tuple[str, int]]:
    """Stems of a hanging lost so far by reason, in words, most first."""
    losses = apps.get_model("drying", "Loss")._default_manager.filter(taking__hanging=hanging, taking__undone_at__isnull=True)
    sums = losses.order_by().values_list("reason").annotate(n=Sum("stems")).order_by("-n", "reason")
    words = dict(losses.model.Reason.choices)
    return [(words[reason], number) for reason, number in sums]


@dataclass(frozen=True)
class UsualDays:
    """Days a variety usually hangs until all is down; None: not known. On so many `hangings`; nil: the species list."""

    days: int | None
    hangings: int = 0


@dataclass(frozen=True)
class Up:
    """A hanging still up: for how many days, and how long such stems usually take here."""

    hanging: Hanging
    days: int
    usual: UsualDays

    @property
    def due(self) -> bool:
        """Whether it has hung as long as usual."""
        return self.usual.days is not None and self.days >= self.usual.days


def usual_days(varieties: Iterable[Variety], on: date) -> dict[int, UsualDays]:
    """For each variety, by key, the median of its hangings finished by that day, else the species' days to dry.

    Of an even number the mean of the middle two, halves up.
    """
    known = {one.pk: one for one in varieties}
    hangings = apps.get_model("drying", "Hanging")._default_manager.standing().with_down_on()
    hangings = hangings.filter(down_on__lte=on, parting__lot__planting__variety__in=known)
    took: dict[int, list[int]] = defaultdict(list)
    for variety, hung, down in hangings.values_list("parting__lot__planting__variety", "on", "down_on"):
        took[variety].append((down - hung) // timedelta(days=1))
    listed = {key: UsualDays(one.species.days_to_dry) for key, one in known.items()}
    return listed | {key: UsualDays(_median(days), len(days)) for key, days in took.items()}


def _median(numbers: Sequence[int]) -> int:
    ranked, middle = sorted(numbers), len(numbers) // 2
    return ranked[middle] if len(ranked) % 2 else (ranked[middle - 1] + ranked[middle] + 1) // 2


def hung_so_far(hangings: Iterable[Hanging], on: date) -> list[Up]:
    """Each hanging with the days it has hung and how long such stems usually take."""
    rows = [(hanging, hanging.parting.lot.planting.variety) for hanging in hangings]
    usual = usual_days((variety for _, variety in rows), on)
    return [Up(hanging, (on - hanging.on) // timedelta(days=1), usual[variety.pk]) for hanging, variety in rows]


def due_down(on: date) -> list[Up]:
    """What is due down that day, place by place, the longest hung first."""
    hangings = apps.get_model("drying", "Hanging")._default_manager.still_up(on).whole()
    return [up for up in hung_so_far(hangings.order_by("place__name", "on", "pk"), on) if up.due]
