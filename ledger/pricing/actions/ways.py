"""Ways of selling, and what selling by them costs from a day on."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details, undo_within
from ledger.facts.models import User
from ledger.facts.queries import holding
from ledger.facts.writing import action, keep, record, refusal

from ..models import Way, WayTerms
from ..queries.selling import step_of_endings


@action("prices")
def add_way(*, by: User, name: str, with_tax: bool = True, trade: bool = False, kind: str | None = None) -> Way:
    """Add a way of selling; `with_tax` says how its prices are kept, `kind` which costs it has (None: trade, else the gate)."""
    usual = Way.Kind.TRADE if trade else Way.Kind.GATE
    _require_fitting(kind or usual, trade)
    return keep(Way(name=name, with_tax=with_tax, trade=trade, kind=kind or usual))


@action("prices")
def change_way(
    *, by: User, way: Way, name: str, kind: str | None = None, seen: Mapping[str, str] | None = None
) -> Way:
    """Give a way another name or kind (None: as it is), keeping what stood before."""
    kind = kind or way.kind
    _require_fitting(kind, way.trade)
    return change_details(way, by=by, seen=dict(seen or {}), changes={"name": name, "kind": kind})


def _require_fitting(kind: str, trade: bool) -> None:
    """Refuse a kind that does not fit whether the way is on order."""
    if trade and kind != Way.Kind.TRADE:
        raise refusal("kind", _("What is sold on order is of the kind “trade”. Add another way for the rest."), code="kind")
    if not trade and kind == Way.Kind.TRADE:
        raise refusal("kind", _("Sales by this way are not on order. Add another way for trade."), code="kind")


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
    if terms.ending is not None and terms.ending >= step_of_endings(terms, holding().currency):
        raise refusal("ending", _("A price ending lies below the step it comes back at."), code="ending")
    return record(terms, by=by)


@action("prices")
def undo_terms(*, by: User, terms: WayTerms) -> WayTerms:
    """Undo a way's terms: those before stand again."""
    return undo_within(terms, by=by)
