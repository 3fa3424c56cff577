"""Whether closed years still say what the facts known at their close make of them."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.costing.queries import Bases, fresh_book
from ledger.reckoning.book import Book
from ledger.reckoning.valuation import METHODS

from ..models import ClosedBatch, ClosedLine, ClosedPlace, YearClose
from .places import kept_by_node, last_close
from .receipts import valued_lines
from .valuing import stock_value_of


def closed_differences() -> Iterable[str]:
    """Every row of a closed year that is no longer what was frozen, by making that day's book again."""
    for close in YearClose.objects.standing().order_by("on", "pk"):
        try:
            yield from _frozen(close, fresh_book(close.on, close.recorded_at), Bases(close.on, close.recorded_at))
        except (ValueError, KeyError) as error:
            yield f"closed year {close.year}: its cost book cannot be made again: {error}"


def _frozen(close: YearClose, made: Book, bases: Bases) -> Iterable[str]:
    yield from _places(close, made, bases)
    yield from _lines(close, made, bases)
    yield from _batches(close, made, bases)


def _places(close: YearClose, made: Book, bases: Bases) -> Iterable[str]:
    expected = kept_by_node(made, bases, last_close(close.on))
    for row in ClosedPlace.objects.filter(close=close).order_by("pk"):
        quantity, place = expected.pop((row.place, row.node, row.dated), (None, None))
        if place is None or (row.quantity, row.paid, row.full) != (quantity, place.paid, place.full):
            yield f"closed place {row.pk} ({close.year}, {row.place}, {row.node}): changed since the close"
    for place_name, node, _ in expected:
        yield f"closed year {close.year}: {place_name} of {node} is missing"


def _lines(close: YearClose, made: Book, bases: Bases) -> Iterable[str]:
    expected = frozen_lines(made, bases)
    valued = stock_value_of(made, bases, on=close.on, method=close.method)
    downs = {(one.line.pk, close.method): one.write_down for one in valued.lines}
    rows = list(ClosedLine.objects.filter(close=close).order_by("pk"))
    for row in rows:
        key = (row.line_id, row.method)
        if (expected.pop(key, None), downs.get(key, 0)) != ((row.quantity, row.cost), row.write_down):
            yield f"closed line {row.pk} ({close.year}, line {row.line_id}, {row.method}): changed since the close"
    for line, method in expected:
        yield f"closed year {close.year}: line {line} by {method} is missing"
    kept = [row for row in rows if row.method == close.method]
    if close.closing_cost != sum(row.cost for row in kept) or close.write_down != sum(row.write_down for row in kept):
        yield f"closed year {close.year}: its lines do not add up to its closing cost and write-down"


def _batches(close: YearClose, made: Book, bases: Bases) -> Iterable[str]:
    expected = frozen_batches(made, bases)
    for row in ClosedBatch.objects.filter(close=close).order_by("pk"):
        if expected.pop(row.batch_id, None) != (row.quantity, row.cost):
            yield f"closed batch {row.pk} ({close.year}, batch {row.batch_id}): changed since the close"
    for batch in expected:
        yield f"closed year {close.year}: batch {batch} is missing"


def frozen_batches(made: Book, bases: Bases) -> dict[int, tuple[int, int]]:
    """batch -> (quantity, traced stock cost) of every batch with bunches left, as a close freezes it."""
    return {
        number: (node.quantity, sum(bases.stock_cost(at.amounts) for at in node.standings if at.place == "boxed"))
        for (kind, number), node in made.graph.nodes.items()
        if kind == "batch" and node.quantity
    }


def frozen_lines(made: Book, bases: Bases) -> dict[tuple[int, str], tuple[int, int]]:
    """(line, method) -> (quantity, cost) of every line with stock, as a close freezes it."""
    return {
        (line, method): (valued.closing_quantity, valued.closing_cost)
        for method in METHODS
        for line, valued in valued_lines(method, made, bases, on=made.facts.on).items()
        if valued.closing_quantity or valued.closing_cost
    }
