"""What each movement of the stock book took of its batch, and what is left of it.

Movements are taken up day by day: what comes in first, then all that goes out
as one sum shared among the day's movements, so that the order of entry within
a day changes nothing.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from graphlib import TopologicalSorter
from itertools import groupby
from operator import attrgetter

from .amounts import Amounts, added, each, less, parted, taken_of
from .facts import BatchFact, CostFacts, Element, Key, MovementFact, RunFact
from .graph import Graph
from .path import bunch

BY_DAY = attrgetter("on")
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

    def take_out(self, movements: list[MovementFact], back_today: Mapping[int, int]) -> list[dict[Element, int]]:
        """Take a day's outgoings as one sum, less what came back the same day; return what each took."""
        counts = [-one.bunches - back_today.get(one.key, 0) for one in movements]
        amounts = taken_of(self.left_amounts, left=self.left, taking=sum(counts))
        self.left -= sum(counts)
        self.left_amounts = less(self.left_amounts, amounts)
        shares = parted(amounts, counts)
        for one, count, share in zip(movements, counts, shares, strict=True):
            self.out[one.key] = (count, share)
        return shares


def make_and_run_down(graph: Graph, facts: CostFacts) -> None:
    """Split every run's cost over its batches, and bring each batch's to rest or on to the runs that used it.

    Runs that use bunches of others come after them. Raises CycleError, a
    ValueError, where a batch would be made of itself.
    """
    movements: dict[int, list[MovementFact]] = defaultdict(list)
    for one in facts.movements:
        movements[one.batch].append(one)
    for run in in_making_order(facts):
        bunch(graph, run)
        for batch in run.batches:
            _run_down(graph, batch, movements[batch.key])


def in_making_order(facts: CostFacts) -> Sequence[RunFact]:
    """The runs so that what one uses was made before it, else by (day, key)."""
    drawn = [(one.run, one.batch) for one in facts.movements if one.run is not None]
    if not drawn:
        return facts.runs
    maker = {batch.key: one.key for one in facts.runs for batch in one.batches}
    order: TopologicalSorter[int] = TopologicalSorter({one.key: () for one in facts.runs})
    for run, batch in drawn:
        order.add(run, maker[batch])
    known = {one.key: one for one in facts.runs}
    return [known[key] for key in order.static_order()]


def _run_down(graph: Graph, batch: BatchFact, movements: Sequence[MovementFact]) -> None:
    key: Key = ("batch", batch.key)
    node = graph.node(key)
    pool = Pool(node.carried)
    going = Going(graph, key, batch.made, {one.key: one.kind for one in movements})
    for _, day in groupby(movements, key=BY_DAY):
        _one_day(going, pool, list(day))
    node.quantity = pool.left
    graph.rest(key, "boxed", pool.left_amounts, pool.left)


@dataclass(frozen=True)
class Going:
    """Where what leaves a batch goes: to the run that used it, else to rest in the place of its kind."""

    graph: Graph
    key: Key
    made: int
    kinds: Mapping[int, str]

    def out(self, movement: MovementFact, amounts: Amounts, bunches: int) -> None:
        if movement.run is not None:
            self.graph.flow(self.key, ("run", movement.run), amounts, bunches, self.made, "bunches")
            return
        place, event = PLACE_OF_KIND.get(movement.kind, ""), ("movement", movement.key)
        self.graph.rest(self.key, place, amounts, bunches, on=movement.on, event=event)

    def back(self, movement: MovementFact, amounts: Amounts) -> None:
        """What comes back leaves the place its own movement went to."""
        if movement.brings_back is not None:
            place = PLACE_OF_KIND.get(self.kinds[movement.brings_back], "")
            back, event = each(amounts, lambda amount: -amount), ("movement", movement.key)
            self.graph.rest(self.key, place, back, -movement.bunches, on=movement.on, event=event)


def _one_day(going: Going, pool: Pool, day: list[MovementFact]) -> None:
    out = [movement for movement in day if movement.bunches < 0]
    gone = {movement.key for movement in out}
    back_today: dict[int, int] = {}
    for one in (movement for movement in day if movement.bunches > 0):
        if one.brings_back is not None and one.brings_back in gone:
            back_today[one.brings_back] = back_today.get(one.brings_back, 0) + one.bunches
        else:
            going.back(one, pool.put_in(one))
    if not out:
        return
    for one, share in zip(out, pool.take_out(out, back_today), strict=True):
        going.out(one, share, -one.bunches - back_today.get(one.key, 0))
