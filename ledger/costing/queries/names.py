"""What the nodes and entries of the cost book are called, and where their pages are."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import MaterialCount, MaterialUse, PurchaseLine, WorkEntry
from ledger.drying.models import Oddments
from ledger.facts.models import CostObject
from ledger.growing.models import Planting
from ledger.reckoning.book import SEASONS_APART, Key
from ledger.stock.models import Batch

PLACES = {
    "boxed": _("in boxes, or waiting for one"),
    "loose": _("sound and loose"),
    "hanging": _("still hanging"),
    "in water": _("in water"),
    "growing": _("still growing"),
    "plants": _("in the plants, for later seasons"),
    "materials": _("in materials not yet used"),
    "cost of sales": _("sold"),
    "made up": _("made up"),
    "drawn": _("drawn"),
    "written off": _("written off"),
    "cost of the year": _("cost of the year"),
    "charged ahead or behind": _("charged ahead of the bills (-) or behind them"),
    "paid, not booked": _("paid, not booked"),
}
NOT_BOOKED: Key = ("pay", 0)
RECORD_PAGES = {
    "planting": "growing:planting", "plot": "growing:plot", "lot": "growing:lot", "hanging": "drying:hanging",
    "place": "drying:place", "run": "stock:run", "batch": "stock:batch", "stall_day": "sales:stall_day",
    "order": "sales:order", "sale": "sales:sale", "job": "sales:job", "workshop": "sales:workshop",
    "material": "daybook:material",
}


class Names:
    """What the nodes of one page are called, found in a fixed number of queries."""

    def __init__(self, keys: Iterable[Key]) -> None:
        wanted = set(keys)
        self._names: dict[Key, str] = {key: str(PLACES["paid, not booked"]) for key in wanted if key == NOT_BOOKED}
        self._numbers: dict[str, list[int]] = defaultdict(list)
        for kind, number in wanted:
            self._numbers[kind].append(number)
        self._name_batches(self._numbers.pop("batch", []))
        self._name_seasons(self._numbers.pop("season", []))
        self._name_oddments(self._numbers.pop("oddments", []))
        self._numbers.pop("pay", None)
        rest = [number for numbers in self._numbers.values() for number in numbers]
        for one in CostObject.objects.filter(pk__in=rest):
            self._names[(one.kind, one.pk)] = one.label

    def _name_batches(self, numbers: Sequence[int]) -> None:
        for batch in Batch.objects.filter(pk__in=numbers).select_related("line__variety__species"):
            self._names[("batch", batch.pk)] = str(batch)

    def _name_seasons(self, numbers: Sequence[int]) -> None:
        plantings = Planting.objects.filter(pk__in={number // SEASONS_APART for number in numbers})
        by_pk = {one.pk: one for one in plantings.select_related("variety__species", "bed__plot")}
        for number in numbers:
            planting, season = by_pk.get(number // SEASONS_APART), number % SEASONS_APART
            if planting:
                self._names[("season", number)] = str(_("%(planting)s: season %(season)d")) % {
                    "planting": planting, "season": season
                }

    def _name_oddments(self, numbers: Sequence[int]) -> None:
        for one in Oddments.objects.filter(pk__in=numbers).select_related("hanging__cost_object"):
            self._names[("oddments", one.pk)] = str(_("%(stems)d oddments of %(hanging)s")) % {
                "stems": one.stems, "hanging": one.hanging.cost_object.label,
            }

    def has(self, key: Key) -> bool:
        return key in self._names

    def of(self, key: Key) -> str:
        """The name of a node, its kind and number where it has none."""
        return self._names.get(key, f"{key[0]} {key[1]}")


def entry_words(sources: Sequence[Key]) -> dict[Key, str]:
    """What the single entries say: work, lines of bills, materials used and counted."""
    numbers: dict[str, list[int]] = defaultdict(list)
    for kind, number in sources:
        numbers[kind].append(number)
    words: dict[Key, str] = {}
    for line in PurchaseLine.objects.filter(pk__in=numbers["purchase"]).select_related("purchase"):
        words[("purchase", line.pk)] = f"{line.description}, {line.purchase.supplier}"
    for kind, entries in (
        ("work", WorkEntry.objects.select_related("worker")),
        ("use", MaterialUse.objects.select_related("material")),
        ("count", MaterialCount.objects.select_related("material")),
    ):
        words |= {(kind, entry.pk): str(entry) for entry in entries.filter(pk__in=numbers[kind])} if numbers[kind] else {}
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
    if kind == "oddments":
        hanging = Oddments.objects.filter(pk=number).values_list("hanging", flat=True).first()
        return _address(RECORD_PAGES["hanging"], hanging) if hanging else ""
    return _address(RECORD_PAGES.get(kind, ""), number)


def figure_url(key: Key) -> str:
    """The page that opens this node's figure."""
    return _address("costing:node", *key)


def entry_url(key: Key) -> str:
    """The page of the single entry; a material's use or count is on the material's page."""
    kind, number = key
    if kind in {"work", "purchase"}:
        return _address("daybook:work_entry" if kind == "work" else "costing:purchase_line", number)
    model = {"use": MaterialUse, "count": MaterialCount}.get(kind)
    material = model.objects.filter(pk=number).values_list("material", flat=True).first() if model else None
    return _address(RECORD_PAGES["material"], material) if material else ""
