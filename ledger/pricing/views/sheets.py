"""The cost sheet of a line as a page and as paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.costing.forms import AsOfForm
from ledger.costing.queries import CostSheet, cost_sheet
from ledger.facts.pages import Link, links_for
from ledger.facts.paper import paper
from ledger.facts.queries import today
from ledger.reckoning.sharing import printed, to_minor
from ledger.stock.models import Batch, Line

from ..queries.proposals import WayProposal, proposals

BATCHES_SHOWN = 20


@dataclass(frozen=True)
class LayerRow:
    """One layer as shown, in whole minor units that add up to the total."""

    name: str
    stock: int
    shelf: int


@dataclass(frozen=True)
class WayRow:
    """One way's proposal as shown."""

    of: WayProposal
    full_cost: int | None


def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """What one unit of a line costs and what to charge, on screen."""
    found, form = _asked(request, pk)
    paper_url = f"{reverse('pricing:cost_sheet_paper', args=[pk])}?on={found.on}"
    what_if = Link(_("What if something were otherwise"), reverse("pricing:what_if", args=[pk]))
    line = Link(_("The line itself"), reverse("stock:line", args=[pk]))
    links = links_for(request.user, Link(_("As paper"), paper_url), what_if, line)
    shown = Batch.objects.filter(pk__in=found.batches[-BATCHES_SHOWN:]).order_by("-on", "-pk")
    batches = [(batch, reverse("costing:node", args=["batch", batch.pk])) for batch in shown]
    context = {"form": form, "links": links, "batches": batches, "more": len(found.batches) - len(batches)}
    return render(request, "pricing/cost_sheet.html", {**_about(found), **context})


def sheet_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The same as paper."""
    found, _form = _asked(request, pk)
    return paper(request, "print/cost_sheet.html", _about(found), f"cost-sheet-{pk}-{found.on}.pdf")


def _asked(request: HttpRequest, pk: int) -> tuple[CostSheet, AsOfForm]:
    if not request.user.may("see_costs"):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show costs."))
    form = AsOfForm(request.GET or None)
    on: date = (form.is_valid() and form.cleaned_data["on"]) or today()
    line = get_object_or_404(Line.objects.select_related("variety__species"), pk=pk)
    return cost_sheet(line, on), form if form.errors else AsOfForm(initial={"on": on})


def _about(found: CostSheet) -> dict[str, Any]:
    stock, shelf = printed([one.stock for one in found.layers]), printed([one.shelf for one in found.layers])
    ways = proposals(found, found.on)
    return {
        "sheet": found,
        "layers": [LayerRow(one.name, *money) for one, *money in zip(found.layers, stock, shelf, strict=True)],
        "stock_cost": sum(stock),
        "shelf_cost": sum(shelf),
        "ways": [WayRow(one, None if one.full_cost is None else to_minor(one.full_cost)) for one in ways],
    }
