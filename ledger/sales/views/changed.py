"""Prices that were changed at the sale, of all ways of selling."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField
from ledger.facts.queries import today
from ledger.sales.queries.changed import changed_between

from .seeing import SEES_TAKINGS, require


class Days(forms.Form):
    """From one day until another."""

    first = DayField(label=_("From"), required=False)
    last = DayField(label=_("Until"), required=False)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("first") and given.get("last") and given["first"] > given["last"]:
            self.add_error("last", ValidationError(_("The first day cannot come after the last."), code="days_in_order"))
        return given


def changed_prices(request: HttpRequest) -> HttpResponse:
    """The changed prices of some days, today's unless asked for others, with what they took off together."""
    require(request, SEES_TAKINGS)
    form = Days(request.GET)
    given = form.cleaned_data if form.is_valid() else {}
    last = given.get("last") or today()
    first = given.get("first") or last
    found = changed_between(first, last)
    context = {
        "form": form if form.errors else Days(initial={"first": first, "last": last}), "changed": found,
        "took_off": sum(one.took_off or 0 for one in found),
    }
    return render(request, "sales/changed_prices.html", context)
