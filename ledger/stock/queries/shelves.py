"""What boxes held and when, how full shelves are, and where all of a colour family is."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from django.db.models import Sum

from ledger.facts.queries import today
from ledger.reckoning.colour_families import family_of
from ledger.reckoning.stretches import Stretch, stretches

from .sets import rows_of

if TYPE_CHECKING:
    from ledger.stock.models import Batch, Box, Content


@dataclass(frozen=True)
class Held:
    """A batch that lay in a box for a stretch of days."""

    batch: Batch
    stretch: Stretch


@dataclass
class Shelf:
    """A shelf by its name (empty: boxes on none): its boxes, those with nothing in them, and the bunches in the others.

    `room`: for how many bunches there is room, None where nobody said.
    """

    name: str
    boxes: int = 0
    empty: int = 0
    bunches: int = 0
    room: int | None = None

    @property
    def left(self) -> int | None:
        """How many more would fit; below nil where it is fuller than it should be."""
        return None if self.room is None else self.room - self.bunches

    @property
    def full(self) -> int | None:
        """How many per cent of its room are taken, to the nearest, half up."""
        return None if self.room is None else (200 * self.bunches + self.room) // (2 * self.room)


@dataclass
class Family:
    """What there is of one family of colours, and where it lies."""

    name: str
    bunches: int = 0
    lines: set[int] = field(default_factory=set)
    places: list[Content] = field(default_factory=list)


def held_in(box: Box) -> list[Held]:
    """What a box held, from when to when, the latest first; what came and went within a day is left out."""
    rows = rows_of("Movement").standing().filter(box=box).order_by("batch", "on").values_list("batch", "on")
    by_batch = defaultdict(list)
    for batch, on, bunches in rows.annotate(n=Sum("bunches")):
        by_batch[batch].append((on, bunches))
    batches = rows_of("Batch").whole().in_bulk(list(by_batch))
    found = [Held(batches[batch], one) for batch, changes in by_batch.items() for one in stretches(changes)]
    return sorted(found, key=lambda held: (held.stretch.since, held.batch.pk), reverse=True)


def shelves_filled() -> list[Shelf]:
    """How full each shelf is now, parcels left out, by name; boxes on no shelf last."""
    shelves: dict[str, Shelf] = {}
    for name, bunches in rows_of("Box").on_shelves().with_bunches().values_list("shelf", "bunches"):
        shelf = shelves.setdefault(name, Shelf(name))
        shelf.boxes += 1
        shelf.empty += not bunches
        shelf.bunches += bunches
    for name, room in rows_of("ShelfRoom").standing_on(today()).order_by("on", "pk").values_list("shelf", "bunches"):
        shelves.setdefault(name, Shelf(name)).room = room
    return sorted(shelves.values(), key=lambda shelf: (not shelf.name, shelf.name))


def colour_families() -> list[Family]:
    """All that is on hand by family of its colour, where it lies by shelf and id, the unboxed last; no named colour last."""
    families: dict[str, Family] = {}
    contents = sorted(rows_of("Content").there(), key=_by_shelf)
    for content in contents:
        name = family_of(content.batch.line.own_colour)
        family = families.setdefault(name, Family(name))
        family.bunches += content.bunches
        family.lines.add(content.batch.line_id)
        family.places.append(content)
    return sorted(families.values(), key=lambda family: (not family.name, family.name))


def _by_shelf(content: Content) -> tuple[bool, str, str, int]:
    box = content.box
    return (box is None, box.shelf if box else "", box.code if box else "", content.pk)
