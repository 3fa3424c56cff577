"""Valuing lines together where bunches of one were made into another.

A method is a whole run of the path from the boxed bunch on: what was drawn for
made-up goods or rework takes its cost by the method, and what was made of it
carries that cost on.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from graphlib import CycleError, TopologicalSorter
from itertools import groupby

from ledger.reckoning.sharing import share_out
from ledger.reckoning.valuation.movements import StockMovement, in_order
from ledger.reckoning.valuation.replay import STOCKS, LineRun, Valuation, steps_of, value


@dataclass(frozen=True)
class Making:
    """One run that used bunches: the keys of its movements out, and of those in with the weight each has in the split."""

    draws: Sequence[int]
    receipts: Sequence[tuple[int, int]]


def value_all(
    method: str,
    movements: Mapping[int, Iterable[StockMovement]],
    makings: Sequence[Making],
    *,
    on: date,
    since: date | None = None,
    period_ends: Sequence[date] = (),
) -> dict[int, Valuation]:
    """Return what every line is worth at the end of `on`, as `value` does for one.

    The cost of a receipt named by a making is what its run cost beside the
    bunches it used; what those took is added. Within a step a line is run
    through once all that was made into it is known; where lines were made of
    one another in one step, runs go one after another. Makings come in the
    order in which they were made. Raises ValueError as `value` does.
    """
    if not makings:
        return {
            line: value(method, rows, on=on, since=since, period_ends=period_ends) for line, rows in movements.items()
        }
    step_of = steps_of(method, on, since, period_ends)
    chain = Chain(method, {line: in_order(rows, on) for line, rows in movements.items()}, makings)
    ordered = sorted(chain.line_of, key=lambda row: (step_of(row.on), row.on, row.key, row.quantity))
    opened, before = {}, [row for row in ordered if since is not None and row.on < since]
    for rows in (before, ordered[len(before) :]):
        if rows is not before:
            opened = {line: run.standing() for line, run in chain.runs.items()}
        for _, together in groupby(rows, key=lambda row: step_of(row.on)):
            chain.step(list(together))
    return {line: run.valuation(opened[line]) for line, run in chain.runs.items()}


class Chain:
    """All lines on their way through the days together."""

    def __init__(self, method: str, movements: Mapping[int, Sequence[StockMovement]], makings: Sequence[Making]) -> None:
        self.runs = {line: LineRun(STOCKS[method]()) for line in movements}
        self.line_of = {row: line for line, rows in movements.items() for row in rows}
        self._line_of_key = {row.key: line for row, line in self.line_of.items()}
        self._making_of = {key: making for making in makings for key, _ in making.receipts}
        self._makings = makings

    def step(self, rows: Sequence[StockMovement]) -> None:
        """Run one day or period: line by line where that can be, else run by run."""
        by_line: dict[int, list[StockMovement]] = defaultdict(list)
        for row in rows:
            by_line[self.line_of[row]].append(row)
        try:
            lines = list(TopologicalSorter(self._made_of(by_line)).static_order())
        except CycleError:
            self._run_by_run(rows)
            return
        for line in lines:
            self.runs[line].step([self._costed(row) for row in by_line[line]])

    def _made_of(self, by_line: Mapping[int, Sequence[StockMovement]]) -> dict[int, set[int]]:
        """The lines of a step, each with those that were made into it."""
        found: dict[int, set[int]] = {line: set() for line in by_line}
        for line, rows in by_line.items():
            for row in rows:
                making = self._making_of.get(row.key)
                found[line] |= {self._line_of_key[key] for key in making.draws} if making else set()
        return found

    def _run_by_run(self, rows: Sequence[StockMovement]) -> None:
        """Receipts that were not made of bunches first, then run after run its draws and what it made, then the rest."""
        going = {row.key for row in rows if row.quantity < 0}
        first = [
            row for row in rows
            if row.quantity > 0 and row.key not in self._making_of and row.brings_back not in going
        ]
        self._each_line(first)
        done, here = set(first), {row.key: row for row in rows}
        for making in self._makings:
            draws = [here[key] for key in making.draws if key in here]
            made = [here[key] for key, _ in making.receipts if key in here]
            self._each_line(draws)
            self._each_line(made)
            done |= {*draws, *made}
        self._each_line([row for row in rows if row not in done])

    def _each_line(self, rows: Sequence[StockMovement]) -> None:
        by_line: dict[int, list[StockMovement]] = defaultdict(list)
        for row in rows:
            by_line[self.line_of[row]].append(row)
        for line, together in by_line.items():
            self.runs[line].step([self._costed(row) for row in together])

    def _costed(self, row: StockMovement) -> StockMovement:
        """A receipt with what the bunches that went into it took."""
        making = self._making_of.get(row.key)
        if making is None:
            return row
        taken = sum(self.runs[self._line_of_key[key]].taken(key) for key in making.draws)
        parts = share_out(taken, [weight for _, weight in making.receipts])
        return replace(row, cost=row.cost + parts[[key for key, _ in making.receipts].index(row.key)])
