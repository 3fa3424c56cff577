"""What was drawn and never sold, for the accountant: as a page, on paper, for a spreadsheet."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import TAX_CAUTION, DayField
from ledger.facts.pages import Link, links_for
from ledger.facts.paper import paper
from ledger.facts.queries import holding, today
from ledger.pricing.models import Way
from ledger.reckoning.years import year_bounds, year_of
from ledger.sales.queries.drawn import AllDrawn, all_drawn, drawn_as_csv, way_for_drawn

from .seeing import SEES_TAKINGS, require


class Stretch(forms.Form):
    """Of which days, and by whose price list."""

    first = DayField(label=_("From"), required=False)
    last = DayField(label=_("Until"), required=False)
    way = forms.ModelChoiceField(queryset=Way.objects.retail(), label=_("At the prices of"), required=False, empty_label=None)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("first") and given.get("last") and given["first"] > given["last"]:
            self.add_error("last", ValidationError(_("The first day cannot come after the last."), code="days_in_order"))
        return given


def drawn(request: HttpRequest) -> HttpResponse:
    """What was drawn, home use and gifts at their selling price."""
    form, found = _asked(request)
    query = request.GET.urlencode()
    links = links_for(
        request.user,
        *(Link(label, f"{reverse(name)}?{query}" if query else reverse(name)) for label, name in (
            (_("As paper"), "sales:drawn_paper"), (_("For a spreadsheet (CSV)"), "sales:drawn_csv"),
        )),
        Link(_("Draw"), reverse("stock:draw"), "boxes"),
    )
    return render(request, "sales/drawn.html", {"form": form, "found": found, "links": links, "caution": TAX_CAUTION})


def drawn_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    _form, found = _asked(request)
    return paper(request, "print/drawn.html", {"found": found, "caution": TAX_CAUTION}, f"drawn-{found.first}-{found.last}.pdf")


def drawn_csv(request: HttpRequest) -> HttpResponse:
    """The same for a spreadsheet."""
    _form, found = _asked(request)
    answer = HttpResponse(drawn_as_csv(found), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="drawn-{found.first}-{found.last}.csv"'
    return answer


def _asked(request: HttpRequest) -> tuple[Stretch, AllDrawn]:
    """The days asked for, else the books' year up to today."""
    require(request, SEES_TAKINGS)
    form = Stretch(request.GET)
    given = form.cleaned_data if form.is_valid() else {}
    first, last, way = given.get("first") or _year_begins(), given.get("last") or today(), given.get("way") or way_for_drawn()
    shown = Stretch(initial={"first": first, "last": last, "way": way})
    return form if form.errors else shown, all_drawn(first, last, way)


def _year_begins() -> date:
    kept = holding()
    ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
    return year_bounds(year_of(today(), **ends), **ends)[0]
