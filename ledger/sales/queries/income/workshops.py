"""Income of workshops: of one held that day, of places sold or given back later, of what buyers left with one called off."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from ledger.reckoning.tax import tax_on, tax_within
from ledger.sales.models import PlacesGivenBack, PlacesSold, Workshop, WorkshopCalledOff, WorkshopHeld

from .line import WORKSHOP, IncomeLine
from .taken import TakenFor

NOTHING = TakenFor()
Money = list[tuple[date, int]]


def of_workshops(first: date, last: date, taken: Mapping[int, TakenFor]) -> Iterable[IncomeLine]:
    """Workshops held or called off by the last day, what of their income falls on those days; four statements."""
    money = _money(last)
    for held in WorkshopHeld.objects.standing_on(last).select_related("workshop__way").order_by("on", "pk"):
        yield from _lines(held, held.rate_bp, money[held.workshop_id], taken.get(held.workshop_id, NOTHING), first)
    for off in WorkshopCalledOff.objects.standing_on(last).select_related("workshop__way").order_by("on", "pk"):
        for line in _lines(off, 0, money[off.workshop_id], taken.get(off.workshop_id, NOTHING), first):
            if line.net or line.movements or line.partings:
                yield line


def _money(last: date) -> Mapping[int, Money]:
    """workshop -> what was paid for places (+) and returned (-) on each day, as its way keeps prices."""
    found: dict[int, Money] = defaultdict(list)
    for sold in PlacesSold.objects.standing_on(last).order_by("on", "pk"):
        found[sold.workshop_id].append((sold.on, sold.amount))
    back = PlacesGivenBack.objects.standing_on(last).order_by("on", "pk")
    for workshop, on, returned in back.values_list("sold__workshop", "on", "returned"):
        found[workshop].append((on, -returned))
    return found


def _lines(
    over: WorkshopHeld | WorkshopCalledOff, rate_bp: int, money: Money, went: TakenFor, first: date
) -> Iterator[IncomeLine]:
    """A line of its day with all that was taken, and one for each day on which money came or went after it."""
    by_day: dict[date, int] = defaultdict(int)
    by_day[over.on] = 0
    for on, amount in money:
        by_day[max(on, over.on)] += amount
    for on, amount in sorted(by_day.items()):
        if on >= first and (amount or on == over.on):
            yield _line(on, over.workshop, _without_tax(amount, rate_bp, over.workshop), went if on == over.on else NOTHING)


def _without_tax(amount: int, rate_bp: int, workshop: Workshop) -> tuple[int, int]:
    """(net, gross) of one sum."""
    if workshop.way.with_tax:
        return amount - tax_within(amount, rate_bp), amount
    return amount, amount + tax_on(amount, rate_bp)


def _line(on: date, workshop: Workshop, sums: tuple[int, int], went: TakenFor) -> IncomeLine:
    return IncomeLine(
        on=on, kind=WORKSHOP, movements=tuple(went.movements), partings=tuple(went.partings), net=sums[0], gross=sums[1],
        way=workshop.way_id, customer=None, spent_on=workshop.pk,
    )
