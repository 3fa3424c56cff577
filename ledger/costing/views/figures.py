"""The page that opens any figure of cost, and its fragment."""

from __future__ import annotations

from datetime import date, datetime

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import PurchaseLine
from ledger.facts.paper import paper
from ledger.facts.queries import today

from ..forms import AsKnownForm
from ..queries.figures import Opened, opened


def node(request: HttpRequest, kind: str, number: int) -> HttpResponse:
    """Open a figure: layers, shares, each entry, where it went."""
    asked = AsKnownForm(request.GET or None)
    found = _opened(request, kind, number, *_asked(asked))
    form = asked if asked.errors else AsKnownForm(initial={"on": found.on, "known": found.known_at})
    query = request.GET.urlencode()
    paper_url = f"{reverse('costing:node_paper', args=[kind, number])}{'?' if query else ''}{query}"
    context = {"figure": found, "form": form, "paper_url": paper_url, "how_far_url": f"{_how_far_of(kind, number)}?{query}"}
    return render(request, "costing/node.html", context)


def how_far(request: HttpRequest, kind: str, number: int) -> HttpResponse:
    """How far a provisional figure may still move, as a fragment."""
    found = _opened(request, kind, number, *_asked(AsKnownForm(request.GET or None)), how_far=True)
    return render(request, "costing/_how_far.html", {"figure": found})


def _how_far_of(kind: str, number: int) -> str:
    return reverse("costing:how_far", args=[kind, number])


def node_paper(request: HttpRequest, kind: str, number: int) -> HttpResponse:
    """The same on paper."""
    found = _opened(request, kind, number, *_asked(AsKnownForm(request.GET or None)), how_far=True)
    return paper(request, "print/figure.html", {"figure": found}, f"cost-of-{kind}-{number}-{found.on}.pdf")


def figure(request: HttpRequest, kind: str, number: int) -> HttpResponse:
    """The figure as a fragment for a record's page."""
    found = _opened(request, kind, number, today())
    return render(request, "costing/node.html#figure", {"figure": found, "kind": kind, "number": number})


def purchase_line(request: HttpRequest, pk: int) -> HttpResponse:
    """Go on to the purchase a line belongs to."""
    line = get_object_or_404(PurchaseLine, pk=pk)
    return HttpResponseRedirect(reverse("daybook:purchase", args=[line.purchase_id]))


def _opened(request: HttpRequest, kind: str, number: int, on: date, known: datetime | None = None, **asked: bool) -> Opened:
    if not request.user.may("see_costs"):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show costs."))
    found = opened(kind, number, on, known, **asked)
    if found is None:
        raise Http404
    return found


def _asked(form: AsKnownForm) -> tuple[date, datetime | None]:
    """The day and the moment asked for; today and now where nothing sensible was."""
    if not form.is_valid():
        return today(), None
    return form.cleaned_data["on"] or today(), form.cleaned_data["known"]
