"""The room of a drying place, held while something is put there."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.writing import refusal

from ..models import Hanging, Place
from ..queries import fullest_from


def lock_place(place: Place) -> Place:
    """Read a place again and hold it until the transaction ends."""
    return Place.objects.select_for_update(no_key=True).get(pk=place.pk)


def require_room(place: Place, on: date, room: int, *, besides: Hanging | None = None) -> None:
    """Refuse when a place lacks so much room on any day from `on`, one hanging left out."""
    free = place.room - fullest_from(place, on, besides=besides)
    if room > free:
        raise refusal(
            "room", _("%(place)s has room for %(free)d %(unit)s more from that day on."), code="no_room",
            place=place, free=max(free, 0), unit=place.get_unit_display(),
        )
