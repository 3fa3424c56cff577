"""Prices of lines by a way of selling, one at a time or a whole sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal
from ledger.stock.models import Line

from ..models import Price, Way


@dataclass(frozen=True)
class ListPrice:
    """One line's price on a sheet; `amount` None: no longer sold so."""

    line: Line
    amount: int | None
    at_least: int = 1


@action("prices")
def set_price(*, by: User, way: Way, line: Line, on: date, amount: int | None, at_least: int = 1) -> Price:
    """Record the price of one unit of a line from a day on, as the way keeps it; `at_least` for so many or more at once.

    None: no longer sold so, and none of the steps that hold that day given any more; or only that step no longer given.
    """
    if amount is not None and amount < 1:
        raise refusal("amount", _("A price is more than nothing."), code="too_few")
    if amount is None:
        _require_priced(way, line, on, at_least)
    return record(Price(on=on, way=way, line=line, amount=amount, at_least=at_least), by=by)


def _require_priced(way: Way, line: Line, on: date, at_least: int) -> None:
    """Refuse to end what does not hold that day."""
    if not Price.objects.in_force(on).filter(way=way, line=line, at_least=at_least).exists():
        raise refusal("amount", _("%(line)s has no such price by %(way)s that day."), code="no_price", line=line, way=way)


@action("prices")
def set_prices(*, by: User, way: Way, on: date, prices: Sequence[ListPrice]) -> list[Price]:
    """Record several prices of a way from a day on, all or none."""
    if not prices:
        raise refusal(None, _("Write a new price beside at least one line."), code="no_prices")
    if len({(one.line.pk, one.at_least) for one in prices}) < len(prices):
        raise refusal(None, _("A line is named twice."), code="twice")
    return [
        set_price(by=by, way=way, line=one.line, on=on, amount=one.amount, at_least=one.at_least)
        for one in sorted(prices, key=lambda one: (one.line.pk, -one.at_least))
    ]


@action("prices")
def undo_price(*, by: User, price: Price) -> Price:
    """Undo a price: the one before it stands again, and with an ending the steps that ended with it."""
    return undo_within(price, by=by)
