"""The way through: the path of a stem as words, each with the lists that belong there.

Each list: its label, its URL name, and the capability it wants where its page
is a function (a page that is a class says so itself in `may`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import Any

from django.http import HttpRequest
from django.urls import resolve, reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, links_for

STEM: list[tuple[Any, list[tuple[Any, str, str | tuple[str, ...]]]]] = [
    (_("bed"), [
        (_("Plantings"), "growing:plantings", ()), (_("Beds"), "growing:beds", ()), (_("Plots"), "growing:plots", ()),
        (_("Varieties"), "growing:varieties", ()), (_("Species"), "growing:species_list", ()),
    ]),
    (_("cut"), [
        (_("Harvest lots"), "growing:lots", ()), (_("Gone from lots"), "growing:partings", ()),
        (_("Gone over"), "growing:gone_over", ()), (_("Limit in water"), "growing:water_limits", ()),
    ]),
    (_("hung"), [
        (_("Hangings"), "drying:hangings", ()), (_("Due down"), "drying:due_down", ()),
        (_("Taken down"), "drying:takings_down", ()),
        (_("Drying places"), "drying:places", ()), (_("Readings"), "drying:readings", ()),
        (_("Norms of loss"), "drying:loss_norms", ()), (_("Oddments"), "drying:oddments", ()),
    ]),
    (_("bunched"), [
        (_("Runs"), "stock:runs", ()), (_("Batches"), "stock:batches", ()), (_("Bunch lines"), "stock:lines", ()),
        (_("Recipes"), "stock:recipes", ()), (_("Stock by age"), "stock:ages", ()),
    ]),
    (_("boxed"), [
        (_("Boxes"), "stock:boxes", ()), (_("Stock book"), "stock:movements", ()), (_("Holds"), "stock:holds", ()),
        (_("How full the shelves are"), "stock:shelves", ()), (_("Where each colour is"), "stock:colours", ()),
        (_("Counts"), "stock:counts", ()), (_("Stock-takes"), "stock:takes", ()),
    ]),
    (_("sold"), [
        (_("Trade orders"), "sales:orders", ()), (_("Standing orders"), "sales:standing_orders", ()),
        (_("Out on sale or return"), "sales:out", ("packing", "selling", "invoices", "see_takings")),
        (_("Jobs"), "sales:jobs", ()), (_("Workshops"), "sales:workshops", ()), (_("Things for hire"), "sales:hire_items", ()),
        (_("Sales"), "sales:sales", ("selling", "see_takings")),
        (_("Stall days"), "sales:stall_days", ("selling", "see_takings")), (_("Customers"), "sales:customers", ()),
        (_("Parcels sent"), "sales:dispatches", ()), (_("Invoices"), "sales:invoices", ("invoices", "see_takings")),
        (_("Payments"), "sales:payments", ("invoices", "see_takings")),
        (_("Card payouts"), "sales:card_payouts", ("selling", "see_takings")),
        (_("Drawn and never sold"), "sales:drawn", ("selling", "see_takings")),
        (_("What florists can have"), "sales:availability", ("prices", "see_takings")),
        (_("Price lists"), "pricing:prices", ("prices", "see_takings")), (_("Offers"), "pricing:offers", ()),
        (_("Prices to look at"), "pricing:warnings", "see_costs"),
        (_("Ways of selling"), "pricing:ways", ("prices", "see_takings")),
    ]),
    (_("valued"), [
        (_("Value of the stock"), "books:valuation", "see_costs"), (_("Bed earnings"), "books:earnings", "see_costs"),
        (_("Fewest stems to judge by"), "books:least_stems", ()),
        (_("Plan of the beds"), "books:bed_plan", "see_costs"), (_("Margins"), "books:margins", "see_costs"),
        (_("Fresh or dry"), "books:fresh_or_dry", "see_costs"), (_("Stall days worth going"), "books:market_days", "see_costs"),
        (_("Closed years"), "books:closes", "books"), (_("The proof"), "books:proof", "books"),
        (_("A season's losses"), "costing:losses", ()), (_("Where stems dry better"), "costing:dries_better", ()),
        (_("Where stems went"), "costing:season", ()),
        (_("Overheads"), "costing:overheads", "see_costs"), (_("Kinds of cost"), "costing:kinds", "see_costs"),
        (_("Bring in"), "books:bring_in", "settings"),
    ]),
]
BESIDE: list[tuple[Any, list[tuple[Any, str, str | tuple[str, ...]]]]] = [
    (_("daybook"), [
        (_("Work"), "daybook:work_entries", ("work", "money")), (_("The clock"), "daybook:clocks", "work"),
        (_("Purchases"), "daybook:purchases", "money"), (_("Materials"), "daybook:materials", ("work", "money")),
        (_("Pay"), "daybook:pays", "money"), (_("Workers"), "daybook:workers", ("work", "money")),
        (_("Years of space"), "daybook:years_of_space", "money"),
    ]),
    (_("the holding"), [
        (_("Holding"), "facts:holding", ("settings", "see_takings")), (_("People"), "facts:people", "settings"),
        (_("Tax status"), "facts:tax_statuses", ("settings", "see_takings")),
        (_("Tax rates"), "facts:tax_rates", ("settings", "see_takings")),
    ]),
]


@dataclass
class Stage:
    """One word of the way: where it leads, the lists there, and whether one stands on it."""

    word: Any
    here: bool = False
    links: list[Link] = field(default_factory=list)

    @property
    def url(self) -> str:
        return self.links[0].url if self.links else ""


def way(request: HttpRequest) -> dict[str, list[Stage]]:
    """The stem and what lies beside it, for the person signed in."""
    here = _standing_at(request)
    return {"stem": _stages(request, STEM, here), "beside": _stages(request, BESIDE, here)}


def _stages(request: HttpRequest, words: Any, here: Any) -> list[Stage]:
    return [
        Stage(word, word == here, links_for(request.user, *(_link(label, name, may) for label, name, may in lists)))
        for word, lists in words
    ]


@cache
def _link(label: Any, name: str, may: str | tuple[str, ...]) -> Link:
    """The link to a list, open to those its page is open to."""
    url = reverse(name)
    page = getattr(resolve(url).func, "view_class", None)
    return Link(label, url, getattr(page, "may", may))


def _standing_at(request: HttpRequest) -> Any:
    """The word whose lists hold this page or lead to it by its address, else the first word of its stage."""
    match = request.resolver_match
    if match is None:
        return None
    names = [(word, [name for _label, name, _may in lists]) for word, lists in (*STEM, *BESIDE)]
    for word, listed in names:
        if match.view_name in listed:
            return word
    for word, listed in names:
        if any(request.path.startswith(reverse(name)) for name in listed):
            return word
    for word, listed in names:
        if match.namespace and any(name.startswith(f"{match.namespace}:") for name in listed):
            return word
    return None
