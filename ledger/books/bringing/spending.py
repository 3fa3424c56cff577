"""Cells that say what time or money was spent on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject
from ledger.facts.queries import holding

from .columns import BadCell, Column, Found, Named, Setting

SPENT_ON = {
    "plot": "plots", "planting": "plantings", "lot": "lots", "place": "places", "hanging": "hangings",
    "run": "runs", "stall_day": "stall_days", "order": "orders", "sale": "sales", "job": "jobs",
    "workshop": "workshops", "material": "materials",
}
WHOLE_HOLDING = ("store", "holding")
Spent = tuple[Named, int]


def _one(text: str) -> Spent:
    """Read `planting:P1`, `lot:L3*2`, `store` or `holding`."""
    thing, star, weight = text.strip().partition("*")
    if star and not (weight.isascii() and weight.isdigit() and 0 < int(weight) <= 10**9):
        raise BadCell(_("After the star stands a whole number, not “%(text)s”.") % {"text": weight})
    return _named(thing.strip()), int(weight) if star else 1


def _named(thing: str) -> Named:
    if thing in WHOLE_HOLDING:
        return Named("", thing)
    word, colon, key = thing.partition(":")
    if not colon or word not in SPENT_ON or not key:
        words = ", ".join(f"{word}:KEY" for word in SPENT_ON)
        raise BadCell(_("“%(thing)s” is none of %(words)s, store, holding.") % {"thing": thing, "words": words})
    return Named(SPENT_ON[word], key)


def _cost_object(name: Named, found: Found) -> CostObject:
    if name.file:
        return found(name).cost_object
    return holding().store if name.key == "store" else holding().cost_object


class SpentOn(Column):
    """Several things with their weights."""

    what = _("plot:KEY, planting:KEY, lot:KEY, place:KEY, hanging:KEY, run:KEY, stall_day:KEY, order:KEY, sale:KEY, "
             "job:KEY, workshop:KEY, material:KEY, store or holding; several parted by semicolons, each with *WEIGHT where not "
             "equal")

    def read(self, text: str, setting: Setting) -> list[Spent]:
        spent = [_one(part) for part in text.split(";")]
        if len({name for name, _weight in spent}) < len(spent):
            raise BadCell(_("It names the same thing twice."))
        return spent

    def names(self, value: list[Spent]) -> Iterable[Named]:
        return [name for name, _weight in value if name.file]

    def resolve(self, value: list[Spent], found: Found) -> Any:
        return [(_cost_object(name, found), weight) for name, weight in value]


class OneThing(Column):
    """One thing alone."""

    what = _("one thing, such as planting:KEY, hanging:KEY, run:KEY, store or holding")

    def read(self, text: str, setting: Setting) -> Named:
        name, _weight = _one(text)
        if "*" in text or ";" in text:
            raise BadCell(_("Name one thing, without a weight."))
        return name

    def names(self, value: Named) -> Iterable[Named]:
        return [value] if value.file else []

    def resolve(self, value: Named, found: Found) -> Any:
        return _cost_object(value, found)


class Space(Column):
    """One plot or drying place."""

    what = _("plot:KEY or place:KEY")

    def read(self, text: str, setting: Setting) -> Named:
        name, _weight = _one(text)
        if name.file not in {"plots", "places"} or "*" in text:
            raise BadCell(_("Write plot:KEY or place:KEY."))
        return name

    def names(self, value: Named) -> Iterable[Named]:
        return (value,)

    def resolve(self, value: Named, found: Found) -> Any:
        return found(value)
