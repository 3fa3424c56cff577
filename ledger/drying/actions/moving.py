"""Moving a hanging, or part of it, to another place; undoing a hanging or a move."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, mark_undone, open_cost_object, record, refusal, require_standing

from ..models import Hanging, Place
from ..queries import stems_still_up
from .loft import whole_bunches
from .room import lock_place, require_room


@action("loft")
def move_hanging(*, by: User, hanging: Hanging, on: date, place: Place, stems: int, room: int = 1) -> Hanging:
    """Move stems still up to a drying place with room; they are a hanging of their own from then on."""
    place = lock_place(place)
    hanging = Hanging.objects.lock(hanging)
    require_standing(hanging)
    _check_move(hanging, on, stems)
    bundles = whole_bunches(stems, hanging.bunch_stems, "stems") if hanging.bunch_stems else None
    label = _("%(variety)s moved %(on)s to %(place)s") % {
        "variety": hanging.parting.lot.planting.variety, "on": on, "place": place,
    }
    moved = record(
        Hanging(
            cost_object=open_cost_object("hanging", str(label)), on=on, parting=hanging.parting, moved_from=hanging,
            place=place, stems=stems, room=room, bundles=bundles, bunch_stems=hanging.bunch_stems, trial=hanging.trial,
        ),
        by=by,
    )
    # Asked after the move, since a hanging moved whole gives its own room back that day.
    require_room(place, on, room, besides=moved)
    return moved


def _check_move(hanging: Hanging, on: date, stems: int) -> None:
    if on < hanging.on:
        raise refusal("on", _("It went up only on %(on)s."), code="too_early", on=hanging.on)
    if stems < 1:
        raise refusal("stems", _("At least one stem is moved."), code="too_few")
    left = stems_still_up(hanging)
    if stems > left:
        raise refusal("stems", _("Only %(left)d stems are still up."), code="too_many", left=left)


@action("loft")
def undo_hanging(*, by: User, hanging: Hanging) -> Hanging:
    """Undo a hanging nothing rests on; its stems are in water again, or hang where they were moved from.

    Where their old room was given away since, that place is overfull.
    """
    if hanging.moved_from is not None:
        Hanging.objects.lock(hanging.moved_from)
    undone = mark_undone(Hanging.objects.lock(hanging), by=by)
    if hanging.moved_from is None:
        undo_within(hanging.parting, by=by)
    return undone
