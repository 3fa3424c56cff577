"""What was drawn and never sold, home use and gifts at the price they would have been sold at."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import F
from django.utils.translation import gettext as _

from ledger.facts.models import TaxRate, TaxStatus
from ledger.facts.queries import holding
from ledger.growing.models import Parting
from ledger.pricing.models import Price, Way
from ledger.pricing.queries.words import in_money
from ledger.reckoning.currency import minor_digits
from ledger.reckoning.tax import tax_on, tax_within
from ledger.stock.models import Movement
from ledger.stock.queries.drawing import DRAWN_FOR, drawn_for

from .listing import BYTE_ORDER_MARK, no_formula

VALUED = ("gift", "home use")


@dataclass(frozen=True)
class Drawn:
    """So many of something drawn on a day; amounts in minor units, `price` None where the list had none that day."""

    on: date
    what: Any
    url: str
    quantity: int
    drawn_for: str
    words: str
    price: int | None = None
    net: int | None = None
    tax: int | None = None

    @property
    def gross(self) -> int | None:
        return None if self.net is None or self.tax is None else self.net + self.tax

    @property
    def valued(self) -> bool:
        """Whether it is one that is listed at its selling price."""
        return self.drawn_for in VALUED

    @property
    def label(self) -> Any:
        """What it was drawn for, in words."""
        return dict(DRAWN_FOR)[self.drawn_for]


@dataclass(frozen=True)
class AllDrawn:
    """All that was drawn on some days; home use and gifts with their totals, what has no price counted apart."""

    first: date
    last: date
    way: Way | None
    rows: Sequence[Drawn]

    @property
    def valued(self) -> list[Drawn]:
        return [row for row in self.rows if row.valued]

    @property
    def others(self) -> list[Drawn]:
        return [row for row in self.rows if not row.valued]

    @property
    def unpriced(self) -> int:
        """Home use and gifts without a price that day, in rows."""
        return sum(row.price is None for row in self.valued)

    @property
    def totals(self) -> tuple[int, int, int]:
        """Net, tax and gross of home use and gifts together."""
        net, tax = sum(row.net or 0 for row in self.valued), sum(row.tax or 0 for row in self.valued)
        return net, tax, net + tax


def all_drawn(first: date, last: date, way: Way | None) -> AllDrawn:
    """What was drawn from `first` up to and including `last`, less what came back; in order of day.

    Home use and gifts at the price of one by the way on the day they were drawn. A fixed number of queries.
    """
    bunches = Movement.objects.standing().filter(kind=Movement.Kind.DRAWN, on__gte=first, on__lte=last)
    bunches = bunches.with_brought_back().annotate(out=-F("bunches") - F("brought_back")).filter(out__gt=0)
    moved = list(bunches.select_related("batch__line__variety__species").order_by("on", "pk"))
    prices, tax = _Prices(way, {row.batch.line_id for row in moved}), _Tax()
    rows = [_bunches(row, prices, tax, way) for row in moved]
    stems = Parting.objects.standing().filter(way=Parting.Way.DRAWN, on__gte=first, on__lte=last)
    rows += [
        Drawn(one.on, one.lot, one.get_absolute_url(), one.stems, drawn_for(one.why), one.why)
        for one in stems.select_related("lot__planting__variety__species").order_by("on", "pk")
    ]
    return AllDrawn(first, last, way, sorted(rows, key=lambda row: row.on))


def _bunches(row: Any, prices: _Prices, tax: _Tax, way: Way | None) -> Drawn:
    kind = drawn_for(row.reason)
    price = prices.on(row.batch.line_id, row.on) if kind in VALUED else None
    net, of_it = _worth(price, row.out, tax.on(row.on), way)
    return Drawn(row.on, row.batch.line, row.get_absolute_url(), row.out, kind, row.reason, price, net, of_it)


def _worth(price: int | None, quantity: int, rate: int, way: Way | None) -> tuple[int | None, int | None]:
    """(net, tax) of so many at a price as the way keeps it."""
    if price is None or way is None:
        return None, None
    whole = price * quantity
    if way.with_tax:
        return whole - tax_within(whole, rate), tax_within(whole, rate)
    return whole, tax_on(whole, rate)


class _Prices:
    """The prices of one of some lines by a way, of any day."""

    def __init__(self, way: Way | None, lines: Iterable[int]) -> None:
        said = Price.objects.standing().filter(way=way, line__in=set(lines), at_least=1).order_by("on", "pk") if way else []
        self.said = [(price.line_id, price.on, price.amount) for price in said]

    def on(self, line: int, day: date) -> int | None:
        """The price that held that day."""
        held = [amount for of, since, amount in self.said if of == line and since <= day]
        return held[-1] if held else None


class _Tax:
    """The rate within prices, of any day; nil unless registered."""

    def __init__(self) -> None:
        self.statuses = list(TaxStatus.objects.standing().order_by("on", "pk").values_list("on", "status"))
        rates = TaxRate.objects.standing().filter(code="standard").order_by("on", "pk")
        self.rates = list(rates.values_list("on", "rate_bp"))

    def on(self, day: date) -> int:
        """In hundredths of a per cent."""
        status = [said for since, said in self.statuses if since <= day]
        rate = [said for since, said in self.rates if since <= day]
        return rate[-1] if rate and status and status[-1] == TaxStatus.Status.REGISTERED else 0


def way_for_drawn() -> Way | None:
    """The way whose list is taken unless another is asked for: a farm gate, else a stall, else any by retail."""
    ways = list(Way.objects.retail().order_by("pk"))
    for kind in ("gate", "stall"):
        for way in ways:
            if way.kind == kind:
                return way
    return ways[0] if ways else None


def drawn_as_csv(found: AllDrawn) -> str:
    """A row for each, heads first, amounts with a point; begins with the mark by which a spreadsheet knows UTF-8."""
    text, kept = io.StringIO(newline=""), holding()
    digits = minor_digits(kept.currency)
    rows = csv.writer(text)
    rows.writerow([
        _("day"), _("drawn for"), _("what"), _("how many"), _("in words"), _("price of one"), _("net"), _("tax"), _("with tax"),
        _("currency"),
    ])
    for row in found.rows:
        money = ["" if one is None else in_money(one, digits) for one in (row.price, row.net, row.tax, row.gross)]
        said = [row.on.isoformat(), row.label, row.what, row.quantity, row.words, *money, kept.currency]
        rows.writerow([no_formula(str(one)) for one in said])
    return BYTE_ORDER_MARK + text.getvalue()
