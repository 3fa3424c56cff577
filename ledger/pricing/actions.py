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
def add_way(*, by: User, name: str, with_tax: bool = True, trade: bool = False, kind: str | None = None) -> Way:
    """Add a way of selling; `with_tax` says how its prices are kept, `kind` which costs it has (None: trade, else the gate)."""
    usual = Way.Kind.TRADE if trade else Way.Kind.GATE
    return keep(Way(name=name, with_tax=with_tax, trade=trade, kind=kind or usual))


@action("prices")
def rename_way(*, by: User, way: Way, name: str, seen: dict[str, str] | None = None) -> Way:
    """Give a way another name, keeping the one before."""
    return change_details(way, by=by, seen=seen or {}, changes={"name": name})


@action("prices")
def set_terms(
    *, by: User, way: Way, on: date, margin_bp: int = 3000, ending: int | None = None, **costs: Any
) -> WayTerms:
    """Record what selling this way costs from a day on, and the margin wanted; `costs` by the names of `WayTerms`."""
    terms = WayTerms(on=on, way=way, margin_bp=margin_bp, ending=ending, **costs)
    if (terms.fixed_day or (terms.day_minutes and terms.hour_cost)) and not terms.usual_takings:
        raise refusal(
            "usual_takings", _("A fixed cost of a day needs the usual takings of a day to be shared on."), code="no_takings"
        )
    if (terms.fixed_parcel or terms.carriage) and not terms.usual_parcel:
        raise refusal(
            "usual_parcel", _("The cost of a parcel needs what is usually in one to be shared on."), code="no_parcel"
        )
    return record(terms, by=by)


@action("prices")
def set_price(*, by: User, way: Way, line: Line, on: date, amount: int | None, at_least: int = 1) -> Price:
    """Record the price of one unit of a line from a day on, as the way keeps it; `at_least` for so many or more at once.

    None: no longer sold so, or that step no longer given.
    """
    if amount is not None and amount < 1:
        raise refusal("amount", _("A price is more than nothing."), code="too_few")
    return record(Price(on=on, way=way, line=line, amount=amount, at_least=at_least), by=by)


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
