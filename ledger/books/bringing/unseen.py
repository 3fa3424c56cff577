"""Rows that rest on others without naming them: an hour on its rate, a sale on the stock there was."""

from __future__ import annotations

from collections.abc import Mapping

from .columns import Named, Ref
from .order import rests_on
from .rows import Row

STOCK = {"runs": "lines", "moves": "lines", "counts": "lines", "orders": "lines", "cancellations": "lines"}
CAUSES: dict[str, Mapping[str, str]] = {
    "no_rate": {"worker_rates": "workers"},
    "no_price": {"prices": "lines"},
    "no_room": {"clearings": "beds", "part_clearings": "beds", "takings": "places"},
    "too_much": {"planted_out": "plantings"},
    "too_many": {"takings": "hangings", **STOCK},
    "not_free": STOCK,
    "no_batch": STOCK,
    "not_there_then": STOCK,
    "nothing_packed": {"packings": "orders"},
    "nothing_sent": {"dispatches": "orders"},
}


def cause_of(row: Row, code: str, faulty: list[Row], by_name: Mapping[Named, Row]) -> Row | None:
    """The faulty or waiting row that may be why this one was refused, if there is one.

    A refusal's code says which kinds of record could have prevented it, and
    what both rows would have to share. One that names what is not there may
    have meant anything.
    """
    causes = CAUSES.get(code, {})
    below = all_below(row, by_name)
    for other in faulty:
        shared = causes.get(other.kind.file)
        if shared and (
            _names_nothing(other, by_name)
            or any(one.kind.file == shared for one in below & all_below(other, by_name))
        ):
            return other
    return None


def _names_nothing(row: Row, by_name: Mapping[Named, Row]) -> bool:
    """Whether the row or a part of it leaves open which record it means."""
    return any(
        isinstance(column, Ref) and column.required and one.given.get(column.name) not in by_name
        for one in [row, *row.parts] for column in one.kind.columns
    )


def all_below(row: Row, by_name: Mapping[Named, Row]) -> set[Row]:
    """Every row that this one rests on, by way of others too; itself where they go round in a ring."""
    found: set[Row] = set()
    waiting = [row]
    while waiting:
        for below in rests_on(waiting.pop(), by_name):
            if below not in found:
                found.add(below)
                waiting.append(below)
    return found
