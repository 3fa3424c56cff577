"""Closing a year, opening it again, and the list of closed years."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import STOCK_METHODS
from ledger.facts.pages import Link, Undo, Verb, links_for
from ledger.facts.queries import holding, ledger_state, today
from ledger.reckoning.sharing import to_minor
from ledger.reckoning.years import year_bounds, year_of

from .. import actions
from ..forms import CloseForm, ReopenForm
from ..models import YearClose
from .proof import require_books


def closes(request: HttpRequest) -> HttpResponse:
    """The years closed, and up to which day nothing can be entered."""
    require_books(request)
    found = YearClose.objects.order_by("-on", "-pk").select_related("recorded_by")
    methods = dict(STOCK_METHODS)
    rows = [
        (close, methods[close.method], to_minor(close.closing_cost), to_minor(close.write_down)) for close in found
    ]
    links = links_for(request.user, Link(_("Close a year"), reverse("books:close"), "books"))
    about = {"rows": rows, "links": links, "closed_until": ledger_state().closed_until}
    return render(request, "books/closes.html", about)


class Close(Verb):
    """Close a year."""

    form_class, title, may, button = CloseForm, _("Close a year"), "books", _("Close the year")
    intro = _(
        "Closing freezes what everything held at the end of that day, and nothing more can be entered on or before it. "
        "What later facts change is shown as earlier years put right. Let your accountant decide when a year is complete."
    )

    def initial(self) -> dict[str, Any]:
        kept = holding()
        ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
        return {"on": year_bounds(year_of(today(), **ends) - 1, **ends)[1], **super().initial()}

    def act(self, form: CloseForm, **common: Any) -> YearClose:
        return actions.close_year(on=form.cleaned_data["on"], **common)

    def then(self, result: YearClose) -> str:
        return reverse("books:closes")


class Reopen(Undo):
    """Open the latest closed year again."""

    subject_model, may, fact_name, form_class = YearClose, "books", "close", ReopenForm
    title, button = _("Open a closed year again"), _("Open it again")
    undoing = staticmethod(actions.reopen_year)

    def then(self, result: YearClose) -> str:
        return reverse("books:closes")
