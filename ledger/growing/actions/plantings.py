"""Planting, expecting and clearing."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, open_cost_object, record, refusal

from ..models import Bed, Clearing, Expectation, GoneOver, Planting, Variety
from ..queries import cleared_on, free_area, usual_stems
from .standing import lock_standing, not_before

YEARS_TO_FIRST_CUT = 15


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
    planting = lock_standing(planting)
    not_before(planting, on)
    if season < planting.season or (season > planting.season and not planting.perennial):
        raise refusal("season", _("Its first season is %(season)d."), code="no_season", season=planting.season)
    return record(Expectation(planting=planting, on=on, season=season, stems=stems, planned_cost=planned_cost), by=by)


@action("field")
def clear(*, by: User, planting: Planting, on: date, why: str = "") -> Clearing:
    """Record that a planting left its bed; not before the last lot cut from it."""
    planting = lock_standing(planting)
    not_before(planting, on)
    last = planting.lots.standing().order_by("-on").first()
    if last is not None and on < last.on:
        raise refusal("on", _("Stems were still cut from it on %(last)s."), code="too_early", last=last.on)
    return record(Clearing(planting=planting, on=on, why=why), by=by)


@action("field")
def undo_planting(*, by: User, planting: Planting) -> Planting:
    """Undo a planting nothing rests on, with what was expected of it and what went over."""
    for noted in (*planting.expectations.standing(), *planting.gone_over.standing()):
        undo_within(noted, by=by)
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
def note_gone_over(*, by: User, planting: Planting, on: date, stems: int, why: str = "") -> GoneOver:
    """Record about so many stems spoiled uncut while the planting stood in its bed."""
    planting = lock_standing(planting)
    not_before(planting, on)
    gone = cleared_on(planting)
    if gone is not None and on > gone:
        raise refusal("on", _("It was cleared on %(gone)s."), code="cleared", gone=gone)
    return record(GoneOver(planting=planting, on=on, stems=stems, why=why), by=by)


@action("field")
def undo_gone_over(*, by: User, gone_over: GoneOver) -> GoneOver:
    """Undo that stems went over."""
    return undo_within(gone_over, by=by)
