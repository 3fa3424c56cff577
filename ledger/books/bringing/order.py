"""In which order the rows are acted on: by day, and within a day along the path."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from .columns import Named
from .kinds import KINDS
from .rows import Row

RANK = {file: rank for rank, file in enumerate(KINDS)}
Place = tuple[date, int, int]


def in_order(rows: list[Row], by_name: Mapping[Named, Row]) -> list[Row]:
    """Heads by the day they can be acted on, then by stage, then as written.

    A row without a day comes as early as what it rests on lets it; one dated
    before what it rests on (work before the planting) comes right after it.
    What makes room (clearing, taking down) stands before what takes it in the
    order of kinds, so that room freed in the morning is there at noon.
    """
    places: dict[Row, Place] = {}
    heads = [row for row in rows if not row.kind.part_of]
    return sorted(heads, key=lambda row: (*_place(row, by_name, places), RANK[row.kind.file], row.line))


def _place(row: Row, by_name: Mapping[Named, Row], places: dict[Row, Place]) -> Place:
    """Day, rank on that day, and how many steps after the row that set them."""
    if row not in places:
        own = (row.on or date.min, RANK[row.kind.file], 0)
        places[row] = own
        below = [_place(one, by_name, places) for one in rests_on(row, by_name)]
        latest = max(below, default=own)
        places[row] = own if own > latest else (latest[0], latest[1], latest[2] + 1)
    return places[row]


def rests_on(row: Row, by_name: Mapping[Named, Row]) -> list[Row]:
    """The rows that this one and its parts name; a part named stands for its head."""
    found = [by_name.get(name) for one in [row, *row.parts] for name in one.names()]
    heads = [_whole(one, by_name) for one in found if one is not None]
    return [head for head in heads if head is not row]


def _whole(row: Row, by_name: Mapping[Named, Row]) -> Row:
    name = row.given.get(row.kind.part_of) if row.kind.part_of else None
    return by_name.get(name, row) if name is not None else row
