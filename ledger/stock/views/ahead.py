"""Looking ahead along the path: pages and records of later stages, by name only, where they are there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import urlencode

from django.db import models
from django.urls import NoReverseMatch, reverse

from ledger.facts.pages import Link

WHAT_TOOK_IT = (
    ("sale_taking", "sale"),
    ("dispatch_line", "dispatch"),
    ("packing_taken", "order_line.order"),
    ("packing_put", "order_line.order"),
    ("taken_row", "taken.work"),
    ("came_back_row", "came_back.taken.work"),
)


def ahead(label: Any, name: str, *args: int, may: str | tuple[str, ...] = (), query: str = "") -> list[Link]:
    """A link to a page of a later stage; none where that page is not there."""
    try:
        return [Link(label, reverse(name, args=args) + query, may)]
    except NoReverseMatch:
        return []


def belongs_to(movement: models.Model) -> Any:
    """The sale, dispatch, order, job or workshop a row of the stock book was written for, None for none."""
    for related, path in WHAT_TOOK_IT:
        found = getattr(movement, related, None)
        for name in path.split(".") if found is not None else ():
            found = getattr(found, name)
        if found is not None:
            return found
    return None


def worth_of(bunches: Iterable[tuple[int, int]]) -> str:
    """The address of the fragment that says what so many bunches of batches (by key) cost; empty where there is none."""
    said = [(f"n_{batch}", number) for batch, number in bunches if number]
    page = ahead("", "costing:worth", query=f"?{urlencode(said)}") if said else []
    return page[0].url if page else ""
