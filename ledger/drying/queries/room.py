"""Stems still up, and the room they take."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from django.db.models import QuerySet, Sum
from django.db.models.functions import Coalesce

if TYPE_CHECKING:
    from ..models import Hanging, Place


def stems_still_up(hanging: Hanging) -> int:
    """Stems still up after every standing taking down and move, whatever its day."""
    return hanging.stems - _stems_of(hanging.takings.standing()) - _stems_of(hanging.moved_to.standing())


def _stems_of(rows: QuerySet) -> int:
    return rows.aggregate(n=Coalesce(Sum("stems"), 0))["n"]


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
