"""Terms, steps and offers in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from ledger.facts.queries import holding
from ledger.reckoning.currency import format_minor, minor_digits
from ledger.reckoning.selling import hours_cost

from ..models import WayTerms
from .selling import selling_costs, step_of_endings


def in_money(amount: int, digits: int | None = None) -> str:
    """An amount as written, in the holding's currency."""
    return format_minor(amount, minor_digits(holding().currency) if digits is None else digits)


def in_per_cent(bp: int) -> str:
    """Hundredths of a per cent as a percentage, without idle zeros."""
    whole, part = divmod(bp, 100)
    return f"{whole}.{part:02}".rstrip("0").rstrip(".") + " %"


@dataclass(frozen=True)
class TermsInWords:
    """Terms as sentences, and what they come to: all fees on takings, and what a day and a parcel cost (minor units)."""

    terms: WayTerms
    says: Sequence[str]
    fee_bp: int
    day: int
    parcel: int


def terms_in_words(terms: WayTerms) -> TermsInWords:
    """What a way's terms say, cost by cost."""
    costs = selling_costs(terms)
    (day, _usual), (parcel, _worth) = costs.shared
    return TermsInWords(terms, list(_sentences(terms)), costs.fee_bp, day, parcel)


def _sentences(terms: WayTerms) -> Iterator[str]:
    yield from _on_takings(terms)
    yield from _shared(terms)
    yield _("Margin wanted: %(share)s of the price without tax.") % {"share": in_per_cent(terms.margin_bp)}
    if terms.ending is None:
        yield _("Prices as they come out.")
    else:
        every = step_of_endings(terms, holding().currency)
        yield _("Prices end in %(ending)s of every %(every)s.") % {"ending": in_money(terms.ending), "every": in_money(every)}


def _on_takings(terms: WayTerms) -> Iterator[str]:
    if terms.fee_bp:
        said = {"fee": in_per_cent(terms.fee_bp), "share": in_per_cent(terms.card_share_bp)}
        yield _("Card fee or commission %(fee)s on %(share)s of takings.") % said
    if terms.pitch_bp:
        yield _("Pitch by takings: %(share)s.") % {"share": in_per_cent(terms.pitch_bp)}
    if terms.days_to_wait and terms.interest_bp:
        said = {"days": str(terms.days_to_wait), "share": in_per_cent(terms.interest_bp)}
        yield _("%(days)s days until the money comes, which costs %(share)s a year.") % said
    if terms.bad_debt_bp:
        yield _("Allowance for bad debts: %(share)s.") % {"share": in_per_cent(terms.bad_debt_bp)}


def _shared(terms: WayTerms) -> Iterator[str]:
    if terms.fixed_day:
        yield _("Pitch and other fixed cost of a day: %(cost)s.") % {"cost": in_money(terms.fixed_day)}
    if terms.day_minutes and terms.hour_cost:
        yield _("%(hours)s hours at %(hour)s an hour: %(cost)s a day.") % {
            "hours": f"{terms.day_minutes // 60}:{terms.day_minutes % 60:02}", "hour": in_money(terms.hour_cost),
            "cost": in_money(hours_cost(terms.day_minutes, terms.hour_cost)),
        }
    if terms.usual_takings:
        yield _("Shared over usual takings of a day of %(takings)s.") % {"takings": in_money(terms.usual_takings)}
    if terms.fixed_parcel:
        yield _("Box and packing of a parcel: %(cost)s.") % {"cost": in_money(terms.fixed_parcel)}
    if terms.carriage:
        yield _("Carriage or delivery not charged on: %(cost)s.") % {"cost": in_money(terms.carriage)}
    if terms.usual_parcel:
        yield _("Shared over the usual worth of a parcel or delivery of %(worth)s.") % {"worth": in_money(terms.usual_parcel)}


def steps_in_words(steps: Iterable[tuple[int, int]], digits: int | None = None) -> str:
    """Steps beyond one as words: “from 10: 4.50, from 50: 4.00”; empty where there are none."""
    digits = minor_digits(holding().currency) if digits is None else digits
    said = [
        _("from %(n)d: %(price)s") % {"n": at_least, "price": format_minor(amount, digits)}
        for at_least, amount in steps if at_least > 1
    ]
    return ", ".join(said)
