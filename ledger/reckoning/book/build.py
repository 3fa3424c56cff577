"""The cost book: the whole graph made from the facts, and what can be asked of it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cached_property

from .amounts import Amounts, added, total
from .batches import make_and_run_down
from .facts import CostFacts, Element, HangingFact, Key
from .graph import Graph, Node, Standing
from .lines import LineHeld, lines_held
from .materials import use_materials
from .moving import if_all_came, if_nothing_more_came
from .path import part_lots, take_down_hangings
from .plantings import release_plantings
from .space import charge_places, charge_plots
from .spending import lay_spending, rest_of_year


class Book:
    """What everything on the path cost, as of one day.

    Amounts are millionths of a minor unit by element of cost. `node` gives what
    a record carries, where it came from and where it went.
    """

    def __init__(self, facts: CostFacts, graph: Graph) -> None:
        self.facts, self.graph = facts, graph

    def node(self, key: Key) -> Node:
        """The node of a record; an empty one where nothing is known of it."""
        return self.graph.nodes.get(key) or Node(key)

    def batch_cost(self, batch: int) -> dict[Element, int]:
        """What a whole batch cost when made."""
        return self.node(("batch", batch)).carried

    @cached_property
    def by_event(self) -> dict[Key, dict[Element, int]]:
        """What went out with each movement or parting."""
        found: dict[Key, list[Amounts]] = defaultdict(list)
        for at in self.graph.standings():
            if at.event is not None:
                found[at.event].append(at.amounts)
        return {event: added(*amounts) for event, amounts in found.items()}

    @cached_property
    def places(self) -> dict[str, dict[Element, int]]:
        """Everything, by place of the proof."""
        found: dict[str, list[Standing]] = defaultdict(list)
        for at in self.graph.standings():
            found[at.place].append(at)
        return {place: added(*(at.amounts for at in standings)) for place, standings in sorted(found.items())}

    @cached_property
    def spent(self) -> int:
        """All that was entered: every entry's share, and pay not booked."""
        return sum(one.amount for one in self.facts.spending) + self.facts.unbooked

    @cached_property
    def lines(self) -> Mapping[int, LineHeld]:
        """What every line holds, by its number."""
        return lines_held(self.graph, self.facts)

    @cached_property
    def ends(self) -> tuple["Book", "Book"]:
        """The book at both ends of what is still uncertain: the cheapest and the dearest."""
        return make_book(if_all_came(self.facts)), make_book(if_nothing_more_came(self.facts))

    def range_of(self, key: Key) -> tuple[int, int]:
        """The least and the most a record may come to carry, in millionths; the figure itself where it is final."""
        carried = total(self.node(key).carried)
        if self.node(key).final:
            return carried, carried
        found = [carried, *(total(book.node(key).carried) for book in self.ends)]
        return min(found), max(found)

    def unplaced(self) -> list[tuple[Key, int]]:
        """Nodes whose cost neither went on nor came to rest; none in a true book."""
        return [(node.key, total(node.unplaced)) for node in self.graph.nodes.values() if node.unplaced]


def make_book(facts: CostFacts) -> Book:
    """Return the cost book of the facts.

    Raises ValueError where the facts cannot be (more bunches out than in).
    """
    graph, facts = Graph(), in_order(facts)
    used = use_materials(graph, facts)
    lay_spending(graph, used)
    for step in (
        charge_plots,
        release_plantings,
        part_lots,
        charge_places,
        take_down_hangings,
        make_and_run_down,
        rest_of_year,
    ):
        step(graph, used)
    return Book(facts, graph)


def in_order(facts: CostFacts) -> CostFacts:
    """Return the facts by (day, key), so that no share depends on the order of entry."""
    return replace(
        facts,
        spending=sorted(facts.spending, key=lambda one: (one.on, one.entry, one.spent_on)),
        spaces=sorted(facts.spaces, key=lambda one: one.key),
        plantings=sorted(facts.plantings, key=lambda one: (one.on, one.key)),
        lots=sorted(facts.lots, key=lambda one: (one.on, one.key)),
        partings=sorted(facts.partings, key=lambda one: (one.on, one.key)),
        hangings=with_moves(sorted(facts.hangings, key=lambda one: (one.on, one.key))),
        oddments=sorted(facts.oddments, key=lambda one: (one.on, one.key)),
        runs=sorted(facts.runs, key=lambda one: (one.on, one.key)),
        movements=sorted(facts.movements, key=lambda one: (one.on, one.key)),
    )


def with_moves(hangings: Sequence[HangingFact]) -> Sequence[HangingFact]:
    """The hangings, each with the stems that were moved on from it."""
    moves: dict[int, list[tuple[date, int]]] = defaultdict(list)
    for one in hangings:
        if one.moved_from is not None:
            moves[one.moved_from].append((one.on, one.stems))
    return [replace(one, moves=moves[one.key]) if one.key in moves else one for one in hangings]
