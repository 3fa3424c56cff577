"""What a lot's ways out are worth, kept for sharing out its cost; and how long in water is too long."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal, require_standing

from ..models import CutValue, Lot, WaterLimit


@action("money")
def value_ways(*, by: User, lot: Lot, on: date, values: Mapping[str, int | None]) -> list[CutValue]:
    """Keep what a hundred stems of a lot are worth each way, net, less what finishing and selling them still costs.

    A value that stood for a way is undone and another put in its place; None
    leaves that way without. Ways not named stay as they are.
    """
    lot = Lot.objects.lock(lot)
    require_standing(lot)
    if on < lot.on:
        raise refusal("on", _("It was cut only on %(on)s."), code="too_early", on=lot.on)
    kept = []
    for way, per_hundred in values.items():
        before = lot.cut_values.standing().filter(way=way).first()
        if before is not None and before.per_hundred == per_hundred:
            continue
        if before is not None:
            undo_within(before, by=by)
        if per_hundred is not None:
            kept.append(record(CutValue(lot=lot, on=on, way=way, per_hundred=per_hundred), by=by, replaces=before))
    return kept


@action("money")
def undo_cut_value(*, by: User, cut_value: CutValue) -> CutValue:
    """Undo a value kept for one way; without any the lot's cost is shared by stems."""
    return undo_within(cut_value, by=by)


@action("field")
def set_water_limit(*, by: User, on: date, days: int) -> WaterLimit:
    """Set how many days in water are too long from a day on."""
    return record(WaterLimit(on=on, days=days), by=by)


@action("field")
def undo_water_limit(*, by: User, water_limit: WaterLimit) -> WaterLimit:
    """Undo such a limit; the one before it is in force again."""
    return undo_within(water_limit, by=by)
