"""What so many bunches of batches cost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ledger.reckoning.sharing import printed
from ledger.reckoning.taking import proportion
from ledger.stock.models import Batch

from .bases import Bases
from .book import book


@dataclass(frozen=True)
class Worth:
    """So many bunches of a batch (below zero: missing) and their stock cost in whole minor units."""

    batch: Batch
    bunches: int
    amount: int
    final: bool


def worth_of(bunches: Mapping[int, int], on: date) -> list[Worth]:
    """The stock cost as of a day of so many bunches of each batch by its key, in whole minor units that add up to their total."""
    made, bases, found = book(on), Bases(on), []
    for batch in Batch.objects.whole().filter(pk__in=bunches).order_by("on", "pk"):
        node, number = made.node(("batch", batch.pk)), bunches[batch.pk]
        cost = proportion(bases.stock_cost(node.carried), abs(number), batch.made)
        found.append((batch, number, cost if number > 0 else -cost, node.final))
    amounts = printed([cost for _batch, _number, cost, _final in found])
    return [Worth(batch, n, amount, final) for (batch, n, _cost, final), amount in zip(found, amounts, strict=False)]
