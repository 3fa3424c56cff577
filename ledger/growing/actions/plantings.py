"""Planting and expecting, and what went over."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.queries import holding
from ledger.facts.writing import action, open_cost_object, record, refusal
from ledger.reckoning.years import season_of

from ..models import Bed, Expectation, GoneOver, Planting, Variety
from ..queries import free_area, usual_stems
from .standing import lock_standing, not_before, while_it_stood

YEARS_TO_FIRST_CUT = 15


@action("field")
def plant(
    *, by: User, on: date, variety: Variety, season: int, bed: Bed | None = None, area_m2: Decimal | None = None,
    origin: str = Planting.Origin.BED, plants: int | None = None, perennial: bool = False,
    productive_seasons: int = 1, expected_stems: int | None = None, planned_cost: int | None = None,
) -> Planting:
    """Plant a variety in a bed or part of one, or begin it without, with the stems expected of its season.

    Raised in trays or gathered it has no bed. Left out, the expectation is last
    season's stems to the m2 of that variety, else the species list's; where
    neither is known, or there is no area, none is recorded.
    """
    bed = _bed_for(origin, bed, area_m2, on)
    _check_season(on, season)
    begun = bed or Planting.Origin(origin).label
    planting = record(
        Planting(
            cost_object=open_cost_object("planting", f"{variety}, {begun}, {season}"), on=on, variety=variety, origin=origin,
            bed=bed, area_m2=area_m2, plants=plants, season=season, perennial=perennial, productive_seasons=productive_seasons,
        ),
        by=by,
    )
    stems = expected_stems or usual_stems(variety, area_m2, season)
    if planned_cost is not None and not stems:
        raise refusal("expected_stems", _("A plan of costs needs the stems that are expected."), code="no_stems")
    if stems:
        record(Expectation(planting=planting, on=on, season=season, stems=stems, planned_cost=planned_cost), by=by)
    return planting


def _bed_for(origin: str, bed: Bed | None, area_m2: Decimal | None, on: date) -> Bed | None:
    """Hold the bed; refuse one that is missing, full, or given to what has none."""
    if origin not in Planting.Origin.values:
        raise refusal("origin", _("Say how it began."), code="unknown")
    if bed is None and area_m2 is not None:
        raise refusal("bed", _("Choose the bed that area is taken of, or leave the area empty."), code="no_bed")
    if bed is None and origin == Planting.Origin.BED:
        raise refusal("bed", _("Choose the bed, or say that it is in trays, sowed itself or was gathered."), code="no_bed")
    if bed is None:
        return None
    if origin in {Planting.Origin.TRAYS, Planting.Origin.GATHERED}:
        raise refusal("bed", _("Trays take their bed when they are planted out; what is gathered has none."), code="no_bed_yet")
    if area_m2 is None:
        raise refusal("area_m2", _("A bed needs the area taken of it."), code="no_area")
    return take_room(bed, area_m2, on)


def take_room(bed: Bed, area_m2: Decimal, on: date) -> Bed:
    """Hold a bed; refuse more of it than is free that very day.

    Later days are not asked: what is entered late has happened, and a bed that
    is overfull since is shown as such until the clearing that lacks is entered.
    """
    bed = Bed.objects.lock(bed)
    free = free_area(bed, on)
    if area_m2 > free:
        raise refusal(
            "area_m2", _("Only %(free)s m2 of %(bed)s are free on %(on)s. Enter first what was cleared of it by then."),
            code="no_room", free=free, bed=bed, on=on,
        )
    return bed


def _check_season(on: date, season: int) -> None:
    if season < season_of(on, first_month=holding().season_first_month):
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
def undo_planting(*, by: User, planting: Planting) -> Planting:
    """Undo a planting nothing rests on, with what was expected of it, what went over and what was dumped."""
    for noted in (*planting.expectations.standing(), *planting.gone_over.standing(), *planting.seedlings_dumped.standing()):
        undo_within(noted, by=by)
    return undo_within(planting, by=by)


@action("field")
def undo_expectation(*, by: User, expectation: Expectation) -> Expectation:
    """Undo an expectation; the one before it is in force again."""
    return undo_within(expectation, by=by)


@action("field")
def note_gone_over(*, by: User, planting: Planting, on: date, stems: int, why: str = "") -> GoneOver:
    """Record about so many stems spoiled uncut while the planting stood in its bed."""
    planting = lock_standing(planting)
    while_it_stood(planting, on)
    return record(GoneOver(planting=planting, on=on, stems=stems, why=why), by=by)


@action("field")
def undo_gone_over(*, by: User, gone_over: GoneOver) -> GoneOver:
    """Undo that stems went over."""
    return undo_within(gone_over, by=by)
