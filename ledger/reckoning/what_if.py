"""What one bunch would cost and leave if something were otherwise.

Costs in millionths of a minor unit, prices in whole minor units, shares in
basis points; how much of a thing there would be is a `Fraction` of what there
is, so that nothing moved is the present figure to the millionth.

What moves with what, for each part of a bunch's cost:

- wage: all work, paid or not, wherever it was done, and the hours of a day of
  selling. Exact where the books' year of a plot or place is over; while it runs,
  what is still expected of it already holds its wages.
- loss: all that came with stems that hung, by sound stems now over sound stems
  then. Every hanging is taken to lose in the same proportion; stems that never
  hung, and oddments at their scrap value, stay. Exact where no oddments were kept
  and no hanging is marked a disaster.
- stems to the bunch: all that came with stems. Bunching work, bands and labels
  belong to the bunch and stay. Exact where a run made one line alone.
- plot cost: bed space.
- yield: growing and bed space, by stems now over stems then; cutting, hanging
  and all after are by the stem and stay. Exact once a season is over.
- fees: what is paid out for selling this way, on takings, by the day and by the
  parcel.
- price: nothing but itself.

Overheads follow the base they are laid on.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ledger.reckoning.price import WHOLE_BP, margin_of
from ledger.reckoning.selling import SellingCosts
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.tax import tax_within

Element = tuple[str, str]

WORK = frozenset({"labour", "unpaid"})
OF_THE_BED = frozenset({"growing", "bed_space"})
OWN, HUNG, STEMS, WORTH = "own", "hung", "stems", "worth"
LEVERS = ("wage", "loss", "stems", "plot", "cut", "fees", "price")
AS_IT_IS = Fraction(1)


@dataclass(frozen=True)
class Part:
    """Part of one unit's cost in millionths: its element, and by which road it came.

    `own`: spent on the unit's own run. `hung` and `stems`: came with stems that
    hung, or did not. `worth`: the scrap value of oddments.
    """

    element: Element
    road: str
    amount: int


@dataclass(frozen=True)
class Moves:
    """How many times as much there would be of each: `sound` stems of those hung, `cut` stems of a bed."""

    wage: Fraction = AS_IT_IS
    sound: Fraction = AS_IT_IS
    stems: Fraction = AS_IT_IS
    plot: Fraction = AS_IT_IS
    cut: Fraction = AS_IT_IS
    fees: Fraction = AS_IT_IS
    price: Fraction = AS_IT_IS


@dataclass(frozen=True)
class Left:
    """What a price leaves: `net` without tax in minor units; selling, full cost and margin in millionths."""

    net: int
    selling: int
    full_cost: int
    margin: int
    margin_bp: int


def cost_if(parts: Iterable[Part], moves: Moves) -> dict[Element, int]:
    """Return one unit's cost by element in millionths, each part moved by what it rests on, halves away from zero.

    Raises ZeroDivisionError where nothing would be cut or nothing would be sound.

    >>> hung = Part(("growing", "plants"), "hung", 300)
    >>> cost_if([hung], Moves(sound=Fraction(3, 4))), cost_if([hung], Moves(cut=Fraction(2), stems=Fraction(1, 2)))
    ({('growing', 'plants'): 400}, {('growing', 'plants'): 75})
    """
    found: dict[Element, int] = {}
    for part in parts:
        found[part.element] = found.get(part.element, 0) + whole(part.amount * times(part, moves))
    return found


def times(part: Part, moves: Moves) -> Fraction:
    """Return how many times as much one part would be."""
    if part.road == WORTH:
        return moves.stems
    stage, kind = part.element
    found = moves.wage if kind in WORK else AS_IT_IS
    if stage == "bed_space":
        found *= moves.plot
    if stage in OF_THE_BED:
        found /= moves.cut
    if part.road == HUNG:
        found /= moves.sound
    return found if part.road == OWN else found * moves.stems


def whole(amount: Fraction) -> int:
    """Return the nearest whole number, halves away from zero.

    >>> whole(Fraction(5, 2)), whole(Fraction(-5, 2))
    (3, -3)
    """
    if amount < 0:
        return -whole(-amount)
    return (2 * amount.numerator + amount.denominator) // (2 * amount.denominator)


def sound_if(loss_now: Fraction, loss_then: Fraction) -> Fraction:
    """Return how many times as many stems would be sound; ZeroDivisionError where all is lost now.

    >>> sound_if(Fraction(1, 10), Fraction(1, 4))
    Fraction(5, 6)
    """
    return (1 - loss_then) / (1 - loss_now)


def made_if(made: int, moves: Moves, *, hung: Fraction) -> int:
    """Return how many would be made of what was planted, halves up; `hung` is the part of the stems that hung.

    >>> made_if(100, Moves(stems=Fraction(1, 2), cut=Fraction(11, 10)), hung=Fraction(1))
    220
    """
    return whole(made * moves.cut * (hung * moves.sound + 1 - hung) / moves.stems)


def selling_if(costs: SellingCosts, moves: Moves, *, hours: int = 0) -> SellingCosts:
    """Return a way's selling costs with fees and wage moved; `hours`: what of the first fixed cost is its hours.

    >>> selling_if(SellingCosts(200, ((3000, 30000),)), Moves(fees=Fraction(2), wage=Fraction(3, 2)), hours=1000)
    SellingCosts(fee_bp=400, shared=((5500, 30000),))
    """
    paid = [(fixed - hours * (place == 0), hours * (place == 0), usual) for place, (fixed, usual) in enumerate(costs.shared)]
    shared = tuple((whole(fixed * moves.fees + work * moves.wage), usual) for fixed, work, usual in paid)
    return SellingCosts(whole(costs.fee_bp * moves.fees), shared)


def left_by(gross: int, shelf_cost: int, selling: SellingCosts, *, tax_bp: int) -> Left:
    """Return what a price with tax leaves after cost to the shelf and selling; a net of nothing leaves -100 %."""
    net = gross - tax_within(gross, tax_bp)
    sold = selling.all(gross * MILLION)
    full = shelf_cost + sold
    margin_bp = margin_of(full, net * MILLION) if net else -WHOLE_BP
    return Left(net=net, selling=sold, full_cost=full, margin=net * MILLION - full, margin_bp=margin_bp)


def break_even(cost: int, one_leaves: int) -> int | None:
    """Return how many must sell to get back a cost, up to a whole one; None where never.

    Both in one unit; `one_leaves` is the price of one less what selling it takes.

    >>> break_even(1001, 100), break_even(1001, 0)
    (11, None)
    """
    return None if one_leaves <= 0 else -(-cost // one_leaves)


def each_moved(moves: Moves, *, loss: Fraction, by: Fraction = Fraction(1, 10)) -> list[tuple[str, Moves, Moves]]:
    """Return, lever by lever, the moves with that one lower and higher by a tenth, the others as they are.

    `loss` is the share lost with these moves; one that would reach the whole stops a hundredth short of it.
    """
    found = []
    for lever in LEVERS:
        down, up = (_moved(moves, lever, times, loss) for times in (1 - by, 1 + by))
        found.append((lever, down, up))
    return found


def _moved(moves: Moves, lever: str, times: Fraction, loss: Fraction) -> Moves:
    if lever == "loss":
        return replace(moves, sound=moves.sound * sound_if(loss, min(loss * times, Fraction(99, 100))))
    return replace(moves, **{lever: getattr(moves, lever) * times})


def longest_first(bars: Mapping[str, Sequence[int]]) -> list[str]:
    """Return the names of pairs, those that lie furthest apart first, ties in their own order.

    >>> longest_first({"wage": (10, 20), "price": (40, -20)})
    ['price', 'wage']
    """
    return sorted(bars, key=lambda name: -abs(bars[name][1] - bars[name][0]))
