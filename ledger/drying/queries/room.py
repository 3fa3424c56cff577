"""Stems still up, and the room they take."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from django.apps import apps
from django.db.models import QuerySet, Sum
from django.db.models.functions import Coalesce

from ledger.reckoning.overfull import Overfull, overfull_days

if TYPE_CHECKING:
    from ..models import Hanging, Place

ONE_DAY = timedelta(days=1)


def stems_still_up(hanging: Hanging) -> int:
    """Stems still up after every standing taking down and move, whatever its day."""
    return hanging.stems - _stems_of(hanging.takings.standing()) - _stems_of(hanging.moved_to.standing())


def _stems_of(rows: QuerySet) -> int:
    return rows.aggregate(n=Coalesce(Sum("stems"), 0))["n"]


def room_taken_on(place: Place, on: date, *, besides: Hanging | None = None) -> int:
    """The room taken in a place that day, `besides` one hanging."""
    hangings = place.hangings.standing_on(on).with_down_on()
    if besides is not None:
        hangings = hangings.exclude(pk=besides.pk)
    return _taken(hangings.values_list("on", "down_on", "room"), on)


def overfull_in(place: Place) -> list[Overfull[int]]:
    """The days on which more hangs in a place than it has room for: facts were entered late, or one is missing or wrong."""
    return overfull_days(place.hangings.standing().with_down_on().values_list("on", "down_on", "room"), place.room)


def overfull_places(after: date | None) -> list[tuple[Place, Overfull[int]]]:
    """Every place with more in it than it has room for on a day after that one (None: on any), by place and day."""
    hangings = apps.get_model("drying", "Hanging")._default_manager.standing().with_down_on()
    taken: dict[int, list[tuple[date, date | None, int]]] = defaultdict(list)
    for place, *stay in hangings.values_list("place", "on", "down_on", "room"):
        taken[place].append(tuple(stay))
    places = apps.get_model("drying", "Place")._default_manager.order_by("name", "pk")
    days = ((place, one) for place in places for one in overfull_days(taken[place.pk], place.room))
    return [(place, one) for place, one in days if after is None or one.until is None or one.until > after + ONE_DAY]


def room_taken_by_day(place: Place, first: date, last: date) -> list[tuple[date, int]]:
    """The room taken in a place on each day from the first to the last, both counted."""
    stretches = list(place.hangings.standing().with_down_on().values_list("on", "down_on", "room"))
    days = (first + timedelta(days=number) for number in range((last - first).days + 1))
    return [(day, _taken(stretches, day)) for day in days]


def _taken(stretches: Iterable[tuple[date, date | None, int]], day: date) -> int:
    return sum(room for first, gone, room in stretches if first <= day and (gone is None or day < gone))
