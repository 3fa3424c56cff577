"""Where every minor unit is, once for money spent and once for full cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from ledger.costing.queries import Bases, book
from ledger.reckoning.book import Amounts, Book, Standing, total

from ..models import ClosedPlace, YearClose

PUT_RIGHT = "earlier years put right"


@dataclass(frozen=True)
class Place:
    """What rests in one place of the proof, in millionths."""

    paid: int = 0
    full: int = 0

    def __add__(self, other: Place) -> Place:
        return Place(self.paid + other.paid, self.full + other.full)

    def __neg__(self) -> Place:
        return Place(-self.paid, -self.full)


def last_close(on: date) -> YearClose | None:
    """The latest standing close of a day before `on`."""
    return YearClose.objects.standing().filter(on__lt=on).order_by("-on", "-pk").first()


def places_on(on: date, made: Book | None = None) -> dict[str, Place]:
    """Every place as of a day; what closed days hold now beyond what was frozen is put right apart."""
    made, bases = made or book(on), Bases()
    close = last_close(on)
    found: dict[str, Place] = defaultdict(Place)
    for at in made.graph.standings():
        if close is None or not is_of_closed_day(at, close.on):
            found[at.place] += as_place(at.amounts, bases)
    if close is not None:
        _put_right(found, made, bases, close)
    return {place: found[place] for place in sorted(found)}


def is_of_closed_day(at: Standing, closed_until: date) -> bool:
    """Whether this came to rest with an event of a closed day."""
    return at.on is not None and at.on <= closed_until


def as_place(amounts: Amounts, bases: Bases) -> Place:
    """Amounts on both bases."""
    return Place(bases.money_spent(amounts), total(amounts))


def _put_right(found: dict[str, Place], made: Book, bases: Bases, close: YearClose) -> None:
    """Closed days stay as frozen; the difference from what the facts now say stands apart."""
    for place, frozen in frozen_events(close).items():
        found[place] += frozen
        found[PUT_RIGHT] += -frozen
    for at in made.graph.standings():
        if is_of_closed_day(at, close.on):
            found[PUT_RIGHT] += as_place(at.amounts, bases)


def frozen_events(close: YearClose) -> dict[str, Place]:
    """What a close froze of events of closed days, by place."""
    found: dict[str, Place] = defaultdict(Place)
    for place, paid, full in ClosedPlace.objects.filter(close=close, dated=True).values_list("place", "paid", "full"):
        found[place] += Place(paid, full)
    return dict(found)


def standings_by_node(
    made: Book, bases: Bases, wanted: Callable[[Standing], bool] = lambda at: True
) -> dict[tuple[str, str, bool], tuple[int, Place]]:
    """Standings gathered by (place, node, whether dated): quantity and amounts."""
    found: dict[tuple[str, str, bool], tuple[int, Place]] = {}
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


