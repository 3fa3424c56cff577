"""The page that opens any figure of cost, and its fragment."""

from __future__ import annotations

from datetime import date

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import PurchaseLine
from ledger.facts.queries import today

from ..forms import AsOfForm
from ..queries.figures import Opened, opened


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
