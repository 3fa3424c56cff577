"""Workshops: places sold and left, and the money held for them."""

from __future__ import annotations

from collections import defaultdict
from datetime import date

from django.db.models import QuerySet, Sum

from ledger.sales.models import PlacesGivenBack, PlacesSold, Workshop
from ledger.stock.queries import lowest_from


def place_changes(workshop: Workshop) -> list[tuple[date, int]]:
    """By how many more (+) or fewer (-) places of a workshop are left from a day on."""
    sold = PlacesSold.objects.standing().filter(workshop=workshop).values_list("on", "places")
    back = PlacesGivenBack.objects.standing().filter(sold__workshop=workshop).values_list("on", "places")
    return [*((on, -places) for on, places in sold), *back]


def places_left(workshop: Workshop, on: date | None = None) -> int:
    """Places not sold, or given back; with a day: the fewest left at the end of it or of any later day."""
    changes = place_changes(workshop)
    if on is None:
        return workshop.places + sum(change for _on, change in changes)
    return workshop.places + lowest_from(changes, on)


def places_still_sold(sold: PlacesSold) -> int:
    """Places of one selling that were not given back."""
    back: int = sold.given_back.standing().aggregate(n=Sum("places"))["n"] or 0
    return sold.places - back


def money_still_held(sold: PlacesSold) -> int:
    """What of the money for one selling was not returned, minor units as the way keeps prices."""
    returned: int = sold.given_back.standing().aggregate(n=Sum("returned"))["n"] or 0
    return sold.amount - returned


def money_held(workshop: Workshop) -> int:
    """What was paid for places and not returned, minor units as the way keeps prices; owed until the workshop is held.

    Of a workshop called off: what buyers left with the holding who had given their places back before.
    """
    return sum(money_still_held(sold) for sold in _sold(workshop))


def _sold(workshop: Workshop) -> QuerySet[PlacesSold]:
    return workshop.places_sold.standing().order_by("pk")


def places_of(workshop: Workshop) -> list[PlacesSold]:
    """Each selling of places in order of day, with `backs` (places given back), `left` and `money` still held, minor units."""
    sold = list(_sold(workshop).select_related("customer").order_by("on", "pk"))
    backs: dict[int, list[PlacesGivenBack]] = defaultdict(list)
    for back in PlacesGivenBack.objects.standing().filter(sold__in=sold).order_by("on", "pk"):
        backs[back.sold_id].append(back)
    for one in sold:
        one.backs = backs[one.pk]  # type: ignore[attr-defined]
        one.left = one.places - sum(back.places for back in backs[one.pk])  # type: ignore[attr-defined]
        one.money = one.amount - sum(back.returned for back in backs[one.pk])  # type: ignore[attr-defined]
    return sold
