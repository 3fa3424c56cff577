"""The room of a drying place, held while something is put there."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.writing import refusal

from ..models import Hanging, Place
from ..queries import room_taken_on


def lock_place(place: Place) -> Place:
    """Read a place again and hold it until the transaction ends."""
    return Place.objects.select_for_update(no_key=True).get(pk=place.pk)


def require_room(place: Place, on: date, room: int, *, besides: Hanging | None = None) -> None:
    """Refuse when a place lacks so much room that very day, one hanging left out.

    Later days are not asked: what is entered late has happened, and a place
    that is overfull since is shown as such until what lacks is entered.
    """
    free = place.room - room_taken_on(place, on, besides=besides)
    if room > free:
        raise refusal(
            "room", _("%(place)s has room for %(free)d %(unit)s more on %(on)s. Enter first what came down there by then."),
            code="no_room", place=place, free=max(free, 0), unit=place.get_unit_display(), on=on,
        )
