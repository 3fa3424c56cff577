"""The verbs of growing: plots and beds, planting and clearing, cutting, and what leaves a lot."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details, undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, open_cost_object, record, refusal, require_standing

from .models import Bed, Clearing, Expectation, Lot, Parting, Planting, Plot, Species, Variety
from .queries import cleared_on, free_area, stems_left_ever, unlaid_area, usual_stems

YEARS_TO_FIRST_CUT = 15


@action("field")
def add_plot(*, by: User, name: str, kind: str, area_m2: Decimal) -> Plot:
    """Add a plot of open ground, tunnel or glass; its yearly cost is entered by year."""
    return keep(Plot(cost_object=open_cost_object("plot", name), name=name, kind=kind, area_m2=area_m2))


@action("field")
def rename_plot(*, by: User, plot: Plot, name: str, seen: Mapping[str, str] | None = None) -> Plot:
    """Change a plot's name, keeping what it was called before."""
    plot = change_details(plot, by=by, seen=dict(seen or {}), changes={"name": name})
    plot.cost_object.label = name
    keep(plot.cost_object)
    return plot


@action("field")
def rename_bed(*, by: User, bed: Bed, name: str, seen: Mapping[str, str] | None = None) -> Bed:
    """Change a bed's name, keeping what it was called before."""
    return change_details(bed, by=by, seen=dict(seen or {}), changes={"name": name})


@action("field")
def add_bed(*, by: User, plot: Plot, name: str, area_m2: Decimal) -> Bed:
    """Add a bed to a plot; the beds of a plot never exceed its area."""
    plot = Plot.objects.select_for_update(no_key=True).get(pk=plot.pk)
    left = unlaid_area(plot)
    if area_m2 > left:
        raise refusal("area_m2", _("%(plot)s has only %(left)s m2 left for beds."), code="too_large", plot=plot, left=left)
    return keep(Bed(plot=plot, name=name, area_m2=area_m2))


@action("field")
def add_species(*, by: User, name: str, **details: Any) -> Species:
    """Add a species with what is known of it."""
    return keep(Species(name=name, **details))


@action("field")
def change_species(*, by: User, species: Species, changes: Mapping[str, Any], seen: Mapping[str, str] | None = None) -> Species:
    """Change a species' name, caution or usual figures, keeping what stood before."""
    return change_details(species, by=by, seen=dict(seen or {}), changes=dict(changes))


@action("field")
def add_variety(*, by: User, species: Species, name: str, colour: str = "") -> Variety:
    """Add a variety of a species."""
    return keep(Variety(species=species, name=name, colour=colour))


@action("field")
def change_variety(*, by: User, variety: Variety, changes: Mapping[str, Any], seen: Mapping[str, str] | None = None) -> Variety:
    """Change a variety's name or colour, keeping what stood before."""
    return change_details(variety, by=by, seen=dict(seen or {}), changes=dict(changes))


@action("field")
def plant(
    *, by: User, on: date, variety: Variety, bed: Bed, area_m2: Decimal, season: int, perennial: bool = False,
    productive_seasons: int = 1, expected_stems: int | None = None, planned_cost: int | None = None,
) -> Planting:
    """Plant a variety in a bed or part of one, with the stems expected of its season.

    Left out, the expectation is last season's stems to the m2 of that variety,
    else the species list's; where neither is known none is recorded.
    """
    bed = Bed.objects.lock(bed)
    free = free_area(bed, on)
    if area_m2 > free:
        raise refusal("area_m2", _("Only %(free)s m2 of %(bed)s are free from that day on."), code="no_room", free=free, bed=bed)
    _check_season(on, season)
    key = open_cost_object("planting", f"{variety}, {bed}, {season}")
    planting = record(
        Planting(
            cost_object=key, on=on, variety=variety, bed=bed, area_m2=area_m2, season=season,
            perennial=perennial, productive_seasons=productive_seasons,
        ),
        by=by,
    )
    stems = expected_stems or usual_stems(variety, area_m2, season)
    if planned_cost is not None and not stems:
        raise refusal("expected_stems", _("A plan of costs needs the stems that are expected."), code="no_stems")
    if stems:
        record(Expectation(planting=planting, on=on, season=season, stems=stems, planned_cost=planned_cost), by=by)
    return planting


def _check_season(on: date, season: int) -> None:
    if season < on.year - 1:
        raise refusal("season", _("That season was over before it was planted."), code="too_early")
    if season > on.year + YEARS_TO_FIRST_CUT:
        raise refusal("season", _("That season lies too far ahead; check the year."), code="too_far")


@action("field")
def expect(
    *, by: User, planting: Planting, on: date, season: int, stems: int, planned_cost: int | None = None
) -> Expectation:
    """Record what a planting is now expected to give and cost in one season."""
    planting = _lock(planting)
    _not_before(planting, on)
    if season < planting.season or (season > planting.season and not planting.perennial):
        raise refusal("season", _("Its first season is %(season)d."), code="no_season", season=planting.season)
    return record(Expectation(planting=planting, on=on, season=season, stems=stems, planned_cost=planned_cost), by=by)


@action("field")
def clear(*, by: User, planting: Planting, on: date, why: str = "") -> Clearing:
    """Record that a planting left its bed; not before the last lot cut from it."""
    planting = _lock(planting)
    _not_before(planting, on)
    last = planting.lots.standing().order_by("-on").first()
    if last is not None and on < last.on:
        raise refusal("on", _("Stems were still cut from it on %(last)s."), code="too_early", last=last.on)
    return record(Clearing(planting=planting, on=on, why=why), by=by)


def _lock(planting: Planting) -> Planting:
    locked = Planting.objects.lock(planting)
    require_standing(locked)
    return locked


def _not_before(planting: Planting, on: date) -> None:
    if on < planting.on:
        raise refusal("on", _("It was planted only on %(on)s."), code="too_early", on=planting.on)


@action("field")
def cut(
    *, by: User, planting: Planting, on: date, stage: str, stems: int | None = None, bundles: int | None = None,
    per_bundle: int | None = None,
) -> Lot:
    """Record what was cut from a planting on one day, by stems or by bundles of so many."""
    planting = _lock(planting)
    _not_before(planting, on)
    gone = cleared_on(planting)
    if gone is not None and on > gone:
        raise refusal("on", _("It was cleared on %(gone)s."), code="cleared", gone=gone)
    label = _("%(variety)s cut %(on)s") % {"variety": planting.variety, "on": on}
    lot = Lot(
        planting=planting, on=on, stage=stage, bundles=bundles, per_bundle=per_bundle,
        stems=_stems(stems, bundles, per_bundle),
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
def undo_planting(*, by: User, planting: Planting) -> Planting:
    """Undo a planting nothing rests on, with what was expected of it."""
    for expectation in planting.expectations.standing():
        undo_within(expectation, by=by)
    return undo_within(planting, by=by)


@action("field")
def undo_expectation(*, by: User, expectation: Expectation) -> Expectation:
    """Undo an expectation; the one before it is in force again."""
    return undo_within(expectation, by=by)


@action("field")
def undo_clearing(*, by: User, clearing: Clearing) -> Clearing:
    """Undo a clearing, unless its room in the bed has been given away."""
    planting = clearing.planting
    Bed.objects.lock(planting.bed)
    free = free_area(planting.bed, clearing.on, besides=planting)
    if planting.area_m2 > free:
        raise refusal(None, _("Its part of the bed has been planted since."), code="no_room")
    return undo_within(clearing, by=by)


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
