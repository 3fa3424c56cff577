"""What a sale or an order is offered: lines with what is there, prices as text."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import Q, Sum

from ledger.facts.queries import holding, tax_rate_on
from ledger.growing.models import Lot
from ledger.pricing.models import Price, Way
from ledger.pricing.queries import prices_on
from ledger.reckoning.currency import format_minor, minor_digits
from ledger.reckoning.tax import tax_within
from ledger.stock.models import Box, Content, Line


def lines_offered(way: Way, on: date) -> list[Line]:
    """Lines of which something is on hand or that have a price by the way, with `on_hand` and `free`."""
    priced = Price.objects.standing_on(on).filter(way=way).values("line")
    return list(Line.objects.whole().with_free().filter(Q(on_hand__gt=0) | Q(pk__in=priced)))


def selling_rows(way: Way, on: date, box: Box | None) -> list[tuple[Line, int]]:
    """What a sale can take: the lines of one box not held back, else every line offered, with how many are there and free."""
    if box is None:
        return [(line, line.free) for line in lines_offered(way, on)]  # type: ignore[attr-defined]
    there = Content.objects.not_held_back(on).filter(box=box, bunches__gt=0).values_list("batch__line")
    counts = dict(there.annotate(n=Sum("bunches")).order_by("batch__line"))
    return [(line, counts[line.pk]) for line in Line.objects.whole().filter(pk__in=counts)]


def lots_in_water(on: date) -> list[Lot]:
    """Lots with stems in water, the longest cut first."""
    return list(Lot.objects.in_water(on).select_related("planting__variety__species"))


def price_texts(way: Way, on: date, *, net: bool = False) -> dict[int, str]:
    """The way's prices that day as typed, by the line's key; `net`: without tax where the way keeps them with it."""
    digits, rate = minor_digits(holding().currency), tax_rate_on(on)
    taken_out = net and way.with_tax
    return {
        line: format_minor(amount - tax_within(amount, rate) if taken_out else amount, digits)
        for line, amount in prices_on(way, on).items()
    }


def chosen(ways: Iterable[Way], pk: str) -> Way | None:
    """The way named in an address, else the first."""
    found = list(ways)
    return next((way for way in found if str(way.pk) == pk), found[0] if found else None)
