"""The verbs of drying: hang, take down, and what is made of the losses."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details, undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, open_cost_object, record, refusal, require_standing
from ledger.growing import actions as growing
from ledger.growing.models import Lot, Parting, Variety

from ..models import Disaster, Hanging, Loss, LossNorm, Place, TakingDown
from ..queries import WHOLE_BP, disaster_of, first_day_over, stems_still_up, usual_loss_bp
from .oddments import require_within_lost
from .room import lock_place, require_room


@action("loft")
def add_place(*, by: User, name: str, unit: str, room: int) -> Place:
    """Add a drying place with its room."""
    return keep(Place(cost_object=open_cost_object("place", name), name=name, unit=unit, room=room))


@action("loft")
def rename_place(*, by: User, place: Place, name: str, seen: Mapping[str, str] | None = None) -> Place:
    """Change a drying place's name, keeping what it was called before."""
    place = change_details(place, by=by, seen=dict(seen or {}), changes={"name": name})
    place.cost_object.label = name
    keep(place.cost_object)
    return place


@action("loft")
def hang(
    *, by: User, lot: Lot, on: date, place: Place, stems: int, room: int = 1, bundles: int | None = None,
    bunch_stems: int | None = None, trial: bool = False,
) -> Hanging:
    """Put part of a lot up in a drying place, if there is room that day.

    `bunch_stems`: hung as bunches of so many; `trial`: unusual material, judged apart.
    """
    place = lock_place(place)
    if bunch_stems:
        bundles = whole_bunches(stems, bunch_stems)
    parting = growing.part(by=by, lot=lot, on=on, way=Parting.Way.HUNG, stems=stems)
    require_room(place, on, room)
    label = _("%(variety)s hung %(on)s in %(place)s") % {"variety": lot.planting.variety, "on": on, "place": place}
    return record(
        Hanging(
            cost_object=open_cost_object("hanging", str(label)), on=on, parting=parting, place=place,
            stems=stems, room=room, bundles=bundles, bunch_stems=bunch_stems, trial=trial,
        ),
        by=by,
    )


def whole_bunches(stems: int, bunch_stems: int, field: str = "bunch_stems") -> int:
    """How many bunches of so many stems are: refused on `field` where they are no whole number."""
    if stems % bunch_stems:
        raise refusal(
            field, _("%(stems)d stems are no whole number of bunches of %(each)d."), code="not_whole",
            stems=stems, each=bunch_stems,
        )
    return stems // bunch_stems


@action("loft")
def take_down(
    *, by: User, hanging: Hanging, on: date, stems: int, losses: Mapping[str, int] | None = None,
    dried_g: int | None = None,
) -> TakingDown:
    """Record stems coming down, the lost ones by reason; refuse more than are left, whatever the dates."""
    lost = {reason: count for reason, count in (losses or {}).items() if count}
    hanging = Hanging.objects.lock(hanging)
    require_standing(hanging)
    _check_taking(hanging, on, stems, lost)
    taking = record(
        TakingDown(hanging=hanging, on=on, stems=stems, sound=stems - sum(lost.values()), dried_g=dried_g), by=by
    )
    for reason, count in lost.items():
        keep(Loss(taking=taking, reason=reason, stems=count))
    return taking


def _check_taking(hanging: Hanging, on: date, stems: int, lost: Mapping[str, int]) -> None:
    if on < hanging.on:
        raise refusal("on", _("It went up only on %(on)s."), code="too_early", on=hanging.on)
    if stems < 1:
        raise refusal("stems", _("At least one stem comes down."), code="too_few")
    left = stems_still_up(hanging)
    if stems > left:
        raise refusal("stems", _("Only %(left)d stems are still up."), code="too_many", left=left)
    if any(count < 0 for count in lost.values()):
        raise refusal(None, _("A loss cannot be below zero."), code="negative")
    if sum(lost.values()) > stems:
        raise refusal(
            "stems", _("%(lost)d are lost, but only %(stems)d came down."), code="more_lost_than_down",
            lost=sum(lost.values()), stems=stems,
        )


@action("loft")
def set_loss_norm(*, by: User, variety: Variety, on: date, share_bp: int) -> LossNorm:
    """Record the usual loss of a variety from a day on, in hundredths of a per cent of stems hung."""
    _require_share(share_bp)
    return record(LossNorm(variety=variety, on=on, share_bp=share_bp), by=by)


def _require_share(norm_bp: int) -> None:
    if not 0 <= norm_bp < WHOLE_BP:
        raise refusal("norm_bp", _("A usual loss must be less than the whole."), code="no_share")


@action("loft")
def mark_disaster(*, by: User, hanging: Hanging, on: date, why: str, norm_bp: int | None = None) -> Disaster:
    """Mark that a hanging's loss was no usual one, and keep the usual loss beside it."""
    hanging = Hanging.objects.lock(hanging)
    require_standing(hanging)
    if on < hanging.on:
        raise refusal("on", _("It went up only on %(on)s."), code="too_early", on=hanging.on)
    if norm_bp is None:
        norm_bp = usual_loss_bp(hanging.parting.lot.planting.variety, on, besides=hanging)
    _require_share(norm_bp)
    if disaster_of(hanging) is not None:
        raise refusal(None, _("It is already marked as a disaster."), code="already_marked")
    return record(Disaster(hanging=hanging, on=on, norm_bp=norm_bp, why=why), by=by)


@action("loft")
def undo_taking_down(*, by: User, taking: TakingDown) -> TakingDown:
    """Undo a taking down of which nothing was bunched or kept; where its room was given away since, the place is overfull."""
    hanging = Hanging.objects.lock(taking.hanging)
    taking = mark_undone(TakingDown.objects.lock(taking), by=by)
    _require_unused(hanging)
    require_within_lost(hanging)
    return taking


def _require_unused(hanging: Hanging) -> None:
    """Refuse when bunching runs used more than is sound now, on any day.

    Runs belong to a later stage and are reached by their related name.
    """
    down = hanging.takings.standing().values_list("on", "sound")
    used = hanging.run_inputs.filter(run__undone_at__isnull=True).values_list("run__on", "stems")
    if first_day_over(used, down) is not None:
        raise refusal(None, _("Its sound stems were bunched. Undo that run first."), code="rested_on")


@action("loft")
def undo_loss_norm(*, by: User, norm: LossNorm) -> LossNorm:
    """Undo a usual loss; the one before it is in force again."""
    return undo_within(norm, by=by)


@action("loft")
def undo_disaster(*, by: User, disaster: Disaster) -> Disaster:
    """Take a disaster's mark away; its loss is borne by the sound stems."""
    return undo_within(disaster, by=by)
