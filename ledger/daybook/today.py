"""What the daybook has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.queries import holding

from .models import Clock, Material


def notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Clocks that run; materials of which more was used than entered as bought."""
    if user.may("work"):
        yield from _clocks()
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
