"""What the daybook has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.http import urlencode
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.queries import holding, ledger_state
from ledger.reckoning.years import year_bounds, year_of

from .models import Clock, Material

ASKED_BEFORE, ASKED_AFTER = timedelta(days=30), timedelta(days=60)


def notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Clocks that run; materials to be counted for the year's end, or of which more was used than entered as bought."""
    if user.may("work"):
        yield from _clocks()
        yield from _to_count(on)
    if user.may("money"):
        for material in Material.objects.with_on_hand(on).filter(on_hand__lt=0):
            says = _("More of %(material)s was used than was entered as bought") % {"material": material}
            yield says, material.get_absolute_url()


def _clocks() -> Iterator[tuple[Any, str]]:
    running = Clock.objects.filter(stopped_at=None).select_related("worker").order_by("started_at", "pk")
    if not running:
        return
    zone = ZoneInfo(holding().time_zone)
    for clock in running:
        said = {"worker": clock.worker, "task": clock.get_task_display(), "at": f"{clock.started_at.astimezone(zone):%H:%M}"}
        yield _("The clock runs for %(worker)s since %(at)s: %(task)s") % said, reverse("daybook:stop_clock", args=[clock.pk])


def _to_count(on: date) -> Iterator[tuple[Any, str]]:
    """Materials used up by count, from a month before a year's end until they are counted, it is closed or two months went by."""
    end = _year_end_near(on)
    closed = ledger_state().closed_until
    if end is None or (closed is not None and closed >= end):
        return
    for material in Material.objects.to_count(min(on, end), since=end - ASKED_BEFORE):
        says = _("To be counted for the year's end on %(end)s: %(material)s") % {
            "material": material, "end": date_format(end),
        }
        asked = {"material": material.pk, **({"on": end.isoformat()} if on > end else {})}
        yield says, f"{reverse('daybook:count_material')}?{urlencode(asked)}"


def _year_end_near(on: date) -> date | None:
    """The last day of a year of the holding that is at most thirty days ahead or sixty past, None where none is."""
    kept = holding()
    ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
    year = year_of(on, **ends)
    past, coming = (year_bounds(one, **ends)[1] for one in (year - 1, year))
    if on <= past + ASKED_AFTER:
        return past
    return coming if on >= coming - ASKED_BEFORE else None
