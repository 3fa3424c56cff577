"""The stock book as a valuation reads it: receipts at stock cost, issues, and what was made of what."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date

from ledger.costing.queries import Bases
from ledger.facts.queries import holding
from ledger.reckoning.book import Book, RunFact, in_making_order
from ledger.reckoning.sharing import share_out
from ledger.reckoning.valuation import Making, StockMovement, Valuation, value_all
from ledger.reckoning.years import year_bounds, year_of


def valued_lines(method: str, made: Book, bases: Bases, *, on: date, since: date | None = None) -> dict[int, Valuation]:
    """Every line's stock by one method, what was drawn for made-up goods and rework costed by that method too."""
    movements, makings = stock_book(made, bases)
    return value_all(method, movements, makings, on=on, since=since, period_ends=_year_ends(movements, on))


def stock_book(made: Book, bases: Bases) -> tuple[dict[int, list[StockMovement]], list[Making]]:
    """The movements of every line, and the runs that used bunches, in the order in which they were made."""
    line_of = {batch.key: batch.line for run in made.facts.runs for batch in run.batches}
    bought = {batch.key for run in made.facts.runs if run.bought_in for batch in run.batches}
    drawn: dict[int, list[int]] = defaultdict(list)
    for one in made.facts.movements:
        if one.run is not None:
            drawn[one.run].append(one.key)
    own = {run.key: _own_costs(made, bases, run) for run in made.facts.runs if run.key in drawn}
    cost_of = {batch: cost for costs in own.values() for batch, cost in costs.items()}
    found: dict[int, list[StockMovement]] = defaultdict(list)
    receipt_of: dict[int, int] = {}
    for one in made.facts.movements:
        cost, kind = 0, one.kind
        if one.kind == "made":
            receipt_of[one.batch] = one.key
            cost = cost_of.get(one.batch, bases.stock_cost(made.batch_cost(one.batch)))
            kind = "bought" if one.batch in bought else kind
        found[line_of[one.batch]].append(
            StockMovement(one.on, one.key, one.batch, one.bunches, kind, cost, one.brings_back)
        )
    return found, [_making(run, drawn[run.key], receipt_of) for run in in_making_order(made.facts) if run.key in drawn]


def _own_costs(made: Book, bases: Bases, run: RunFact) -> dict[int, int]:
    """What a run cost beside the bunches it used, at stock cost, by batch."""
    node = made.node(("run", run.key))
    besides = sum(bases.stock_cost(flow.amounts) for flow in node.inflows if flow.source[0] != "batch")
    parts = share_out(besides + bases.stock_cost(node.own), run.weights)
    return {batch.key: part for batch, part in zip(run.batches, parts, strict=True)}


def _making(run: RunFact, draws: Sequence[int], receipt_of: Mapping[int, int]) -> Making:
    weights = zip(run.batches, run.weights, strict=True)
    return Making(draws, [(receipt_of[batch.key], weight) for batch, weight in weights])


def _year_ends(movements: Mapping[int, Sequence[StockMovement]], on: date) -> list[date]:
    """The ends of the books' years from the first movement to the day."""
    kept = holding()
    ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
    first = min((row.on for rows in movements.values() for row in rows), default=on)
    return [year_bounds(year, **ends)[1] for year in range(year_of(first, **ends), year_of(on, **ends))]
