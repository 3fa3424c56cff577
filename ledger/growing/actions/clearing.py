"""Clearing a planting, all of it or part of a bed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal

from ..models import Bed, Clearing, PartCleared, Planting
from ..queries import area_held
from .standing import lock_standing, not_before, not_before_last, while_it_stood


@action("field")
def clear(*, by: User, planting: Planting, on: date, why: str = "", failed: bool = False) -> Clearing:
    """Record that a planting left its beds; not before the last that was done to it. `failed`: nothing was cut of it."""
    planting = lock_standing(planting)
    not_before(planting, on)
    not_before_last(planting, on)
    if failed and planting.lots.standing().exists():
        raise refusal("failed", _("Stems were cut from it, so it did not fail. Clear it without that tick."), code="was_cut")
    return record(Clearing(planting=planting, on=on, why=why, failed=failed), by=by)


@action("field")
def undo_clearing(*, by: User, clearing: Clearing) -> Clearing:
    """Undo a clearing; where its room has been planted since, the bed is shown as overfull."""
    lock_standing(clearing.planting)
    return undo_within(clearing, by=by)


@action("field")
def clear_part(*, by: User, planting: Planting, on: date, bed: Bed, area_m2: Decimal, why: str = "") -> PartCleared:
    """Record that a planting gave up part of what it holds of a bed, or one of several beds; never all it holds."""
    planting = lock_standing(planting)
    while_it_stood(planting, on)
    bed = Bed.objects.lock(bed)
    held = area_held(planting, on, bed=bed)
    if area_m2 > held:
        raise refusal("area_m2", _("It holds only %(held)s m2 of %(bed)s from that day on."), code="too_much", held=held, bed=bed)
    if area_m2 >= area_held(planting, on):
        raise refusal("area_m2", _("That is all that stands of it. Clear it as a whole instead."), code="all_of_it")
    return record(PartCleared(planting=planting, on=on, bed=bed, area_m2=area_m2, why=why), by=by)


@action("field")
def undo_part_cleared(*, by: User, part_cleared: PartCleared) -> PartCleared:
    """Undo a clearing of part of a bed; where that has been planted since, the bed is shown as overfull."""
    lock_standing(part_cleared.planting)
    return undo_within(part_cleared, by=by)
