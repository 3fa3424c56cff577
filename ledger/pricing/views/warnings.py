"""The page of prices to look at."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.costing.forms import AsOfForm
from ledger.facts.pages import Link, links_for, require_may
from ledger.facts.queries import today

from ..queries.warnings import prices_to_look_at
from ..today import price_notes


def show(request: HttpRequest) -> HttpResponse:
    """Prices with anything wrong with them, those that matter first, the others behind; for Today only how many."""
    require_may(request.user, "see_costs")
    if request.headers.get("HX-Request"):
        return render(request, "pricing/warnings.html#notes", {"notes": list(price_notes(today()))})
    form = AsOfForm(request.GET or None)
    on = (form.is_valid() and form.cleaned_data["on"]) or today()
    rows = prices_to_look_at(on)
    links = links_for(
        request.user, Link(_("Price lists"), reverse("pricing:prices")), Link(_("Offers"), reverse("pricing:offers")),
        Link(_("Set a price"), reverse("pricing:set_price"), "prices"), Link(_("Overheads"), reverse("costing:overheads")),
    )
    context = {
        "on": on, "form": form if form.errors else AsOfForm(initial={"on": on}), "links": links,
        "below": [row for row in rows if row.below_cost], "other": [row for row in rows if not row.pressing],
        "thin": [row for row in rows if row.pressing and not row.below_cost],
    }
    return render(request, "pricing/warnings.html", context)
