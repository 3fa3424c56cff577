"""The list for florists: as a page, on paper, for a spreadsheet, and as text to be pasted into a message."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField
from ledger.facts.pages import Link, links_for, require_may
from ledger.facts.paper import paper
from ledger.facts.queries import holding, today
from ledger.pricing.models import Way
from ledger.pricing.queries.words import steps_in_words
from ledger.reckoning.currency import minor_digits
from ledger.stock.models import Batch, Line
from ledger.stock.queries import past_best

from ..models import Customer
from ..queries.availability import Availability, Coming, Free, Offered, availability, where_in_words
from ..queries.listing import as_csv, as_text, tax_in_words

SEES_PRICES = ("prices", "see_takings")


class ForWhom(forms.Form):
    """By which way, for which customer, at the prices of which day."""

    way = forms.ModelChoiceField(queryset=Way.objects.all(), label=_("Way of selling"), required=False, empty_label=None)
    customer = forms.ModelChoiceField(
        queryset=Customer.objects.named(), label=_("Customer"), required=False, empty_label=_("anybody: the list's prices"),
    )
    on = DayField(label=_("As of"), required=False)


@dataclass(frozen=True)
class Row:
    """One line of the list as shown."""

    of: Offered
    bunches: int
    steps: str
    expected: date | None = None
    where: str = ""


def show(request: HttpRequest) -> HttpResponse:
    """What is free and what is coming, with what it costs."""
    form, found = _asked(request)
    query = request.GET.urlencode()
    links = links_for(
        request.user,
        *(Link(label, f"{reverse(name)}?{query}" if query else reverse(name)) for label, name in (
            (_("As paper"), "sales:availability_paper"), (_("For a spreadsheet (CSV)"), "sales:availability_csv"),
            (_("As plain text"), "sales:availability_text"),
        ) if found),
        Link(_("Take an order"), reverse("sales:take_order"), "selling"), Link(_("Price lists"), reverse("pricing:prices")),
    )
    past = _past_best(found) if found else []
    return render(request, "sales/availability.html", {**_about(found), "form": form, "links": links, "past": past})


def _past_best(found: Availability) -> list[tuple[Line, int]]:
    """Of the lines offered as free those with bunches past their best that day, and how many; told to the seller alone."""
    lines = {one.of.line.pk: one.of.line for one in found.free}
    old = past_best(Batch.objects.filter(line__in=lines).on_hand_on(found.when), found.when)
    counted: dict[int, int] = defaultdict(int)
    for line, bunches in old.values_list("line", "there"):
        counted[line] += bunches
    return [(line, counted[key]) for key, line in lines.items() if counted[key]]


def show_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    _form, found = _asked(request)
    return paper(request, "print/availability.html", _about(found), f"{_name(found)}.pdf")


def show_csv(request: HttpRequest) -> HttpResponse:
    """The same for a spreadsheet."""
    _form, found = _asked(request)
    answer = HttpResponse(as_csv(found) if found else "", content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{_name(found)}.csv"'
    return answer


def show_text(request: HttpRequest) -> HttpResponse:
    """The same as text to be pasted."""
    _form, found = _asked(request)
    return HttpResponse(as_text(found) if found else "", content_type="text/plain; charset=utf-8")


def _asked(request: HttpRequest) -> tuple[ForWhom, Availability | None]:
    """What was asked for, the first trade way where none was; nothing where there is no way of selling."""
    require_may(request.user, *SEES_PRICES)
    form = ForWhom(request.GET)
    given = form.cleaned_data if form.is_valid() else {}
    way = given.get("way") or Way.objects.on_order().first() or Way.objects.first()
    on, customer = given.get("on") or today(), given.get("customer")
    shown = ForWhom(initial={"way": way, "customer": customer, "on": on})
    return form if form.errors else shown, availability(way, on, customer) if way else None


def _name(found: Availability | None) -> str:
    return f"available-{found.on}" if found else "available"


def _about(found: Availability | None) -> dict[str, Any]:
    if found is None:
        return {"found": None}
    digits = minor_digits(holding().currency)
    return {
        "found": found, "tax": tax_in_words(found), "text": as_text(found),
        "free": [_free(one, digits) for one in found.free], "coming": [_coming(one, digits) for one in found.coming],
        "free_in_all": sum(one.bunches for one in found.free), "coming_in_all": sum(one.bunches for one in found.coming),
    }


def _free(one: Free, digits: int) -> Row:
    return Row(one.of, one.bunches, steps_in_words(one.of.steps, digits))


def _coming(one: Coming, digits: int) -> Row:
    return Row(one.of, one.bunches, steps_in_words(one.of.steps, digits), one.expected, where_in_words(one.where))
