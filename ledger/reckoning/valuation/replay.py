"""Running a line's movements through a method, up to the end of a day."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from ledger.reckoning.valuation.movements import StockMovement, in_order
from ledger.reckoning.valuation.pools import Average, FirstIn, Issue, Pool, Stock, Traced

STOCKS: dict[str, Callable[[], Stock]] = {
    "traced": Traced,
    "fifo": FirstIn,
    "moving-average": Average,
    "periodic-average": Average,
}
METHODS = tuple(STOCKS)


@dataclass(frozen=True)
class Valuation:
    """Stock of one bunch line at the end of a day, and how it came to that.

    Costs in millionths. `opening` is the cost at the end of the day before
    `since`, the flows are those of `since` to `on`, net of what came back:
    opening + made + bought + found = sold + made_up + drawn + written_off +
    closing_cost. `taken` gives for every movement out up to `on` the cost it
    took less what came back; `left` gives for every batch with bunches left
    their number and cost.
    """

    opening: int
    made: int
    bought: int
    found: int
    sold: int
    made_up: int
    drawn: int
    written_off: int
    closing_cost: int
    closing_quantity: int
    taken: dict[int, int]
    left: dict[int, tuple[int, int]]


def value(
    method: str,
    movements: Iterable[StockMovement],
    *,
    on: date,
    since: date | None = None,
    period_ends: Sequence[date] = (),
) -> Valuation:
    """Return what a bunch line is worth at the end of `on` by one of METHODS.

    Day by day receipts and returns come first, then all that goes out as one
    sum, shared over the day's movements by bunches, whatever the order of
    entry. A return brings back exactly what its movement took, on the same day
    by not letting it out at all. The periodic average does the same period by
    period: periods end at each of `period_ends`, on the eve of `since` and
    `on`. Raises ValueError for another method, for a `since` after `on` and
    for movements that cannot be (see `in_order`).
    """
    step_of = steps_of(method, on, since, period_ends)
    ordered = in_order(movements, on)
    before = [movement for movement in ordered if since is not None and movement.on < since]
    run = LineRun(STOCKS[method]())
    run.through(before, step_of)
    opened = run.standing()
    run.through(ordered[len(before) :], step_of)
    return run.valuation(opened)


def steps_of(method: str, on: date, since: date | None, period_ends: Sequence[date]) -> Callable[[date], date]:
    """What names the step a day belongs to: the day itself, or the end of its period.

    Raises ValueError for another method and for a `since` after `on`.
    """
    if method not in STOCKS:
        raise ValueError(f"{method} is not one of {', '.join(METHODS)}")
    if since is not None and since > on:
        raise ValueError(f"{since} comes after {on}")
    return _periods(on, period_ends) if method == "periodic-average" else _day


def _day(day: date) -> date:
    return day


def _periods(on: date, period_ends: Sequence[date]) -> Callable[[date], date]:
    ends = sorted({*(end for end in period_ends if end < on), on})
    return lambda day: ends[bisect_left(ends, day)]


@dataclass(frozen=True)
class _Standing:
    cost: int
    flows: Counter[str]


class LineRun:
    """A line's stock on its way through the days."""

    def __init__(self, stock: Stock) -> None:
        self.stock = stock
        self.flows: Counter[str] = Counter()
        self.issues: dict[int, Issue] = {}
        self.quantities: Counter[int] = Counter()

    def through(self, ordered: Sequence[StockMovement], step_of: Callable[[date], date]) -> None:
        """Run movements in order of their days, one day or period after another."""
        for _, together in groupby(ordered, key=lambda movement: step_of(movement.on)):
            self.step(list(together))

    def step(self, movements: Sequence[StockMovement]) -> None:
        """Run the movements of one step: what comes in first, then all that goes out as one sum."""
        going = [self._note_issue(movement) for movement in movements if movement.quantity < 0]
        for movement in movements:
            self.quantities[movement.batch] += movement.quantity
            if movement.brings_back is not None:
                self._bring_back(self.issues[movement.brings_back], movement.quantity)
            elif movement.quantity > 0:
                self.stock.receive(movement)
                self.flows[movement.kind] += movement.cost
        self._let_out(going)

    def _note_issue(self, movement: StockMovement) -> Issue:
        issue = Issue(movement.kind, movement.batch, Pool(-movement.quantity))
        self.issues[movement.key] = issue
        return issue

    def _bring_back(self, issue: Issue, quantity: int) -> None:
        if issue.costed:
            self.flows[issue.kind] -= self.stock.bring_back(issue, quantity)
        else:
            issue.out.quantity -= quantity

    def _let_out(self, going: Sequence[Issue]) -> None:
        still_out = [issue for issue in going if issue.out.quantity]
        if still_out:
            self.stock.issue(still_out)
        for issue in going:
            issue.costed = True
            self.flows[issue.kind] += issue.out.cost

    def taken(self, movement: int) -> int:
        """Return what a movement out took."""
        return self.issues[movement].out.cost

    def standing(self) -> _Standing:
        """Return the cost of the stock now and the flows up to now."""
        return _Standing(self.stock.cost(), self.flows.copy())

    def valuation(self, opened: _Standing) -> Valuation:
        """Return how the stock stands now, counted from an earlier standing."""
        flow = {kind: amount - opened.flows[kind] for kind, amount in self.flows.items()}
        left = {batch: n for batch, n in sorted(self.quantities.items()) if n}
        return Valuation(
            opening=opened.cost,
            made=flow.get("made", 0),
            bought=flow.get("bought", 0),
            found=flow.get("found", 0),
            sold=flow.get("sold", 0),
            made_up=flow.get("made_up", 0),
            drawn=flow.get("drawn", 0),
            written_off=flow.get("written_off", 0),
            closing_cost=self.stock.cost(),
            closing_quantity=sum(left.values()),
            taken={key: issue.out.cost for key, issue in self.issues.items()},
            left=self.stock.left(left),
        )
