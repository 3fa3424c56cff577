"""From trays to beds: planting out, and dumping what is spare."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal

from ..models import Bed, Expectation, PlantedOut, Planting, SeedlingsDumped
from ..queries import area_held, cleared_on, plants_left, usual_stems
from .plantings import take_room
from .standing import lock_standing, while_it_stood


@action("field")
def plant_out(
    *, by: User, planting: Planting, on: date, bed: Bed, area_m2: Decimal, plants: int | None = None,
    expected_stems: int | None = None,
) -> PlantedOut:
    """Set plants out in a bed or part of one, which they hold from that day.

    The stems expected of its first season follow the area, as for any
    planting, unless somebody entered another number.
    """
    planting = lock_standing(planting)
    while_it_stood(planting, on)
    if planting.origin == Planting.Origin.GATHERED:
        raise refusal(None, _("It was gathered, so there is nothing to plant out."), code="gathered")
    _enough_plants(planting, plants)
    bed = take_room(bed, area_m2, on, until=cleared_on(planting))
    by_area = usual_stems(planting.variety, _area_ever(planting), planting.season)
    out = record(PlantedOut(planting=planting, on=on, bed=bed, area_m2=area_m2, plants=plants), by=by)
    stems = expected_stems or _following(planting, by_area)
    if stems:
        latest = _latest(planting)
        plan = latest.planned_cost if latest is not None else None
        record(Expectation(planting=planting, on=on, season=planting.season, stems=stems, planned_cost=plan), by=by)
    return out


def _enough_plants(planting: Planting, plants: int | None) -> None:
    left = plants_left(planting)
    if plants is not None and left is not None and plants > left:
        raise refusal("plants", _("Only %(left)d of the plants raised are left."), code="too_many", left=left)


def _area_ever(planting: Planting) -> Decimal:
    """The area it was sown and planted out on, over all days."""
    taken = [planting.area_m2, *planting.planted_out.standing().values_list("area_m2", flat=True)]
    return sum((area for area in taken if area is not None), Decimal(0))


def _latest(planting: Planting) -> Expectation | None:
    return planting.expectations.standing().filter(season=planting.season).order_by("-on", "-pk").first()


def _following(planting: Planting, by_area: int | None) -> int | None:
    """The stems its area now gives, None where another number than that of its area before is expected."""
    latest = _latest(planting)
    if latest is not None and latest.stems != by_area:
        return None
    return usual_stems(planting.variety, _area_ever(planting), planting.season)


@action("field")
def undo_planted_out(*, by: User, planted_out: PlantedOut) -> PlantedOut:
    """Undo a planting out, unless part of it was cleared, with the number expected for its area."""
    planting = planted_out.planting
    if area_held(planting, planted_out.on, bed=planted_out.bed) < planted_out.area_m2:
        raise refusal(None, _("Part of it has been cleared. Undo that first."), code="rested_on")
    latest, by_area = _latest(planting), usual_stems(planting.variety, _area_ever(planting), planting.season)
    if latest is not None and (latest.on, latest.stems) == (planted_out.on, by_area):
        undo_within(latest, by=by)
    return undo_within(planted_out, by=by)


@action("field")
def dump_seedlings(*, by: User, planting: Planting, on: date, plants: int, why: str = "") -> SeedlingsDumped:
    """Record spare plants thrown away; those set out bear what they cost."""
    planting = lock_standing(planting)
    while_it_stood(planting, on)
    _enough_plants(planting, plants)
    return record(SeedlingsDumped(planting=planting, on=on, plants=plants, why=why), by=by)


@action("field")
def undo_seedlings_dumped(*, by: User, seedlings_dumped: SeedlingsDumped) -> SeedlingsDumped:
    """Undo that spare plants were thrown away."""
    return undo_within(seedlings_dumped, by=by)
