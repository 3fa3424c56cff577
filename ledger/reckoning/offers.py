"""Offers of several together for one price: which apply to what is sold, and what each line gets off.

Amounts and prices in whole minor units, all with tax or all without.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger.reckoning.sharing import share_out


@dataclass(frozen=True)
class Units:
    """So many units of a line (by its key) at one price each."""

    line: int
    quantity: int
    price: int


@dataclass(frozen=True)
class Several:
    """An offer: `quantity` units of any of `lines` together for `amount`. Raises ValueError for fewer than one."""

    key: int
    quantity: int
    amount: int
    lines: frozenset[int]

    def __post_init__(self) -> None:
        if self.quantity < 1:
            raise ValueError("an offer is of at least one")


@dataclass(frozen=True)
class Piece:
    """A part of what was sold of a line: so many units, the offer that counted (None: none did), what it took off."""

    quantity: int
    offer: int | None = None
    off: int = 0


def take_off(sold: Sequence[Units], offers: Sequence[Several]) -> list[list[Piece]]:
    """Return the pieces of each of `sold`, in its order; their quantities add up to what was sold.

    An offer counts as often as its quantity goes into the units of its lines,
    dearest units first, as long as that saves something; a unit counts in one
    offer only. The offer that saves most comes first, ties by key. What it
    saves is shared over its lines by the value of their units, by largest
    remainder. Units that no offer takes stay with the first piece of their line.

    >>> three = Several(7, quantity=3, amount=1200, lines=frozenset({1, 2}))
    >>> take_off([Units(1, 4, 500), Units(2, 1, 450)], [three])
    [[Piece(quantity=4, offer=7, off=300)], [Piece(quantity=1, offer=None, off=0)]]
    """
    left = [one.quantity for one in sold]
    taken: list[list[Piece]] = [[] for _ in sold]
    waiting = list(offers)
    while waiting:
        tried = [(one, _counted(sold, left, one)) for one in waiting]
        best, counts = max(tried, key=lambda pair: (_saving(sold, *pair), -pair[0].key))
        saving = _saving(sold, best, counts)
        if saving <= 0:
            break
        values = [count * sold[place].price for place, count in counts.items()]
        for place, off in zip(counts, share_out(saving, values), strict=True):
            taken[place].append(Piece(counts[place], best.key, off))
            left[place] -= counts[place]
        waiting.remove(best)
    return [_with_rest(pieces, rest) for pieces, rest in zip(taken, left, strict=True)]


def _counted(sold: Sequence[Units], left: Sequence[int], offer: Several) -> dict[int, int]:
    """How many units of each place an offer takes: whole sets, the dearest first, as long as a set costs more than the offer."""
    places = [place for place, one in enumerate(sold) if one.line in offer.lines and left[place]]
    places.sort(key=lambda place: (-sold[place].price, place))
    counts: dict[int, int] = {}
    still = {place: left[place] for place in places}
    for _ in range(sum(still.values()) // offer.quantity):
        one_set = _next_set(places, still, offer.quantity)
        if sum(count * sold[place].price for place, count in one_set.items()) <= offer.amount:
            break
        for place, count in one_set.items():
            still[place] -= count
            counts[place] = counts.get(place, 0) + count
    return dict(sorted(counts.items()))


def _next_set(places: Sequence[int], still: Mapping[int, int], quantity: int) -> dict[int, int]:
    """The dearest units still there that make up one set."""
    one_set: dict[int, int] = {}
    wanted = quantity
    for place in places:
        count = min(wanted, still[place])
        if count:
            one_set[place] = count
            wanted -= count
    return one_set


def _saving(sold: Sequence[Units], offer: Several, counts: Mapping[int, int]) -> int:
    """What an offer saves on the units it takes."""
    worth = sum(count * sold[place].price for place, count in counts.items())
    return worth - sum(counts.values()) // offer.quantity * offer.amount


def _with_rest(pieces: Sequence[Piece], rest: int) -> list[Piece]:
    if not pieces:
        return [Piece(rest)]
    first = pieces[0]
    return [Piece(first.quantity + rest, first.offer, first.off), *pieces[1:]]
