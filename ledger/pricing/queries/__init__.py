"""Questions about ways of selling, their terms and prices."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Self

from django.apps import apps
from django.db import models
from django.db.models import Exists, F, OrderBy, OuterRef, Q, QuerySet, Subquery

from ledger.facts.models import FactQuerySet
from ledger.facts.queries import tax_rate_on
from ledger.reckoning.tax import tax_within

if TYPE_CHECKING:
    from ledger.stock.models import Line

    from ..models import Way, WayTerms


def _rows(model: str) -> QuerySet:
    return apps.get_model("pricing", model)._default_manager.all()


class WayQuerySet(models.QuerySet):
    """Ways of selling."""

    def retail(self) -> Self:
        """Ways that are not to trade customers on order."""
        return self.filter(trade=False)

    def on_order(self) -> Self:
        """Ways to trade customers on order."""
        return self.filter(trade=True)


class PriceQuerySet(FactQuerySet):
    """Dated prices."""

    def in_force(self, on: date) -> Self:
        """The price of each line by each way and step that day, in the order of lines, ways and steps; ended ones left out."""
        said = _rows("Price").standing_on(on)
        return self.standing_on(on).exclude(not_said_last(said, "line", "way")).order_by(
            *_named_last(LINE_ORDER), "way", "at_least", "pk"
        )

    def of_one(self) -> Self:
        """Those of any number, without the quantity steps."""
        return self.filter(at_least=1)

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("line__variety__species", "way", "recorded_by")


class OfferQuerySet(FactQuerySet):
    """Offers of several for one price."""

    def open_on(self, on: date) -> Self:
        """Those that hold that day: begun, not yet past, not ended; in order of key."""
        ended = _rows("OfferEnd").standing_on(on).filter(offer=OuterRef("pk"))
        return self.standing_on(on).filter(Q(until=None) | Q(until__gte=on)).exclude(Exists(ended)).order_by("pk")

    def with_ended_on(self) -> Self:
        """Add `ended_on`: from which day on it was ended, NULL where it was not."""
        ends = _rows("OfferEnd").standing().filter(offer=OuterRef("pk"))
        return self.annotate(ended_on=Subquery(ends.order_by("on", "pk").values("on")[:1]))

    def whole(self) -> Self:
        """With their way and lines."""
        return self.select_related("way").prefetch_related("lines__line__variety__species")


def not_said_last(said: QuerySet, *of: str) -> Q:
    """Prices that do not hold among all `said` by a day: superseded, ended, or a step ended with the price of one.

    Of two prices of a day the later entered holds. A step set after the price of one was ended is given again.
    """
    same = {name: OuterRef(name) for name in of}
    later = said.filter(Q(on__gt=OuterRef("on")) | Q(on=OuterRef("on"), pk__gt=OuterRef("pk")), **same)
    with_one = later.filter(at_least=1, amount=None)
    return Q(amount=None) | Q(Exists(later.filter(at_least=OuterRef("at_least")))) | Q(Exists(with_one))


def _named_last(order: tuple[str, ...]) -> list[OrderBy]:
    """The same order with lines that have no variety after those that have, on either database."""
    return [F(name).asc(nulls_last=True) for name in order]


LINE_ORDER = (
    "line__variety__species__name", "line__variety__name", "line__name", "line__colour", "line__grade", "line__finish",
    "line__pk",
)


def price_on(line: Line, way: Way, on: date, quantity: int = 1) -> int | None:
    """The price of one of so many of a line by a way that day, as the way keeps it; None where none holds."""
    steps = _rows("Price").in_force(on).filter(line=line, way=way, at_least__lte=quantity)
    return steps.order_by("-at_least", "-pk").values_list("amount", flat=True).first()


def prices_on(way: Way, on: date) -> dict[int, int]:
    """The price of one of every line of a way that day, as the way keeps it, by the line's key."""
    return dict(_rows("Price").in_force(on).of_one().filter(way=way).values_list("line", "amount"))


def steps_on(way: Way, on: date) -> dict[int, list[tuple[int, int]]]:
    """(at least, price) of every line of a way that day, the lowest step first, by the line's key."""
    found: dict[int, list[tuple[int, int]]] = {}
    rows = _rows("Price").in_force(on).filter(way=way).order_by("line", "at_least")
    for line, at_least, amount in rows.values_list("line", "at_least", "amount"):
        found.setdefault(line, []).append((at_least, amount))
    return found


def without_tax(amount: int, way: Way, on: date) -> int:
    """A price as the way keeps it, without that day's tax."""
    return amount - tax_within(amount, tax_rate_on(on)) if way.with_tax else amount


def terms_on(way: Way, on: date) -> WayTerms | None:
    """The terms of a way that day, None where none were set."""
    return _rows("WayTerms").standing_on(on).filter(way=way).order_by("-on", "-pk").first()
