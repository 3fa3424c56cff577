"""A price list as it is handed out: every line of a way with its steps, and the offers, as of a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from ledger.facts.queries import holding
from ledger.reckoning.currency import minor_digits
from ledger.stock.models import Line

from ..models import Price, Way
from .words import steps_in_words


@dataclass(frozen=True)
class ListRow:
    """One line of a price list: the price of one (None: only from a step on), steps in words, since when."""

    price: Price
    amount: int | None
    steps: str

    @property
    def line(self) -> Line:
        return self.price.line


def list_rows(way: Way, on: date) -> list[ListRow]:
    """The lines of a way's price list that day, in the order of lines."""
    by_line: dict[int, list[Price]] = {}
    for price in Price.objects.in_force(on).filter(way=way).whole():
        by_line.setdefault(price.line_id, []).append(price)
    digits = minor_digits(holding().currency)
    return [_row(prices, digits) for prices in by_line.values()]


def _row(prices: list[Price], digits: int) -> ListRow:
    steps = [(one.at_least, one.amount) for one in prices if one.amount is not None]
    first = prices[0]
    return ListRow(first, first.amount if first.at_least == 1 else None, steps_in_words(steps, digits))
