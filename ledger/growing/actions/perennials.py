"""Perennials: cut over, divided, their life estimated anew."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.queries import holding
from ledger.facts.writing import action, record, refusal
from ledger.reckoning.years import season_of

from ..models import Bed, CutOver, Division, Life, Planting
from .plantings import plant, undo_planting
from .standing import lock_standing, only_perennial, while_it_stood


@action("field")
def cut_over(*, by: User, planting: Planting, on: date, note: str = "") -> CutOver:
    """Record that a perennial was cut over; work on it from then on is for the next season."""
    planting = lock_standing(planting)
    only_perennial(planting)
    while_it_stood(planting, on)
    return record(CutOver(planting=planting, on=on, note=note), by=by)


@action("field")
def undo_cut_over(*, by: User, cut_over: CutOver) -> CutOver:
    """Undo that a perennial was cut over."""
    return undo_within(cut_over, by=by)


@action("field")
def estimate_life(*, by: User, planting: Planting, on: date, productive_seasons: int, why: str = "") -> Life:
    """Record how many productive seasons a perennial is now expected to have in all; what is left spreads over them."""
    planting = lock_standing(planting)
    only_perennial(planting)
    while_it_stood(planting, on)
    begun = season_of(on, first_month=holding().season_first_month) - planting.season + 1
    if productive_seasons < begun:
        raise refusal(
            "productive_seasons", _("Its season number %(begun)d has begun. Where that is its last, clear it when it is over."),
            code="too_short", begun=begun,
        )
    return record(Life(planting=planting, on=on, productive_seasons=productive_seasons, why=why), by=by)


@action("field")
def undo_life(*, by: User, life: Life) -> Life:
    """Undo an estimate of a perennial's life; the one before it is in force again."""
    return undo_within(life, by=by)


@action("field")
def divide(
    *, by: User, planting: Planting, on: date, bed: Bed, area_m2: Decimal, parts: int, of_parts: int,
    productive_seasons: int = 1, season: int | None = None, expected_stems: int | None = None,
) -> Division:
    """Divide a perennial: so many of its parts are planted in a bed as a planting of their own.

    Their share of what is left in the plants goes along. `season`: the first
    they are cut in, the one after this where it is left out.
    """
    planting = lock_standing(planting)
    only_perennial(planting)
    while_it_stood(planting, on)
    if parts >= of_parts:
        raise refusal("parts", _("Some of its parts must stay: fewer go along than there are."), code="not_below_whole")
    first = season or season_of(on, first_month=holding().season_first_month) + 1
    daughter = plant(
        by=by, on=on, variety=planting.variety, bed=bed, area_m2=area_m2, season=first, perennial=True,
        productive_seasons=productive_seasons, expected_stems=expected_stems,
    )
    return record(Division(planting=planting, on=on, daughter=daughter, parts=parts, of_parts=of_parts), by=by)


@action("field")
def undo_division(*, by: User, division: Division) -> Division:
    """Undo a division, with the planting it made unless something rests on that."""
    undone = undo_within(division, by=by)
    undo_planting(by=by, planting=division.daughter)
    return undone
