"""From trays to beds: planting out, and dumping what is spare."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal

from ..models import Bed, Expectation, PlantedOut, Planting, SeedlingsDumped
from ..queries import area_held, plants_left, usual_stems
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
    bed = take_room(bed, area_m2, on)
    by_area = usual_stems(planting.variety, _area_ever(planting), planting.season)
    out = record(PlantedOut(planting=planting, on=on, bed=bed, area_m2=area_m2, plants=plants), by=by)
    stems = expected_stems or _following(planting, by_area)
    if stems:
        _expect(by, planting, on, stems)
    return out


def _expect(by: User, planting: Planting, on: date, stems: int) -> None:
    """Expect so many stems from a day on, or from the day of the number expected last, so that this one holds."""
    latest = _latest(planting)
    plan, since = (None, on) if latest is None else (latest.planned_cost, max(on, latest.on))
    record(Expectation(planting=planting, on=since, season=planting.season, stems=stems, planned_cost=plan), by=by)


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
    """Undo a planting out nothing rests on; the number expected follows the area that is left, where it did before."""
    planting = lock_standing(planted_out.planting)
    Bed.objects.lock(planted_out.bed)
    _nothing_rests_on(planting, planted_out)
    latest, by_area = _latest(planting), usual_stems(planting.variety, _area_ever(planting), planting.season)
    follows = latest is not None and latest.stems == by_area
    if latest is not None and follows and latest.on == planted_out.on:
        undo_within(latest, by=by)
    undone = undo_within(planted_out, by=by)
    if follows and _area_ever(planting):
        left, now = _latest(planting), usual_stems(planting.variety, _area_ever(planting), planting.season)
        if now is not None and (left is None or left.stems != now):
            _expect(by, planting, planted_out.on, now)
    return undone


def _nothing_rests_on(planting: Planting, out: PlantedOut) -> None:
    """Refuse where part of it was cleared, or where nothing would stand of what was cut or cleared later."""
    if area_held(planting, out.on, bed=out.bed) < out.area_m2:
        raise refusal(None, _("Part of it has been cleared. Undo that first."), code="rested_on")
    later = [facts.standing().filter(on__gte=out.on).exists() for facts in (planting.lots, planting.part_clearings)]
    if any(later) and area_held(planting, out.on) <= out.area_m2:
        raise refusal(
            None, _("Stems were cut or ground was cleared of it since, and it would stand in no bed. Undo that first."),
            code="rested_on",
        )


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
