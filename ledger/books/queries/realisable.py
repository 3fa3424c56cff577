"""What a line will fetch: its prices net of tax, less what is still to be paid to sell it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from django.db.models import F, Sum

from ledger.facts.queries import tax_rate_on
from ledger.pricing.models import Price, Way, WayTerms
from ledger.pricing.queries.selling import all_terms_on, selling_costs
from ledger.reckoning.realisable import net_realisable
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.taking import proportion
from ledger.reckoning.tax import tax_within
from ledger.sales.models import DispatchLine, OrderLine, SaleLine
from ledger.stock.models import Line

LATELY = timedelta(days=365)


@dataclass(frozen=True)
class Realisable:
    """What one line's units will fetch, in millionths: promised ones first, the rest at `each`."""

    each: int | None
    promised: Sequence[tuple[int, int]] = field(default_factory=tuple)

    def of(self, quantity: int) -> int:
        """What so many units will fetch; promised ones at their own price."""
        fetched, left = 0, quantity
        for number, price in self.promised:
            taken = min(number, left)
            fetched, left = fetched + taken * price, left - taken
        return fetched + left * (self.each if self.each is not None else self.promised[-1][1])


def realisable_on(on: date, lines: Iterable[Line]) -> dict[int, Realisable]:
    """What each line's units will fetch as of a day; lines without a price or promise are left out."""
    wanted = [line.pk for line in lines]
    by_way = _net_by_way(on, wanted)
    lately = _sold_lately(on, wanted)
    promised = _promised(on, wanted)
    found = {}
    for line in wanted:
        each = _weighted(by_way.get(line, {}), lately.get(line, {}))
        if each is not None or promised.get(line):
            found[line] = Realisable(each, tuple(promised.get(line, ())))
    return found


def _net_by_way(on: date, lines: Sequence[int]) -> dict[int, dict[int, int]]:
    """line -> way -> what a unit fetches that way, net of tax and selling, in millionths."""
    ways = {way.pk: way for way in Way.objects.all()}
    terms = all_terms_on(on)
    rate = tax_rate_on(on)
    found: dict[int, dict[int, int]] = defaultdict(dict)
    for price in Price.objects.in_force(on).of_one().filter(line__in=lines):
        if price.amount is not None:
            found[price.line_id][price.way_id] = _net(price.amount, ways[price.way_id], terms.get(price.way_id), rate)
    return found


def _net(price: int, way: Way, terms: WayTerms | None, rate: int) -> int:
    """A price less tax, fees on takings, and its share of a day's fixed cost."""
    net = price - tax_within(price, rate) if way.with_tax else price
    return _after_selling(net, price if way.with_tax else net + proportion(net, rate, 10_000), terms, rate)


def _after_selling(net: int, gross: int, terms: WayTerms | None, rate: int) -> int:
    costs = selling_costs(terms, paid_only=True)
    return net_realisable(net * MILLION, fee_bp=costs.fee_bp, tax_bp=rate, per_unit_selling=costs.fixed(gross * MILLION))


def _sold_lately(on: date, lines: Sequence[int]) -> dict[int, dict[int, int]]:
    """line -> way -> units sold in the year up to the day."""
    found: dict[int, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    since = on - LATELY
    retail = SaleLine.objects.filter(line__in=lines, sale__undone_at=None, sale__on__gt=since, sale__on__lte=on)
    for line, way, number in retail.values_list("line", "sale__way").annotate(n=Sum("quantity")).order_by("line", "sale__way"):
        found[line][way] += number
    sent = DispatchLine.objects.filter(
        order_line__line__in=lines, dispatch__undone_at=None, dispatch__on__gt=since, dispatch__on__lte=on
    ).annotate(line=F("order_line__line"), way=F("order_line__order__way"))
    for line, way, number in sent.values_list("line", "way").annotate(n=Sum("bunches")).order_by("line", "way"):
        found[line][way] += number
    return {line: dict(ways) for line, ways in found.items()}


def _weighted(prices: dict[int, int], sold: dict[int, int]) -> int | None:
    """The price by the ways lately sold, in their proportions; else the plain mean of the ways priced."""
    if not prices:
        return None
    weights = {way: sold.get(way, 0) for way in prices}
    if not any(weights.values()):
        weights = dict.fromkeys(prices, 1)
    return proportion(sum(prices[way] * weights[way] for way in prices), 1, sum(weights.values()))


def _promised(on: date, lines: Sequence[int]) -> dict[int, list[tuple[int, int]]]:
    """line -> what is promised and not yet sent, with its price net of tax and selling, in millionths, oldest order first."""
    terms, rate = all_terms_on(on), tax_rate_on(on)
    rows = (
        OrderLine.objects.filter(line__in=lines, order__undone_at=None, order__on__lte=on)
        .filter(hold__changes__undone_at=None, hold__changes__on__lte=on)
        .annotate(kept=Sum("hold__changes__bunches"))
        .order_by("order__on", "pk")
        .values_list("line", "kept", "price", "order__way")
    )
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for line, kept, price, way in rows:
        if kept:
            gross = price + proportion(price, rate, 10_000)
            found[line].append((kept, _after_selling(price, gross, terms.get(way), rate)))
    return found
