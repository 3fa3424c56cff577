"""What each movement of the stock book took of its batch, and what is left of it.

Movements are taken up day by day: what comes in first, then all that goes out
as one sum shared among the day's movements, so that the order of entry within
a day changes nothing.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby

from .amounts import Amounts, added, less, parted, taken_of
from .facts import CostFacts, Element, Key, MovementFact
from .graph import Graph

PLACE_OF_KIND = {"sold": "cost of sales", "made_up": "made up", "drawn": "drawn", "written_off": "written off"}


@dataclass
class Pool:
    """A batch as it runs down: what is left, and what each movement out still holds."""

    made_of: Amounts
    left: int = 0
    left_amounts: dict[Element, int] = field(default_factory=dict)
    out: dict[int, tuple[int, dict[Element, int]]] = field(default_factory=dict)

    def put_in(self, movement: MovementFact) -> dict[Element, int]:
        """Take in what was made, found or comes back; return what cost came with it."""
        amounts: dict[Element, int] = {}
        if movement.kind == "made":
            amounts = dict(self.made_of)
        elif movement.brings_back is not None:
            amounts = self._bring_back(movement.brings_back, movement.bunches)
        self.left += movement.bunches
        self.left_amounts = added(self.left_amounts, amounts)
        return amounts

    def _bring_back(self, movement: int, bunches: int) -> dict[Element, int]:
        gone, amounts = self.out[movement]
        back = taken_of(amounts, left=gone, taking=bunches)
        self.out[movement] = (gone - bunches, less(amounts, back))
        return back

    def take_out(self, movements: list[MovementFact], back_today: Counter[int]) -> list[dict[Element, int]]:
        """Take a day's outgoings as one sum, less what came back the same day; return what each took."""
        counts = [-one.bunches - back_today[one.key] for one in movements]
        amounts = taken_of(self.left_amounts, left=self.left, taking=sum(counts))
        self.left -= sum(counts)
        self.left_amounts = less(self.left_amounts, amounts)
        shares = parted(amounts, counts)
        for one, count, share in zip(movements, counts, shares, strict=True):
            self.out[one.key] = (count, share)
        return shares


def run_down_batches(graph: Graph, facts: CostFacts) -> None:
    """Bring every batch's cost to rest: in its boxes, or with what went out."""
    movements: dict[int, list[MovementFact]] = defaultdict(list)
    for one in facts.movements:
        movements[one.batch].append(one)
    for run in facts.runs:
        for batch in run.batches:
            _run_down(graph, ("batch", batch.key), movements[batch.key])


def _run_down(graph: Graph, key: Key, movements: Iterable[MovementFact]) -> None:
    node = graph.node(key)
    pool = Pool(node.carried)
    places = {one.key: PLACE_OF_KIND.get(one.kind, "") for one in movements}
    for _, day in groupby(sorted(movements, key=lambda one: (one.on, one.key)), key=lambda one: one.on):
        _one_day(graph, key, pool, list(day), places)
    node.quantity = pool.left
    graph.rest(key, "boxed", pool.left_amounts, pool.left)


def _one_day(graph: Graph, key: Key, pool: Pool, day: list[MovementFact], places: dict[int, str]) -> None:
    today = {movement.key for movement in day}
    back_today: Counter[int] = Counter()
    for one in (movement for movement in day if movement.bunches > 0):
        if one.brings_back in today:
            back_today[one.brings_back] += one.bunches
        else:
            _come_in(graph, key, pool, one, places)
    out = [movement for movement in day if movement.bunches < 0]
    for one, share in zip(out, pool.take_out(out, back_today), strict=True):
        graph.rest(key, places[one.key], share, -one.bunches - back_today[one.key], on=one.on, event=("movement", one.key))


def _come_in(graph: Graph, key: Key, pool: Pool, movement: MovementFact, places: dict[int, str]) -> None:
    amounts = pool.put_in(movement)
    if movement.brings_back is not None:
        back = {element: -amount for element, amount in amounts.items()}
        event = ("movement", movement.key)
        graph.rest(key, places[movement.brings_back], back, -movement.bunches, on=movement.on, event=event)
