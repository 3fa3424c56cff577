"""Bunches by the season they were made in."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from django.db.models import Q, Sum
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


def made_in(season: int, link: str = "batch") -> Q:
    """The condition that what `link` leads to was made in that season."""
    first, last = season_bounds(season, first_month=holding().season_first_month)
    return Q(**{f"{link}__on__gte": first, f"{link}__on__lte": last})


def lowest_free_of_season(line: Line, season: int, on: date) -> int:
    """The fewest bunches of a line made in a season that no hold for that season keeps, on `on` or any later day.

    Boxes held back are left out. Holds of any season may take the same bunches: this only bounds a new hold from above.
    """
    moved = rows_of("Movement").standing().filter(made_in(season), batch__line=line).exclude(kind="moved").by_day()
    kept = rows_of("HoldChange").standing().filter(hold__line=line, hold__season=season).values_list("on", "bunches")
    boxes = rows_of("HeldBack").in_force(on).values("box")
    back = rows_of("Content").filter(made_in(season), batch__line=line, box__in=boxes)
    held_back = back.aggregate(n=Coalesce(Sum("bunches"), 0))["n"]
    return lowest_from([*moved, *((day, -bunches) for day, bunches in kept)], on) - held_back


def seasons_by_line(lines: Iterable[Line]) -> dict[int, list[int]]:
    """By line's key the seasons in which something of it that is on hand now was made, the latest first."""
    first_month = holding().season_first_month
    found: dict[int, set[int]] = {line.pk: set() for line in lines}
    rows = rows_of("Content").filter(bunches__gt=0, batch__line__in=found)
    for line, day in rows.values_list("batch__line", "batch__on").distinct():
        found[line].add(season_of(day, first_month=first_month))
    return {line: sorted(seasons, reverse=True) for line, seasons in found.items()}
