"""Questions about ways of selling, their terms and prices."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Self

from django.apps import apps
from django.db import models
from django.db.models import Exists, F, OrderBy, OuterRef, Q, QuerySet

from ledger.facts.models import FactQuerySet
from ledger.facts.queries import tax_rate_on
from ledger.reckoning.tax import tax_within

if TYPE_CHECKING:
    from ledger.stock.models import Line

    from ..models import Price, Way, WayTerms


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
        """The price of each line by each way that day, in the order of lines and ways."""
        later = _rows("Price").standing_on(on).filter(line=OuterRef("line"), way=OuterRef("way"))
        later = later.filter(Q(on__gt=OuterRef("on")) | Q(on=OuterRef("on"), pk__gt=OuterRef("pk")))
        return self.standing_on(on).exclude(Exists(later)).order_by(*_named_last(LINE_ORDER), "way", "pk")

    def whole(self) -> Self:
        """With the records their names are made of."""
        return self.select_related("line__variety__species", "way", "recorded_by")


def _named_last(order: tuple[str, ...]) -> list[OrderBy]:
    """The same order with lines that have no variety after those that have, on either database."""
    return [F(name).asc(nulls_last=True) for name in order]


LINE_ORDER = (
    "line__variety__species__name", "line__variety__name", "line__name", "line__colour", "line__grade", "line__finish",
    "line__pk",
)


def price_on(line: Line, way: Way, on: date) -> Price | None:
    """The price of a line by a way that day, None where none was set."""
    return _rows("Price").standing_on(on).filter(line=line, way=way).order_by("-on", "-pk").first()


def prices_on(way: Way, on: date) -> dict[int, int]:
    """Every price of a way that day, as the way keeps it, by the line's key."""
    return dict(_rows("Price").in_force(on).filter(way=way).values_list("line", "amount"))


def net_price_on(line: Line, way: Way, on: date) -> int | None:
    """The price that day without tax, whichever way it is kept."""
    price = price_on(line, way, on)
    if price is None:
        return None
    return price.amount - tax_within(price.amount, tax_rate_on(on)) if way.with_tax else price.amount


def terms_on(way: Way, on: date) -> WayTerms | None:
    """The terms of a way that day, None where none were set."""
    return _rows("WayTerms").standing_on(on).filter(way=way).order_by("-on", "-pk").first()
