"""What selling by a way costs, from its terms in force."""

from __future__ import annotations

from datetime import date

from ledger.reckoning.currency import minor_digits
from ledger.reckoning.selling import SellingCosts, fee_on_takings, hours_cost

from ..models import WayTerms


def selling_costs(terms: WayTerms | None, *, paid_only: bool = False) -> SellingCosts:
    """The costs of selling by a way; none without terms.

    `paid_only` leaves out what nobody pays out: the hours of a day and waiting for the money.
    """
    if terms is None:
        return SellingCosts()
    fee = fee_on_takings(
        terms.fee_bp, card_share_bp=terms.card_share_bp, pitch_bp=terms.pitch_bp, bad_debt_bp=terms.bad_debt_bp,
        interest_bp=0 if paid_only else terms.interest_bp, days=terms.days_to_wait,
    )
    hours = 0 if paid_only else hours_cost(terms.day_minutes, terms.hour_cost)
    day, parcel = terms.fixed_day + hours, terms.fixed_parcel + terms.carriage
    return SellingCosts(fee, ((day, terms.usual_takings), (parcel, terms.usual_parcel)))


def all_terms_on(on: date) -> dict[int, WayTerms]:
    """The terms in force that day, by the way's key."""
    return {one.way_id: one for one in WayTerms.objects.standing_on(on).order_by("on", "pk")}


def step_of_endings(terms: WayTerms, currency: str) -> int:
    """At which step prices end alike, minor units: one major unit unless the terms say otherwise."""
    return terms.ending_every or 10 ** minor_digits(currency)
