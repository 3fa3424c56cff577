"""Pages of cost: the page that opens any figure, its fragment, a year's overheads."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import PurchaseLine
from ledger.facts.pages import Link, ListPage, Undo, Verb
from ledger.facts.queries import today

from . import actions
from .filters import OverheadPlanFilter
from .forms import AsOfForm, OverheadsForm
from .models import OverheadPlan
from .queries.figures import Opened, opened
from .tables import OverheadPlanTable


def node(request: HttpRequest, kind: str, number: int) -> HttpResponse:
    """Open a figure: layers, shares, each entry, where it went."""
    asked = AsOfForm(request.GET or None)
    found = _opened(request, kind, number, _day(asked))
    form = asked if asked.errors else AsOfForm(initial={"on": found.on})
    return render(request, "costing/node.html", {"figure": found, "form": form, "kind": kind})


def figure(request: HttpRequest, kind: str, number: int) -> HttpResponse:
    """The figure as a fragment for a record's page."""
    found = _opened(request, kind, number, today())
    return render(request, "costing/node.html#figure", {"figure": found, "kind": kind, "number": number})


def purchase_line(request: HttpRequest, pk: int) -> HttpResponse:
    """Go on to the purchase a line belongs to."""
    line = get_object_or_404(PurchaseLine, pk=pk)
    return HttpResponseRedirect(reverse("daybook:purchase", args=[line.purchase_id]))


def _opened(request: HttpRequest, kind: str, number: int, on: date) -> Opened:
    if not request.user.may("see_costs"):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show costs."))
    found = opened(kind, number, on)
    if found is None:
        raise Http404
    return found


def _day(form: AsOfForm) -> date:
    return (form.is_valid() and form.cleaned_data["on"]) or today()


class OverheadPlans(ListPage):
    """The overheads planned, year by year."""

    model = OverheadPlan
    queryset = OverheadPlan.objects.standing()
    table_class, filterset_class = OverheadPlanTable, OverheadPlanFilter
    title, may = _("Overheads"), "see_costs"
    intro = _("What no bed or bunch can be named for, spread on the usual cost of a year's bunches.")

    def links(self) -> list[Link]:
        return [Link(_("Plan a year"), reverse("costing:plan_overheads"), "money")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="costing/overheads.html#row", **given)


class PlanOverheads(Verb):
    """Plan a year's overheads."""

    form_class, title, may = OverheadsForm, _("Plan a year's overheads"), "money"

    def act(self, form: OverheadsForm, **common: Any) -> OverheadPlan:
        return actions.plan_overheads(**form.given(), **common)

    def then(self, result: OverheadPlan) -> str:
        return reverse("costing:overheads")


class UndoOverheads(Undo):
    """Undo a plan of overheads."""

    subject_model, may, fact_name = OverheadPlan, "money", "plan"
    undoing = staticmethod(actions.undo_overhead_plan)

    def then(self, result: OverheadPlan) -> str:
        return reverse("costing:overheads")
