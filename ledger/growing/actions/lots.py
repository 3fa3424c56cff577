"""Cutting, and what leaves a lot."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, open_cost_object, record, refusal, require_standing

from ..models import Lot, Parting, Planting
from ..queries import cleared_on, stems_left_ever
from .standing import lock_standing, not_before


@action("field")
def cut(
    *, by: User, planting: Planting, on: date, stage: str, stems: int | None = None, bundles: int | None = None,
    per_bundle: int | None = None, about: bool = False,
) -> Lot:
    """Record what was cut from a planting on one day, by stems or by bundles of so many; `about`: not counted to the stem."""
    planting = lock_standing(planting)
    not_before(planting, on)
    gone = cleared_on(planting)
    if gone is not None and on > gone:
        raise refusal("on", _("It was cleared on %(gone)s."), code="cleared", gone=gone)
    label = _("%(variety)s cut %(on)s") % {"variety": planting.variety, "on": on}
    lot = Lot(
        planting=planting, on=on, stage=stage, bundles=bundles, per_bundle=per_bundle,
        stems=_stems(stems, bundles, per_bundle), about=about,
    )
    lot.cost_object = open_cost_object("lot", str(label))
    return record(lot, by=by)


def _stems(stems: int | None, bundles: int | None, per_bundle: int | None) -> int:
    if bundles is None and per_bundle is None:
        if stems is None:
            raise refusal("stems", _("Enter stems, or bundles and stems to the bundle."), code="no_count")
        return stems
    if not bundles or not per_bundle:
        raise refusal("bundles", _("Bundles need both their number and the stems to a bundle."), code="no_count")
    if stems is not None and stems != bundles * per_bundle:
        raise refusal("stems", _("Bundles times stems to the bundle is not the number of stems."), code="does_not_add_up")
    return bundles * per_bundle


@action("field")
def part(*, by: User, lot: Lot, on: date, way: str, stems: int, why: str = "") -> Parting:
    """Record stems leaving a lot; never more than are left, whatever the dates."""
    lot = Lot.objects.lock(lot)
    require_standing(lot)
    if on < lot.on:
        raise refusal("on", _("It was cut only on %(on)s."), code="too_early", on=lot.on)
    left = stems_left_ever(lot)
    if stems > left:
        raise refusal("stems", _("Only %(left)d stems of this lot are left."), code="too_many", left=left)
    return record(Parting(lot=lot, on=on, way=way, stems=stems, why=why), by=by)


@action("field")
def throw_out(*, by: User, lot: Lot, on: date, stems: int, why: str = "") -> Parting:
    """Record stems thrown out at the cut; what is left of the lot bears them."""
    return part(by=by, lot=lot, on=on, way=Parting.Way.THROWN_OUT, stems=stems, why=why)


@action("field")
def draw_stems(*, by: User, lot: Lot, on: date, stems: int, why: str = "") -> Parting:
    """Record stems taken and never sold: display, sample, gift, home use."""
    return part(by=by, lot=lot, on=on, way=Parting.Way.DRAWN, stems=stems, why=why)


@action("field")
def undo_lot(*, by: User, lot: Lot) -> Lot:
    """Undo a lot nothing has left."""
    return undo_within(lot, by=by)


@action("field")
def undo_parting(*, by: User, parting: Parting) -> Parting:
    """Undo stems thrown out, drawn or cut dry; hung and sold ones are undone with their hanging or sale."""
    if parting.way in {Parting.Way.HUNG, Parting.Way.SOLD_FRESH}:
        raise refusal(None, _("Undo its hanging or its sale instead."), code="rested_on")
    return undo_within(parting, by=by)
