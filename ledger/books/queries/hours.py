"""Minutes worked on each node of the path, month by month."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date

from ledger.daybook.models import WorkEntry, WorkShare
from ledger.reckoning.book import Book, Key, PlantingFact, bearing_season, cutting_over, mothers_first, total
from ledger.reckoning.sharing import share_out

Months = dict[int, int]


def minutes_by_node(made: Book) -> dict[Key, Months]:
    """Minutes worked on each node by month of the year (1 to 12), an entry's shared by its weights.

    A perennial's hours fall to the season that bears their cost; those of establishing it
    go where its cost went.
    """
    on, plantings, over = made.facts.on, {one.key: one for one in made.facts.plantings}, cutting_over(made.facts)
    found: dict[Key, Months] = defaultdict(lambda: defaultdict(int))
    for spent_on, day, minutes in _worked(on):
        key: Key = (made.facts.kinds_of[spent_on], spent_on)
        if spent_on in plantings:
            key = bearing_season(plantings[spent_on], day, made.facts.calendar, over)
        found[key][day.month] += minutes
    for planting in mothers_first(list(plantings.values())):
        if planting.perennial:
            _slice_hours(found, planting, made)
    return {key: dict(months) for key, months in found.items()}


def _slice_hours(found: dict[Key, Months], planting: PlantingFact, made: Book) -> None:
    """Share the hours of establishing as its cost went: to the seasons begun and daughters; the rest waits in the plants."""
    node = made.node(("planting", planting.key))
    went = [flow for flow in node.outflows if flow.target[0] in {"season", "planting"}]
    weights = [total(flow.amounts) for flow in went]
    waiting = total(node.carried) - sum(weights)
    if not sum(weights):
        return
    for month, minutes in found.pop(node.key, {}).items():
        *shares, rest = share_out(minutes, [*weights, max(0, waiting)])
        for flow, share in zip(went, shares, strict=True):
            found[flow.target][month] += share
        if rest:
            found[node.key][month] += rest


def shared_months(months: Mapping[int, int], weights: list[int]) -> list[Months]:
    """Every month's minutes by weights, one dict a part."""
    parts: list[Months] = [{} for _ in weights]
    for month, minutes in months.items():
        for part, share in zip(parts, share_out(minutes, weights), strict=True):
            if share:
                part[month] = share
    return parts


def _worked(on: date) -> Iterable[tuple[int, date, int]]:
    """Every entry's minutes by what they were spent on and its day."""
    entries = {pk: (day, minutes) for pk, day, minutes in WorkEntry.objects.standing_on(on).values_list("pk", "on", "minutes")}
    shares: dict[int, list[tuple[int, int]]] = defaultdict(list)
    rows = WorkShare.objects.filter(entry__in=WorkEntry.objects.standing_on(on)).order_by("pk")
    for entry, spent_on, weight in rows.values_list("entry_id", "spent_on_id", "weight"):
        shares[entry].append((spent_on, weight))
    for entry, parts in shares.items():
        day, minutes = entries[entry]
        for (spent_on, _), part in zip(parts, share_out(minutes, [weight for _, weight in parts]), strict=True):
            yield spent_on, day, part
