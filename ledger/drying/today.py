"""What drying has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from ledger.facts.models import User
from ledger.facts.queries import ledger_state

from .models import Hanging, Reading
from .queries import due_down, overfull_places


def notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Hangings up as long as such stems usually take, places damp again where something hangs, places overfull."""
    if not user.may("loft"):
        return
    due = len(due_down(on))
    if due:
        says = ngettext("%(n)d hanging should be dry by now", "%(n)d hangings should be dry by now", due) % {"n": due}
        yield says, reverse("drying:due_down")
    full = Hanging.objects.still_up(on).order_by().values("place")
    for reading in Reading.objects.damp_again(on).filter(place__in=full):
        told = {"place": reading.place, "humidity": reading.humidity_percent, "on": date_format(reading.on)}
        yield _("%(place)s is damp again: %(humidity)d %% on %(on)s") % told, reading.get_absolute_url()
    yield from _overfull()


def _overfull() -> Iterator[tuple[Any, str]]:
    """Places with more in them than they have room for on a day that is still open."""
    for place, one in overfull_places(after=ledger_state().closed_until):
        told = {
            "place": place, "held": one.most, "room": place.room, "unit": place.get_unit_display(), "on": date_format(one.day),
        }
        says = _("%(place)s holds %(held)d of %(room)d %(unit)s on %(on)s: a taking down may not be entered yet") % told
        yield says, place.get_absolute_url()
