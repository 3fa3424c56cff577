"""Pages of how full the shelves are, and where all of a colour family is."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, links_for
from ledger.stock.queries import colour_families, shelves_filled


def shelves(request: HttpRequest) -> HttpResponse:
    """Each shelf with its boxes, the empty ones among them, and its bunches."""
    found = shelves_filled()
    totals = {name: sum(getattr(shelf, name) for shelf in found) for name in ("boxes", "empty", "bunches")}
    links = links_for(
        request.user, Link(_("Boxes"), reverse("stock:boxes")), Link(_("Empty boxes"), f"{reverse('stock:boxes')}?state=empty"),
        Link(_("Where each colour is"), reverse("stock:colours")),
    )
    return render(request, "stock/shelves.html", {"shelves": found, "totals": totals, "links": links})


def colours(request: HttpRequest) -> HttpResponse:
    """What is on hand by family of colours; `?family=` with every place of one."""
    families, asked = colour_families(), request.GET.get("family")
    links = links_for(
        request.user, Link(_("Bunch lines"), reverse("stock:lines")),
        Link(_("How full the shelves are"), reverse("stock:shelves")),
    )
    context = {
        "families": families, "links": links, "chosen": next((one for one in families if one.name == asked), None),
        "asked": asked,
    }
    return render(request, "stock/colours.html", context)
