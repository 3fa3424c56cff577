"""Offers of several together for one price."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, record, refusal, require_standing
from ledger.stock.models import Line

from ..models import Offer, OfferEnd, OfferLine, Way


@action("prices")
def add_offer(
    *, by: User, way: Way, on: date, name: str, quantity: int, amount: int, lines: Sequence[Line], until: date | None = None
) -> Offer:
    """Offer any mix of so many of the lines together for one price, from a day until another (None: until ended)."""
    _check(way, on, quantity, amount, lines, until)
    offer = record(Offer(on=on, way=way, name=name, quantity=quantity, amount=amount, until=until), by=by)
    for line in sorted(lines, key=lambda line: line.pk):
        keep(OfferLine(offer=offer, line=line))
    return offer


def _check(way: Way, on: date, quantity: int, amount: int, lines: Sequence[Line], until: date | None) -> None:
    if way.trade:
        raise refusal("way", _("Trade is given quantity steps, not offers: set a price for so many or more."), code="trade")
    if not lines:
        raise refusal("lines", _("Say which lines count towards it."), code="no_lines")
    if len({line.pk for line in lines}) < len(lines):
        raise refusal("lines", _("A line is named twice."), code="twice")
    if quantity < 2:
        raise refusal("quantity", _("An offer is of two or more together."), code="too_few")
    if amount < 1:
        raise refusal("amount", _("A price is more than nothing."), code="too_few")
    if until is not None and until < on:
        raise refusal("until", _("An offer cannot end before it begins."), code="too_early")


@action("prices")
def end_offer(*, by: User, offer: Offer, on: date) -> OfferEnd:
    """End an offer: it holds no longer from that day on."""
    offer = Offer.objects.lock(offer)
    require_standing(offer)
    if offer.ends.filter(undone_at__isnull=True).exists():
        raise refusal(None, _("It has been ended already."), code="already_ended")
    if on <= offer.on:
        raise refusal("on", _("It began only on %(on)s. Undo it instead."), code="too_early", on=offer.on)
    if offer.until is not None and on > offer.until:
        raise refusal("on", _("It held until %(until)s only."), code="past", until=offer.until)
    if offer.sale_lines.filter(sale__undone_at__isnull=True, sale__on__gte=on).exists():
        raise refusal("on", _("Something was sold by it on that day or later."), code="rested_on")
    return record(OfferEnd(on=on, offer=offer), by=by)


@action("prices")
def undo_offer(*, by: User, offer: Offer) -> Offer:
    """Undo an offer nothing was sold by."""
    return undo_within(offer, by=by)


@action("prices")
def undo_offer_end(*, by: User, end: OfferEnd) -> OfferEnd:
    """Undo the ending of an offer: it holds as it was said to."""
    return undo_within(end, by=by)
