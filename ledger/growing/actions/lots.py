"""Cutting, and what leaves a lot."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, open_cost_object, record, refusal, require_standing
from ledger.reckoning.weighing import stems_by_weight

from ..models import Lot, Parting, Planting
from ..queries import stems_left_ever
from .standing import lock_standing, while_it_stood


@dataclass(frozen=True)
class Weighed:
    """The whole weighed in grams, and a sample of so many stems weighed too."""

    fresh_g: int | None = None
    sample_stems: int | None = None
    sample_g: int | None = None

    def __bool__(self) -> bool:
        return any(one is not None for one in (self.fresh_g, self.sample_stems, self.sample_g))

    def stems(self) -> int:
        """The stems of the whole, halves up; refused where one of the three is missing or the sample is the heavier."""
        if not self.fresh_g or not self.sample_stems or not self.sample_g:
            raise refusal(
                "fresh_g", _("By weight it needs the whole in grams, and the stems and the weight of a sample."), code="no_count"
            )
        if self.sample_g > self.fresh_g:
            raise refusal("sample_g", _("The sample cannot be heavier than the whole."), code="too_heavy")
        return stems_by_weight(self.fresh_g, sample_stems=self.sample_stems, sample_g=self.sample_g)


@action("field")
def cut(
    *, by: User, planting: Planting, on: date, stage: str, stems: int | None = None, bundles: int | None = None,
    per_bundle: int | None = None, about: bool = False, fresh_g: int | None = None, sample_stems: int | None = None,
    sample_g: int | None = None, dry: bool = False,
) -> Lot:
    """Record what was cut from a planting on one day, by stems, by bundles of so many or by weight.

    `about`: not counted to the stem, as what is weighed never is. `dry`: all of
    it came in dry and needs no hanging.
    """
    planting = lock_standing(planting)
    while_it_stood(planting, on)
    if planting.clearings.standing().filter(failed=True).exists():
        raise refusal("planting", _("It is entered as failed. Undo that clearing first, then clear it again."), code="failed")
    weighed = Weighed(fresh_g, sample_stems, sample_g)
    lot = Lot(
        planting=planting, on=on, stage=stage, stems=_stems(stems, bundles, per_bundle, weighed), bundles=bundles,
        per_bundle=per_bundle, fresh_g=fresh_g, sample_stems=sample_stems, sample_g=sample_g, about=about or bool(weighed),
    )
    label = _("%(variety)s cut %(on)s") % {"variety": planting.variety, "on": on}
    lot.cost_object = open_cost_object("lot", str(label))
    record(lot, by=by)
    if dry:
        record(Parting(lot=lot, on=on, way=Parting.Way.CUT_DRY, stems=lot.stems), by=by)
    return lot


def _stems(stems: int | None, bundles: int | None, per_bundle: int | None, weighed: Weighed) -> int:
    if weighed:
        if stems is not None or bundles is not None:
            raise refusal("fresh_g", _("Count it or weigh it, not both."), code="counted_twice")
        return weighed.stems()
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
def came_in_dry(*, by: User, lot: Lot, on: date, stems: int) -> Parting:
    """Record stems that are dry as they came and need no hanging; they wait loose to be bunched."""
    return part(by=by, lot=lot, on=on, way=Parting.Way.CUT_DRY, stems=stems)


@action("field")
def undo_lot(*, by: User, lot: Lot) -> Lot:
    """Undo a lot nothing has left; one that came in dry as a whole that day with its leaving."""
    for dry in lot.partings.standing().filter(way=Parting.Way.CUT_DRY, on=lot.on, stems=lot.stems):
        undo_within(dry, by=by)
    return undo_within(lot, by=by)


@action("field")
def undo_parting(*, by: User, parting: Parting) -> Parting:
    """Undo stems thrown out, drawn or cut dry; hung, sold and made-up ones are undone with what took them."""
    if parting.way in {Parting.Way.HUNG, Parting.Way.SOLD_FRESH, Parting.Way.MADE_UP}:
        raise refusal(None, _("Undo its hanging, its sale or its making-up instead."), code="rested_on")
    return undo_within(parting, by=by)
