"""Pools of stock: what each method takes the cost of bunches from.

Quantities are whole bunches, costs millionths of a minor unit.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from heapq import heappop, heappush
from itertools import groupby
from typing import Protocol

from ledger.reckoning.sharing import share_out
from ledger.reckoning.taking import cost_of_taking
from ledger.reckoning.valuation.movements import StockMovement

Layer = tuple[date, int]


@dataclass
class Pool:
    """Bunches that carry one cost together."""

    quantity: int = 0
    cost: int = 0

    def add(self, quantity: int, cost: int) -> None:
        """Put in so many bunches with their cost."""
        self.quantity += quantity
        self.cost += cost

    def take(self, quantity: int) -> int:
        """Take so many bunches out and return the cost that goes with them."""
        cost = cost_of_taking(self.cost, left=self.quantity, taking=quantity)
        self.add(-quantity, -cost)
        return cost


@dataclass
class Issue:
    """A movement out: the bunches still out and the cost they took.

    `layers` says which layers they came from, first in first out only.
    """

    kind: str
    batch: int
    out: Pool
    costed: bool = False
    layers: dict[Layer, Pool] = field(default_factory=dict)


class Stock(Protocol):
    """What a method keeps while the movements of a line are run through."""

    def receive(self, receipt: StockMovement) -> None:
        """Put a receipt with its cost into stock."""

    def issue(self, issues: Sequence[Issue]) -> None:
        """Take what goes out together, as one sum shared by bunches."""

    def bring_back(self, issue: Issue, quantity: int) -> int:
        """Put bunches back with exactly what they took, and return that cost."""

    def cost(self) -> int:
        """Return what all the stock carries."""

    def left(self, quantities: Mapping[int, int]) -> dict[int, tuple[int, int]]:
        """Return quantity and cost by batch of what is truly left."""


class Average:
    """One pool for the whole line: moving and periodic average."""

    def __init__(self) -> None:
        self.pool = Pool()

    def receive(self, receipt: StockMovement) -> None:
        """Put a receipt into the pool."""
        self.pool.add(receipt.quantity, receipt.cost)

    def issue(self, issues: Sequence[Issue]) -> None:
        """Take all from the pool at once."""
        share_cost(self.pool.take(sum(issue.out.quantity for issue in issues)), issues)

    def bring_back(self, issue: Issue, quantity: int) -> int:
        """Put bunches back into the pool at what they took."""
        cost = issue.out.take(quantity)
        self.pool.add(quantity, cost)
        return cost

    def cost(self) -> int:
        """Return the pool's cost."""
        return self.pool.cost

    def left(self, quantities: Mapping[int, int]) -> dict[int, tuple[int, int]]:
        """Return the line's cost shared over the batches by bunches left."""
        return shared_left(self.cost(), quantities)


class Traced:
    """One pool a batch: every bunch carries what its own run cost."""

    def __init__(self) -> None:
        self.pools: defaultdict[int, Average] = defaultdict(Average)

    def receive(self, receipt: StockMovement) -> None:
        """Put a receipt into its batch."""
        self.pools[receipt.batch].receive(receipt)

    def issue(self, issues: Sequence[Issue]) -> None:
        """Take all that goes out of one batch at once, batch by batch."""
        by_batch = sorted(issues, key=lambda issue: issue.batch)
        for batch, together in groupby(by_batch, key=lambda issue: issue.batch):
            self.pools[batch].issue(list(together))

    def bring_back(self, issue: Issue, quantity: int) -> int:
        """Put bunches back into their batch at what they took."""
        return self.pools[issue.batch].bring_back(issue, quantity)

    def cost(self) -> int:
        """Return the cost of all batches."""
        return sum(pool.cost() for pool in self.pools.values())

    def left(self, quantities: Mapping[int, int]) -> dict[int, tuple[int, int]]:
        """Return each batch with its own cost."""
        return {batch: (quantity, self.pools[batch].cost()) for batch, quantity in quantities.items()}


class FirstIn:
    """A layer for every receipt by (day, key); the oldest goes out first.

    What comes back rejoins the layers it was taken from, at the front.
    """

    def __init__(self) -> None:
        self.layers: dict[Layer, Pool] = {}
        self.oldest: list[Layer] = []

    def receive(self, receipt: StockMovement) -> None:
        """Put a receipt on as a layer of its day."""
        self._add((receipt.on, receipt.key), receipt.quantity, receipt.cost)

    def issue(self, issues: Sequence[Issue]) -> None:
        """Take all from the oldest layers; each movement has its part of each."""
        taken = self._take(sum(issue.out.quantity for issue in issues))
        share_cost(sum(pool.cost for pool in taken.values()), issues)
        waiting = [issue.out.quantity for issue in issues]
        by_layer = []
        for pool in taken.values():
            by_layer.append(share_out(pool.quantity, waiting))
            waiting = [left - part for left, part in zip(waiting, by_layer[-1], strict=True)]
        for issue, quantities in zip(issues, zip(*by_layer, strict=True), strict=True):
            issue.layers = spread(issue.out.cost, taken, quantities)

    def bring_back(self, issue: Issue, quantity: int) -> int:
        """Put bunches back into their layers, in proportion, at what they took."""
        cost = issue.out.take(quantity)
        held = [pool.quantity for pool in issue.layers.values()]
        going = share_out(quantity, held)
        for layer, pool in spread(cost, issue.layers, going).items():
            self._add(layer, pool.quantity, pool.cost)
        staying = [left - part for left, part in zip(held, going, strict=True)]
        issue.layers = spread(issue.out.cost, issue.layers, staying)
        return cost

    def cost(self) -> int:
        """Return the cost of all layers."""
        return sum(pool.cost for pool in self.layers.values())

    def left(self, quantities: Mapping[int, int]) -> dict[int, tuple[int, int]]:
        """Return the line's cost shared over the batches by bunches left."""
        return shared_left(self.cost(), quantities)

    def _add(self, layer: Layer, quantity: int, cost: int) -> None:
        if layer not in self.layers:
            self.layers[layer] = Pool()
            heappush(self.oldest, layer)
        self.layers[layer].add(quantity, cost)

    def _take(self, quantity: int) -> dict[Layer, Pool]:
        taken: dict[Layer, Pool] = {}
        while quantity:
            layer = self.oldest[0]
            pool = self.layers[layer]
            taking = min(quantity, pool.quantity)
            taken[layer] = Pool(taking, pool.take(taking))
            quantity -= taking
            if not pool.quantity:
                del self.layers[heappop(self.oldest)]
        return taken


def share_cost(cost: int, issues: Sequence[Issue]) -> None:
    """Share one cost over movements out by their bunches, in the order given."""
    shares = share_out(cost, [issue.out.quantity for issue in issues])
    for issue, share in zip(issues, shares, strict=True):
        issue.out.cost = share


def spread(cost: int, pools: Mapping[Layer, Pool], quantities: Sequence[int]) -> dict[Layer, Pool]:
    """Spread a cost over so many bunches of each layer, by what they carry there.

    Where they carry nothing it goes by bunches. Layers with no bunch are left
    out, so that no cost lies where there is no stock.
    """
    going = {layer: n for layer, n in zip(pools, quantities, strict=True) if n}
    weights = [cost_of_taking(pools[layer].cost, left=pools[layer].quantity, taking=n) for layer, n in going.items()]
    shares = share_out(cost, weights if any(weights) else list(going.values()))
    return {layer: Pool(n, share) for (layer, n), share in zip(going.items(), shares, strict=True)}


def shared_left(cost: int, quantities: Mapping[int, int]) -> dict[int, tuple[int, int]]:
    """Return a cost shared over batches by bunches, with those bunches."""
    shares = share_out(cost, list(quantities.values()))
    return {batch: (n, share) for (batch, n), share in zip(quantities.items(), shares, strict=True)}
