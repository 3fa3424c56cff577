"""A figure opened: what a record carries, entry by entry, where it came from and where it went."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import PurchaseLine, WorkEntry
from ledger.facts.models import CostObject
from ledger.growing.models import Planting
from ledger.reckoning.book import SEASONS_APART, Amounts, Key, Node, total
from ledger.reckoning.sharing import printed, to_minor
from ledger.reckoning.taking import proportion
from ledger.stock.models import Batch

from .book import book
from .sheet import STAGE_NAMES, Bases

UNITS = {
    "stems": _("%(part)d of %(whole)d stems"),
    "m2-days": _("%(part)s of %(whole)s m2-days"),
    "room-days": _("%(part)d of %(whole)d days of room"),
    "seasons": _("%(part)d of %(whole)d productive seasons"),
}
PLACES = {
    "boxed": _("in boxes, or waiting for one"),
    "loose": _("sound and loose"),
    "hanging": _("still hanging"),
    "in water": _("in water"),
    "growing": _("still growing"),
    "plants": _("in the plants, for later seasons"),
    "cost of sales": _("sold"),
    "made up": _("made up"),
    "drawn": _("drawn"),
    "written off": _("written off"),
    "cost of the year": _("cost of the year"),
    "charged ahead or behind": _("charged ahead of the bills (-) or behind them"),
    "paid, not booked": _("paid, not booked"),
}
LARGEST_KEY = 2**63 - 1
NOT_BOOKED: Key = ("pay", 0)
RECORD_PAGES = {
    "planting": "growing:planting", "plot": "growing:plot", "lot": "growing:lot", "hanging": "drying:hanging",
    "place": "drying:place", "run": "stock:run", "batch": "stock:batch", "stall_day": "sales:stall_day",
    "order": "sales:order", "sale": "sales:sale",
}


@dataclass(frozen=True)
class Row:
    """One row of an opened figure: in words, the part it is, whole minor units, and its page."""

    what: str
    part: str
    amount: int
    url: str
    on: date | None = None


@dataclass(frozen=True)
class Opened:
    """A record's cost opened; every list adds up to `carried` in whole minor units."""

    title: str
    record_url: str
    on: date
    final: bool
    known: bool
    quantity: int
    carried: int
    each: int | None
    stock_cost: int
    direct: Sequence[Row]
    came_in: Sequence[Row]
    layers: Sequence[Row]
    went: Sequence[Row]


def opened(kind: str, number: int, on: date, known: datetime | None = None) -> Opened | None:
    """The figure of one record as of a day, None where the ledger knows no such record."""
    if number > LARGEST_KEY:
        return None
    key = (kind, number)
    node = book(on, known).node(key)
    names = Names([key, *(flow.source for flow in node.inflows), *(flow.target for flow in node.outflows)])
    if not names.has(key):
        return None
    bases, carried, shared_by = Bases(), node.carried, _shared_by(node)
    sources = _source_rows(node, names)
    return Opened(
        title=names.of(key), record_url=record_url(key), on=on, final=node.final, known=node.known,
        quantity=shared_by, carried=to_minor(total(carried)),
        each=to_minor(proportion(total(carried), 1, shared_by)) if shared_by else None,
        stock_cost=to_minor(bases.stock_cost(carried)),
        direct=sources[: len(node.direct)], came_in=sources[len(node.direct) :],
        layers=_layers(carried, bases), went=_went(node, names),
    )


def _shared_by(node: Node) -> int:
    """How many stems or bunches share what a node carries: a batch's, all that were made."""
    if node.key[0] != "batch":
        return node.quantity
    return Batch.objects.filter(pk=node.key[1]).values_list("made", flat=True).first() or 0


def _source_rows(node: Node, names: Names) -> list[Row]:
    amounts = printed([total(entry.amounts) for entry in node.direct] + [total(flow.amounts) for flow in node.inflows])
    words = _entry_words([entry.source for entry in node.direct])
    direct = [
        Row(words.get(entry.source, names.of(entry.source)), "", amount, entry_url(entry.source), entry.on)
        for entry, amount in zip(node.direct, amounts, strict=False)
    ]
    came = [
        Row(names.of(flow.source), _share(flow.unit, flow.part, flow.whole), amount, figure_url(flow.source))
        for flow, amount in zip(node.inflows, amounts[len(direct) :], strict=True)
    ]
    return direct + came


def _share(unit: str, part: int, whole: int) -> str:
    if unit == "m2-days":
        return str(UNITS[unit]) % {"part": in_m2_days(part), "whole": in_m2_days(whole)}
    return str(UNITS.get(unit, "%(part)d / %(whole)d")) % {"part": part, "whole": whole}


def in_m2_days(hundredths: int) -> str:
    """Hundredths of m2 times days as m2-days, without idle noughts."""
    return f"{Decimal(hundredths) / 100:f}".rstrip("0").rstrip(".") if hundredths % 100 else str(hundredths // 100)


def _layers(carried: Amounts, bases: Bases) -> list[Row]:
    stages = list(STAGE_NAMES)
    elements = sorted(carried, key=lambda one: (stages.index(one[0]), one[1]))
    amounts = printed([carried[element] for element in elements])
    return [Row(bases.name(element), "", amount, "") for element, amount in zip(elements, amounts, strict=True)]


def _went(node: Node, names: Names) -> list[Row]:
    flows, standings = node.outflows, node.standings
    amounts = printed([total(flow.amounts) for flow in flows] + [total(at.amounts) for at in standings])
    on = [
        Row(names.of(flow.target), _share(flow.unit, flow.part, flow.whole), amount, figure_url(flow.target))
        for flow, amount in zip(flows, amounts, strict=False)
    ]
    rest = [
        Row(str(PLACES.get(at.place, at.place)), str(at.quantity or ""), amount, "", at.on)
        for at, amount in zip(standings, amounts[len(flows) :], strict=True)
    ]
    return on + rest


class Names:
    """What the nodes of one page are called, found in a fixed number of queries."""

    def __init__(self, keys: Iterable[Key]) -> None:
        wanted = set(keys)
        self._names: dict[Key, str] = {key: str(PLACES["paid, not booked"]) for key in wanted if key == NOT_BOOKED}
        batches = [number for kind, number in wanted if kind == "batch"]
        for batch in Batch.objects.filter(pk__in=batches).select_related("line__variety__species"):
            self._names[("batch", batch.pk)] = str(batch)
        seasons = [number for kind, number in wanted if kind == "season"]
        plantings = Planting.objects.filter(pk__in={number // SEASONS_APART for number in seasons})
        by_pk = {one.pk: one for one in plantings.select_related("variety__species", "bed__plot")}
        for number in seasons:
            planting, season = by_pk.get(number // SEASONS_APART), number % SEASONS_APART
            if planting:
                self._names[("season", number)] = str(_("%(planting)s: season %(season)d")) % {
                    "planting": planting, "season": season
                }
        numbers = [number for kind, number in wanted if kind not in {"batch", "season", "pay"}]
        for one in CostObject.objects.filter(pk__in=numbers):
            self._names[(one.kind, one.pk)] = one.label

    def has(self, key: Key) -> bool:
        return key in self._names

    def of(self, key: Key) -> str:
        """The name of a node, its kind and number where it has none."""
        return self._names.get(key, f"{key[0]} {key[1]}")


def _entry_words(sources: Sequence[Key]) -> dict[Key, str]:
    work = [number for kind, number in sources if kind == "work"]
    lines = [number for kind, number in sources if kind == "purchase"]
    words: dict[Key, str] = {}
    for entry in WorkEntry.objects.filter(pk__in=work).select_related("worker"):
        words[("work", entry.pk)] = str(entry)
    for line in PurchaseLine.objects.filter(pk__in=lines).select_related("purchase"):
        words[("purchase", line.pk)] = f"{line.description}, {line.purchase.supplier}"
    return words


def _address(name: str, *args: object) -> str:
    try:
        return reverse(name, args=args)
    except NoReverseMatch:
        return ""


def record_url(key: Key) -> str:
    """The page of the record itself."""
    kind, number = key
    if kind == "season":
        kind, number = "planting", number // SEASONS_APART
    return _address(RECORD_PAGES.get(kind, ""), number)


def figure_url(key: Key) -> str:
    """The page that opens this node's figure."""
    return _address("costing:node", *key)


def entry_url(key: Key) -> str:
    """The page of the single entry."""
    kind, number = key
    if kind == "work":
        return _address("daybook:work_entry", number)
    if kind == "purchase":
        return _address("costing:purchase_line", number)
    return ""
