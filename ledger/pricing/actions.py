"""The verbs of pricing: ways of selling, their terms, prices."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details, undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, record, refusal
from ledger.stock.models import Line

from .models import Price, Way, WayTerms


@action("prices")
def add_way(*, by: User, name: str, with_tax: bool = True, trade: bool = False) -> Way:
    """Add a way of selling; `with_tax` says how its prices are kept."""
    return keep(Way(name=name, with_tax=with_tax, trade=trade))


@action("prices")
def rename_way(*, by: User, way: Way, name: str, seen: dict[str, str] | None = None) -> Way:
    """Give a way another name, keeping the one before."""
    return change_details(way, by=by, seen=seen or {}, changes={"name": name})


@action("prices")
def set_terms(
    *, by: User, way: Way, on: date, fee_bp: int = 0, fixed_day: int = 0, usual_takings: int = 0,
    margin_bp: int = 3000, ending: int | None = None,
) -> WayTerms:
    """Record what selling this way costs from a day on, and the margin wanted."""
    if fixed_day and not usual_takings:
        raise refusal(
            "usual_takings", _("A fixed cost of a day needs the usual takings of a day to be shared on."), code="no_takings"
        )
    return record(
        WayTerms(
            on=on, way=way, fee_bp=fee_bp, fixed_day=fixed_day, usual_takings=usual_takings, margin_bp=margin_bp,
            ending=ending,
        ),
        by=by,
    )


@action("prices")
def set_price(*, by: User, way: Way, line: Line, on: date, amount: int) -> Price:
    """Record the price of one unit of a line from a day on, as the way keeps it."""
    if amount < 1:
        raise refusal("amount", _("A price is more than nothing."), code="too_few")
    return record(Price(on=on, way=way, line=line, amount=amount), by=by)


@action("prices")
def undo_terms(*, by: User, terms: WayTerms) -> WayTerms:
    """Undo a way's terms: those before stand again."""
    return _undone(terms, by)


@action("prices")
def undo_price(*, by: User, price: Price) -> Price:
    """Undo a price: the one before it stands again."""
    return _undone(price, by)


def _undone(fact: Any, by: User) -> Any:
    return undo_within(fact, by=by)
