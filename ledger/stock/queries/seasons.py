"""Bunches by the season they were made in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable
from datetime import date
from typing import TYPE_CHECKING

from django.db.models import Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from ledger.facts.queries import holding
from ledger.reckoning.years import season_bounds, season_of

from .running import lowest_from
from .sets import rows_of

if TYPE_CHECKING:
    from ledger.stock.models import Batch, Line


def season_made(batch: Batch) -> int:
    """The season of the day a batch was made."""
    return season_of(batch.on, first_month=holding().season_first_month)


def seasons_made(batches: Iterable[Batch]) -> dict[int, int]:
    """By the key of each batch the season of the day it was made."""
    first_month = holding().season_first_month
    return {batch.pk: season_of(batch.on, first_month=first_month) for batch in batches}


def made_in(season: int, link: str = "batch") -> Q:
    """The condition that what `link` leads to was made in that season."""
    first, last = season_bounds(season, first_month=holding().season_first_month)
    return Q(**{f"{link}__on__gte": first, f"{link}__on__lte": last})


def spare_by_season(line: int) -> dict[int, int]:
    """By season that holds of a line (its key) keep bunches of: what of it is on hand now beyond those, wherever it lies."""
    kept = rows_of("HoldChange").standing().filter(hold__line=line, hold__season__isnull=False).order_by()
    seasons = kept.values("hold__season").annotate(n=Sum("bunches")).filter(n__gt=0).values_list("hold__season", flat=True)
    return {season: spare_of_season(line, season) for season in seasons}


def spare_of_season(line: int, season: int) -> int:
    """Bunches of a line (its key) made in a season that are on hand now, less what holds for that season keep."""
    there = rows_of("Content").filter(made_in(season), batch__line=line)
    kept = rows_of("HoldChange").standing().filter(hold__line=line, hold__season=season)
    return _sum(there) - _sum(kept)


def free_of_seasons(lines: Collection[int], on: date) -> dict[tuple[int, int], int]:
    """By the key of a line and the season: bunches on hand now in boxes not held back that day, less what holds for it keep.

    Seasons of which nothing is free are left out.
    """
    first_month, found = holding().season_first_month, Counter[tuple[int, int]]()
    there = rows_of("Content").filter(batch__line__in=lines).not_held_back(on).order_by()
    for line, day, bunches in there.values_list("batch__line", "batch__on").annotate(n=Sum("bunches")):
        found[line, season_of(day, first_month=first_month)] += bunches
    kept = rows_of("HoldChange").standing().filter(hold__line__in=lines, hold__season__isnull=False).order_by()
    for line, season, bunches in kept.values_list("hold__line", "hold__season").annotate(n=Sum("bunches")):
        found[line, season] -= bunches
    return {key: bunches for key, bunches in found.items() if bunches > 0}


def lowest_free_of_season(line: Line, season: int, on: date) -> int:
    """The fewest bunches of a line made in a season that no hold for that season keeps, on `on` or any later day.

    Boxes held back are left out. Holds of any season may take the same bunches: this only bounds a new hold from above.
    """
    boxes = rows_of("HeldBack").in_force(on).values("box")
    held_back = _sum(rows_of("Content").filter(made_in(season), batch__line=line, box__in=boxes))
    return lowest_unpromised_of_season(line, season, on) - held_back


def lowest_unpromised_of_season(line: Line, season: int, on: date) -> int:
    """As `lowest_free_of_season`, wherever they lie."""
    moved = rows_of("Movement").standing().filter(made_in(season), batch__line=line).exclude(kind="moved").by_day()
    kept = rows_of("HoldChange").standing().filter(hold__line=line, hold__season=season).values_list("on", "bunches")
    return lowest_from([*moved, *((day, -bunches) for day, bunches in kept)], on)


def _sum(rows: QuerySet) -> int:
    return int(rows.aggregate(n=Coalesce(Sum("bunches"), 0))["n"])


def seasons_by_line(lines: Iterable[Line]) -> dict[int, list[int]]:
    """By line's key the seasons in which something of it that is on hand now was made, the latest first."""
    first_month = holding().season_first_month
    found: dict[int, set[int]] = {line.pk: set() for line in lines}
    rows = rows_of("Content").filter(bunches__gt=0, batch__line__in=found)
    for line, day in rows.values_list("batch__line", "batch__on").distinct():
        found[line].add(season_of(day, first_month=first_month))
    return {line: sorted(seasons, reverse=True) for line, seasons in found.items()}
