"""What a sale or an order is offered: lines with what is there, prices as text."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Q, Sum

from ledger.facts.queries import holding, tax_rate_on
from ledger.growing.models import Lot
from ledger.pricing.models import Offer, Price, Way
from ledger.pricing.queries import prices_on, steps_on
from ledger.pricing.queries.words import steps_in_words
from ledger.reckoning.currency import format_minor, minor_digits
from ledger.reckoning.offers import Several
from ledger.reckoning.tax import tax_within
from ledger.sales.models import Customer
from ledger.stock.models import Box, Content, Line

from .agreed import own_steps


def lines_offered(way: Way, on: date) -> list[Line]:
    """Lines of which something is on hand or that have a price by the way, with `on_hand` and `free`."""
    priced = Price.objects.in_force(on).filter(way=way).order_by().values("line")
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


@dataclass(frozen=True)
class Said:
    """Words beside each line of a form, by the line's key: steps, offers, own prices.

    `steps`: (at least, price) of the list, by the line's key; `offers`: those open, amounts as the way keeps them.
    """

    by_line: Mapping[int, str]
    steps: Mapping[int, Sequence[tuple[int, int]]] = field(default_factory=dict)
    offers: Sequence[Several] = ()

    def beside(self, line: Line, there: str) -> str:
        """How many are there, and the words of that line."""
        more = self.by_line.get(line.pk, "")
        return f"{there} · {more}" if more else there


def said_of_prices(way: Way, on: date, customer: Customer | None = None, *, net: bool = False) -> Said:
    """The quantity steps, offers and own prices (of one customer, None: of all) that hold by a way that day, in words.

    `net`: without tax where the way keeps its prices with it.
    """
    digits, rate = minor_digits(holding().currency), tax_rate_on(on)

    def shown(steps: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
        taken_out = net and way.with_tax
        return [(at_least, amount - tax_within(amount, rate) if taken_out else amount) for at_least, amount in steps]

    found: dict[int, list[str]] = defaultdict(list)
    listed = {line: shown(steps) for line, steps in steps_on(way, on).items()}
    for line, steps in listed.items():
        found[line] += [words] if (words := steps_in_words(steps, digits)) else []
    offers = list(Offer.objects.open_on(on).filter(way=way).prefetch_related("lines"))
    for offer in offers:
        for one in offer.lines.all():
            found[one.line_id].append(f"{offer} ({offer.quantity}: {format_minor(offer.amount, digits)})")
    for line, owners in own_steps(way, on, customer).items():
        for owner, steps in owners.items():
            found[line].append(_own_words(owner, shown(steps), digits))
    return Said({line: " · ".join(words) for line, words in found.items()}, listed, severals(offers))


def severals(offers: Iterable[Offer]) -> list[Several]:
    """Offers, their lines fetched already, as they are reckoned with."""
    return [
        Several(one.pk, one.quantity, one.amount, frozenset(line.line_id for line in one.lines.all())) for one in offers
    ]


def _own_words(owner: Customer, steps: Sequence[tuple[int, int]], digits: int) -> str:
    """“Fennock Flowers: 4.20, from 10: 4.00”."""
    of_one = [format_minor(amount, digits) for at_least, amount in steps if at_least == 1]
    return f"{owner}: " + ", ".join([*of_one, *filter(None, [steps_in_words(steps, digits)])])


def chosen(ways: Iterable[Way], pk: str) -> Way | None:
    """The way named in an address, else the first."""
    found = list(ways)
    return next((way for way in found if str(way.pk) == pk), found[0] if found else None)
