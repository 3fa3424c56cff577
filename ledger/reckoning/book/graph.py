"""The graph of where stems and their cost went."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from .amounts import Amounts, added, less
from .facts import Element, Key


@dataclass(slots=True)
class Entry:
    """Cost spent directly on a node: the work entry or purchase line it comes from."""

    source: Key
    on: date
    amounts: Amounts


@dataclass(slots=True)
class Flow:
    """What one node handed to the next: `part` of `whole`, in `unit` ("31 of 118 stems").

    `given` is the same by the giver's elements, where those differ (a material
    becomes a cost of what it was used on).
    """

    source: Key
    target: Key
    part: int
    whole: int
    unit: str
    amounts: Amounts
    given: Amounts | None = None


@dataclass(slots=True)
class Standing:
    """Cost at rest in one place of the proof.

    `on` is the day of the event that put it there, None where it is merely
    held; `event` the movement or parting it went with.
    """

    place: str
    node: Key
    quantity: int
    amounts: Amounts
    on: date | None = None
    event: Key | None = None


@dataclass(slots=True)
class Node:
    """One thing on the path: what was spent on it, what came in, what went out."""

    key: Key
    quantity: int = 0
    final: bool = True
    known: bool = True
    direct: list[Entry] = field(default_factory=list)
    inflows: list[Flow] = field(default_factory=list)
    outflows: list[Flow] = field(default_factory=list)
    standings: list[Standing] = field(default_factory=list)

    @property
    def own(self) -> dict[Element, int]:
        """What was spent directly on it."""
        return added(*(entry.amounts for entry in self.direct))

    @property
    def carried(self) -> dict[Element, int]:
        """All it carries: spent directly and come in."""
        return added(*(entry.amounts for entry in self.direct), *(flow.amounts for flow in self.inflows))

    @property
    def unplaced(self) -> dict[Element, int]:
        """What has neither gone on nor come to rest; nil once the book is made."""
        flowed = (flow.amounts if flow.given is None else flow.given for flow in self.outflows)
        gone = added(*flowed, *(at.amounts for at in self.standings))
        return less(self.carried, gone)


class Graph:
    """The nodes of the path as they are built, first to last."""

    def __init__(self) -> None:
        self.nodes: dict[Key, Node] = {}

    def node(self, key: Key) -> Node:
        """The node of that key, made on first asking."""
        found = self.nodes.get(key)
        if found is None:
            found = self.nodes[key] = Node(key)
        return found

    def flow(self, source: Key, target: Key, amounts: Amounts, part: int, whole: int, unit: str) -> None:
        """Hand amounts from one node to another; what is uncertain stays so."""
        flow = Flow(source, target, part, whole, unit, amounts)
        giver, taker = self.node(source), self.node(target)
        giver.outflows.append(flow)
        taker.inflows.append(flow)
        taker.final = taker.final and giver.final
        taker.known = taker.known and giver.known

    def rest(
        self, key: Key, place: str, amounts: Amounts, quantity: int = 0, *, on: date | None = None, event: Key | None = None
    ) -> None:
        """Bring amounts of a node to rest in a place."""
        if amounts or quantity:
            self.node(key).standings.append(Standing(place, key, quantity, amounts, on, event))

    def standings(self) -> Iterator[Standing]:
        """Everything at rest, node by node."""
        for node in self.nodes.values():
            yield from node.standings
