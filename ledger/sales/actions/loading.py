"""Boxes taken along to a stall day."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal, require_standing
from ledger.sales.models import StallDay, StallLoad
from ledger.stock.models import Box
from ledger.stock.queries import held_back_by


@action("selling")
def load_boxes(*, by: User, stall_day: StallDay, boxes: Sequence[Box]) -> list[StallLoad]:
    """Take boxes along to a stall day; what is in them stays on hand and is sold there first.

    Refused for a parcel, a box held back that day, and one that another market has with it that day.
    """
    if not boxes:
        raise refusal(None, _("Tick the boxes that go along."), code="no_boxes")
    stall_day = StallDay.objects.lock(stall_day)
    require_standing(stall_day, "stall_day")
    require_not_back(stall_day)
    locked = Box.objects.select_for_update(no_key=True).filter(pk__in={box.pk for box in boxes}).order_by("pk")
    return [_load(by, stall_day, box) for box in locked]


def require_not_back(stall_day: StallDay) -> None:
    """Refuse a stall day whose goods were put away already."""
    if stall_day.backs.filter(undone_at=None).exists():
        raise refusal(None, _("What came back is put away already; undo that first."), code="back_already")


def _load(by: User, stall_day: StallDay, box: Box) -> StallLoad:
    if box.parcel:
        raise refusal(None, _("Box %(box)s is packed for an order; it stays here."), code="parcel", box=box)
    held_back = held_back_by(box, stall_day.on)
    if held_back is not None:
        raise refusal(None, _("%(what)s. Let it go first."), code="held_back", what=held_back)
    loads = StallLoad.objects.standing().filter(box=box, stall_day__on=stall_day.on, stall_day__undone_at=None)
    other = loads.select_related("stall_day").order_by("pk").first()
    if other is not None and other.stall_day_id == stall_day.pk:
        raise refusal(None, _("Box %(box)s is loaded already."), code="loaded_already", box=box)
    if other is not None:
        raise refusal(None, _("Box %(box)s is loaded for %(day)s."), code="loaded_elsewhere", box=box, day=str(other.stall_day))
    return record(StallLoad(on=stall_day.on, stall_day=stall_day, box=box), by=by)


@action("selling")
def undo_load(*, by: User, stall_load: StallLoad) -> StallLoad:
    """Leave a box at home after all; what was sold from it stays sold."""
    stall_day = StallDay.objects.lock(stall_load.stall_day)
    require_not_back(stall_day)
    return undo_within(stall_load, by=by)
