"""What is left unsold of each planting's season: what it is likely to fetch, and what has no price yet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date

from ledger.reckoning.book import Book, Key, total
from ledger.reckoning.sharing import share_out
from ledger.stock.models import Line

from .realisable import realisable_on
from .tracing import Tracing

Boxed = tuple[int, int, int]


def fetched_by_source(made: Book, tracing: Tracing, on: date) -> Mapping[Key, tuple[int, int]]:
    """source -> (what its boxed units are likely to fetch after selling, what those cost), in millionths; priced lines only."""
    by_line = _boxed(made)
    prices = realisable_on(on, Line.objects.filter(pk__in=by_line))
    found: dict[Key, list[int]] = defaultdict(lambda: [0, 0])
    for line, price in prices.items():
        quantities = [quantity for _, quantity, _ in by_line[line]]
        fetched = share_out(price.of(sum(quantities)), quantities)
        for (batch, _, cost), fetches in zip(by_line[line], fetched, strict=True):
            _share(found, tracing.sources(("batch", batch)), fetches, cost)
    return {source: (fetches, cost) for source, (fetches, cost) in found.items()}


def _boxed(made: Book) -> dict[int, list[Boxed]]:
    """line -> the batches of it not sold: which, how many units, what they cost."""
    found: dict[int, list[Boxed]] = defaultdict(list)
    for run in made.facts.runs:
        for batch in run.batches:
            rests = [at for at in made.node(("batch", batch.key)).standings if at.place == "boxed" and at.quantity > 0]
            if rests:
                cost = sum(total(at.amounts) for at in rests)
                found[batch.line].append((batch.key, sum(at.quantity for at in rests), cost))
    return found


def _share(found: dict[Key, list[int]], sources: Mapping[Key, int], fetches: int, cost: int) -> None:
    weights = list(sources.values())
    for source, part, part_of_cost in zip(sources, share_out(fetches, weights), share_out(cost, weights), strict=True):
        found[source][0] += part
        found[source][1] += part_of_cost
