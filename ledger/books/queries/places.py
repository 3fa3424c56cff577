"""Where every minor unit is, once for money spent and once for full cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from ledger.costing.queries import Bases, book
from ledger.reckoning.book import Amounts, Book, Standing, total
from ledger.reckoning.taking import proportion
from ledger.sales.queries.out import out_on_return

from ..models import ClosedPlace, YearClose

BOXED, OUT, PUT_RIGHT = "boxed", "out on sale or return", "earlier years put right"


@dataclass(frozen=True)
class Place:
    """What rests in one place of the proof, in millionths."""

    paid: int = 0
    full: int = 0

    def __add__(self, other: Place) -> Place:
        return Place(self.paid + other.paid, self.full + other.full)

    def __neg__(self) -> Place:
        return Place(-self.paid, -self.full)


ByNode = dict[tuple[str, str, bool], tuple[int, Place]]


def last_close(on: date) -> YearClose | None:
    """The latest standing close of a day before `on`."""
    return YearClose.objects.standing().filter(on__lt=on).order_by("-on", "-pk").first()


def places_on(on: date, made: Book | None = None) -> dict[str, Place]:
    """Every place as of a day; what closed days hold now beyond what was frozen is put right apart.

    Of what is boxed, what customers have on sale or return stands apart: its share of each batch by bunches, halves up.
    """
    close = last_close(on)
    found: dict[str, Place] = defaultdict(Place)
    if close is not None:
        found[PUT_RIGHT] = Place()
    boxed: dict[str, tuple[int, Place]] = defaultdict(lambda: (0, Place()))
    for (place, node, _dated), (quantity, at) in kept_by_node(made or book(on), Bases(on), close).items():
        found[place] += at
        if place == BOXED:
            boxed[node] = (boxed[node][0] + quantity, boxed[node][1] + at)
    for batch, bunches in out_on_return(on).items():
        of, whole = boxed[f"batch:{batch}"]
        if of:
            out = Place(proportion(whole.paid, bunches, of), proportion(whole.full, bunches, of))
            found[OUT] += out
            found[BOXED] += -out
    return {place: found[place] for place in sorted(found)}


def kept_by_node(made: Book, bases: Bases, close: YearClose | None) -> ByNode:
    """Standings by node as the books keep them: closed days as frozen, what the facts now say beyond that put right.

    What was put right before a later close stays put right after it.
    """
    if close is None:
        return standings_by_node(made, bases)
    found = standings_by_node(made, bases, lambda at: not is_of_closed_day(at, close.on))
    late: dict[str, Place] = defaultdict(Place)
    for at in made.graph.standings():
        if is_of_closed_day(at, close.on):
            late[node_name(at)] += as_place(at.amounts, bases)
    for row in ClosedPlace.objects.filter(close=close, dated=True).exclude(place=PUT_RIGHT).order_by("pk"):
        frozen = Place(row.paid, row.full)
        late[row.node] += -frozen
        quantity, at_rest = found.get((row.place, row.node, True), (0, Place()))
        found[row.place, row.node, True] = (quantity + row.quantity, at_rest + frozen)
    return {**found, **{(PUT_RIGHT, node, True): (0, place) for node, place in late.items() if place != Place()}}


def is_of_closed_day(at: Standing, closed_until: date) -> bool:
    """Whether this came to rest with an event of a closed day."""
    return at.on is not None and at.on <= closed_until


def as_place(amounts: Amounts, bases: Bases) -> Place:
    """Amounts on both bases."""
    return Place(bases.money_spent(amounts), total(amounts))


def standings_by_node(
    made: Book, bases: Bases, wanted: Callable[[Standing], bool] = lambda at: True
) -> ByNode:
    """Standings gathered by (place, node, whether dated): quantity and amounts."""
    found: ByNode = {}
    for at in made.graph.standings():
        if wanted(at):
            key = (at.place, node_name(at), at.on is not None)
            quantity, place = found.get(key, (0, Place()))
            found[key] = (quantity + at.quantity, place + as_place(at.amounts, bases))
    return found


def node_name(at: Standing) -> str:
    """The cost book's key of a node as it is kept: kind and number."""
    return f"{at.node[0]}:{at.node[1]}"


def totals(places: Mapping[str, Place] | Iterable[Place]) -> Place:
    """The sum of places."""
    whole = Place()
    for place in places.values() if isinstance(places, Mapping) else places:
        whole += place
    return whole


