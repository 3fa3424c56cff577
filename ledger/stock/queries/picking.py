"""What to take for something to be made up: the free bunches, the oldest first, and stems as the recipe says."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from .loose import Loose
from .running import lowest_free, lowest_in_place
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
    left = min(wanted, max(lowest_free(line, on), 0))
    taken = []
    for place in places:
        number = min(left, max(lowest_in_place(place.batch_id, place.box_id, on), 0))
        if number:
            taken.append((place, number))
            left -= number
    return taken, wanted - sum(number for _place, number in taken)


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
