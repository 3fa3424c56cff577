"""Stock at cost by any of the four methods, and its value where it will fetch less."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.costing.queries import Bases, book
from ledger.facts.queries import holding
from ledger.reckoning.book import Book
from ledger.reckoning.realisable import lower_of
from ledger.reckoning.sharing import printed, to_minor
from ledger.reckoning.taking import proportion
from ledger.reckoning.valuation import Valuation
from ledger.stock.models import Line

from ..models import ClosedLine, YearClose
from .realisable import Realisable, realisable_on
from .receipts import valued_lines

FLOWS = ("opening", "made", "bought", "found", "sold", "made_up", "drawn", "written_off", "closing_cost")
IN_PROGRESS = ("in water", "hanging", "loose")
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class LineValue:
    """One line's stock: cost, what it will fetch (None: no price known) and its value, in millionths."""

    line: Line
    quantity: int
    cost: int
    realisable: int | None
    write_down: int

    @property
    def value(self) -> int:
        return self.cost - self.write_down


@dataclass(frozen=True)
class StockValue:
    """Stock on a day by one method, in millionths.

    opening + made + bought + found = sold + made_up + drawn + written_off +
    closing_cost. `put_right` is the part of `made` that late facts added to
    bunches already held when the year before was closed.
    """

    on: date
    since: date | None
    method: str
    flows: dict[str, int]
    put_right: int
    lines: Sequence[LineValue]
    in_progress: dict[str, int]
    final: bool

    @property
    def write_down(self) -> int:
        return sum(line.write_down for line in self.lines)

    @property
    def value(self) -> int:
        return self.flows["closing_cost"] - self.write_down

    def in_minor(self) -> dict[str, int]:
        """The flows in whole minor units; the largest between opening and closing bears the rounding, so both sides agree."""
        rounded = {name: to_minor(self.flows[name]) for name in FLOWS}
        off = sum(rounded[name] for name in FLOWS[4:]) - sum(rounded[name] for name in FLOWS[:4])
        largest = max(FLOWS[1:-1], key=lambda name: abs(rounded[name]))
        rounded[largest] += off if largest in FLOWS[:4] else -off
        return rounded


def stock_value(on: date, *, since: date | None = None, method: str | None = None) -> StockValue:
    """Value the stock at the end of a day; `since` begins the flows (None: from the very first day)."""
    return stock_value_of(book(on), Bases(on), on=on, since=since, method=method or holding().stock_method)


def stock_value_of(
    made: Book, bases: Bases, *, on: date, method: str, since: date | None = None
) -> StockValue:
    """Value the stock of a book already read."""
    by_line = valued_lines(method, made, bases, on=on, since=since)
    frozen = _frozen_opening(since, method)
    lines = {line.pk: line for line in Line.objects.select_related("variety__species").filter(pk__in=by_line)}
    prices = realisable_on(on, lines.values())
    flows: dict[str, int] = dict.fromkeys(FLOWS, 0)
    values, put_right = [], 0
    for pk, valued in sorted(by_line.items(), key=lambda item: str(lines[item[0]])):
        late = _add_flows(flows, valued, frozen.get(pk) if frozen is not None else None)
        put_right += late
        values.append(_line_value(lines[pk], valued, method, prices.get(pk)))
    return StockValue(
        on=on, since=since, method=method, flows=flows, put_right=put_right,
        lines=[one for one in values if one.quantity], in_progress=_in_progress(made, bases), final=_final(made),
    )


def _frozen_opening(since: date | None, method: str) -> dict[int, int] | None:
    """What the close of the day before `since` froze of each line, None where that day is not closed."""
    if since is None:
        return None
    close = YearClose.objects.standing().filter(on=since - ONE_DAY).first()
    if close is None:
        return None
    rows = ClosedLine.objects.filter(close=close, method=method)
    return dict(rows.values_list("line_id", "cost"))


def _add_flows(flows: dict[str, int], valued: Valuation, frozen: int | None) -> int:
    """Add a line's flows; an opening that was frozen stays, and the difference counts as made late."""
    late = 0
    for name in FLOWS:
        flows[name] += getattr(valued, name)
    if frozen is not None:
        late = valued.opening - frozen
        flows["opening"] -= late
        flows["made"] += late
    return late


def _line_value(line: Line, valued: Valuation, method: str, price: Realisable | None) -> LineValue:
    """Lower of cost and what it fetches: by batch when traced, else by line."""
    quantity, cost = valued.closing_quantity, valued.closing_cost
    if price is None or not quantity:
        return LineValue(line, quantity, cost, None, 0)
    fetches = price.of(quantity)
    parts = list(valued.left.values()) if method == "traced" else [(quantity, cost)]
    down = sum(part - lower_of(part, proportion(fetches, number, quantity)) for number, part in parts)
    return LineValue(line, quantity, cost, fetches, down)


def _in_progress(made: Book, bases: Bases) -> dict[str, int]:
    return {place: bases.stock_cost(made.places.get(place, {})) for place in IN_PROGRESS}


def _final(made: Book) -> bool:
    nodes = (node for key, node in made.graph.nodes.items() if key[0] == "batch" and node.quantity)
    return all(node.final and node.known for node in nodes)


def printed_lines(valued: StockValue, closing: int) -> tuple[list[int], list[int]]:
    """Each line's cost and value in whole minor units; costs add up to the `closing` printed, values to theirs."""
    return printed([line.cost for line in valued.lines], closing), printed([line.value for line in valued.lines])
