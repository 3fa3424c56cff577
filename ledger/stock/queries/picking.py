"""What to take for something to be made up: the free bunches, the oldest first, and stems as the recipe says."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from ledger.facts.queries import holding
from ledger.reckoning.years import season_of

from .loose import Loose
from .running import lowest_free, lowest_in_place
from .seasons import spare_by_season
from .sets import rows_of

if TYPE_CHECKING:
    from ledger.stock.models import Content, Line, Recipe


@dataclass
class Taken:
    """What is proposed to be taken for a number made, and what there is not enough of (what, how many)."""

    contents: list[tuple[Content, int]] = field(default_factory=list)
    sources: list[tuple[Loose, int]] = field(default_factory=list)
    materials: list[tuple[Any, int]] = field(default_factory=list)
    missing: list[tuple[Any, int]] = field(default_factory=list)


def free_places(line: Line, on: date, wanted: int) -> tuple[list[tuple[Content, int]], int]:
    """So many free bunches of a line and where they lie, the oldest first, and how many are missing; no box held back."""
    places = rows_of("Content").there().out_of_parcels().not_held_back(on).filter(batch__line=line, batch__on__lte=on)
    free = min(wanted, max(lowest_free(line, on), 0))
    taken = taken_from(places, on, free, spare_by_season(line.pk))
    return list(taken.items()), wanted - sum(taken.values())


def taken_from(
    places: Iterable[Content], on: date, wanted: int, spare: Mapping[int, int], before: Mapping[Content, int] | None = None
) -> dict[Content, int]:
    """So many taken from places in their order: of a place its lowest of that and every later day, of a season what it can spare.

    `spare`: by season, those left out can spare all; `before`: what was taken from which place already, returned with the rest.
    """
    taken, left = dict(before or {}), dict(spare)
    first_month = holding().season_first_month if spare else 1
    for place in places:
        if wanted <= 0:
            break
        season = season_of(place.batch.on, first_month=first_month)
        there = lowest_in_place(place.batch_id, place.box_id, on) - taken.get(place, 0)
        number = min(wanted, there, left.get(season, wanted))
        if number > 0:
            taken[place] = taken.get(place, 0) + number
            wanted -= number
            if season in left:
                left[season] -= number
    return taken


def from_recipe(recipe: Recipe, made: int, on: date, loose: Sequence[Loose]) -> Taken:
    """What so many by a recipe take, out of what there is on that day."""
    found = Taken()
    for part in recipe.parts.select_related("of_line__variety__species", "variety__species", "material"):
        wanted = part.quantity * made
        missing = 0
        if part.material is not None:
            found.materials.append((part.material, wanted))
        elif part.of_line is not None:
            places, missing = free_places(part.of_line, on, wanted)
            found.contents += places
        else:
            stems, missing = _loose_of(loose, part.variety_id, wanted)
            found.sources += stems
        if missing:
            found.missing.append((part.what, missing))
    return found


def _loose_of(loose: Iterable[Loose], variety: int | None, wanted: int) -> tuple[list[tuple[Loose, int]], int]:
    taken, left = [], wanted
    for source in loose:
        number = min(left, source.loose) if variety_of(source) == variety else 0  # type: ignore[union-attr]
        if number:
            taken.append((source, number))
            left -= number
    return taken, left


def variety_of(source: Loose) -> int:
    """The key of the variety loose stems are of."""
    of: Any = source
    hung = of.hanging.parting if hasattr(of, "hanging_id") else getattr(of, "parting", of)
    return int(hung.lot.planting.variety_id)
