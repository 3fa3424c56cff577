"""Pages of purchases and of what space costs in a year."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for, require_may
from ledger.facts.queries import holding, today
from ledger.reckoning.years import year_of

from .. import actions
from ..filters import PurchaseFilter, YearOfSpaceFilter
from ..forms.purchases import PurchaseForm
from ..forms.space import YearOfSpaceForm
from ..models import Purchase, YearOfSpace
from ..tables import PurchaseTable, YearOfSpaceTable
from .records import AskAgain, with_pages


class Purchases(ListPage):
    """All purchases."""

    model, table_class, filterset_class, title, may = Purchase, PurchaseTable, PurchaseFilter, _("Purchases"), "money"

    def get_queryset(self) -> Any:
        return Purchase.objects.standing().with_totals()

    def links(self) -> list[Link]:
        return [Link(_("Enter a purchase"), reverse("daybook:record_purchase"), "money")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="daybook/purchase.html#row", **given)


def purchase(request: HttpRequest, pk: int) -> HttpResponse:
    """One purchase, line by line, and what bears each."""
    require_may(request.user, "money", "see_costs")
    found = get_object_or_404(Purchase, pk=pk)
    lines = list(found.lines.select_related("kind").prefetch_related("shares__spent_on"))
    for line in lines:
        line.borne_by = with_pages(line.shares.all())
    undo = Link(_("Undo this purchase"), reverse("daybook:undo_purchase", args=[pk]), "money")
    about = {"purchase": found, "lines": lines, "links": links_for(request.user, undo) if found.stands else []}
    return render(request, "daybook/purchase.html", about)


class RecordPurchase(AskAgain, Verb):
    """Enter a bill; a button adds a line without losing what was typed."""

    form_class, title, may = PurchaseForm, _("Enter a purchase"), "money"
    template_name = "daybook/record_purchase.html"

    def form_given(self) -> dict[str, Any]:
        typed = self.request.POST.get("lines", "1")
        lines = max(int(typed), 1) if typed.isdecimal() else 1
        return {"lines": lines + 1 if "more" in self.request.POST else lines}

    def act(self, form: PurchaseForm, **common: Any) -> Purchase:
        given = form.cleaned_data
        return actions.record_purchase(
            on=given["on"], supplier=given["supplier"], reference=given["reference"], lines=form.bought(), **common
        )


class UndoPurchase(Undo):
    """Undo a purchase."""

    subject_model, may, fact_name = Purchase, "money", "purchase"
    undoing = actions.undo_purchase


class YearsOfSpace(ListPage):
    """What plots and drying places are expected to cost, year by year."""

    model, table_class, filterset_class, may = YearOfSpace, YearOfSpaceTable, YearOfSpaceFilter, "money"
    title = _("What space costs in a year")

    def get_queryset(self) -> Any:
        return YearOfSpace.objects.standing().select_related("space")

    def links(self) -> list[Link]:
        return [Link(_("Enter a year"), reverse("daybook:set_year_of_space"), "money")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="daybook/year_of_space.html#row", **given)


class SetYearOfSpace(Verb):
    """Enter what space costs in a year."""

    form_class, title, may = YearOfSpaceForm, _("What space costs in a year"), "money"
    intro = _(
        "Until its bills have come a year is charged by what is expected. Normal use is that of a usual year, winter rest and "
        "preparation allowed for; only disuse beyond it stands idle."
    )

    def initial(self) -> dict[str, Any]:
        kept = holding()
        return {"year": year_of(today(), end_month=kept.year_end_month, end_day=kept.year_end_day), **super().initial()}

    def act(self, form: YearOfSpaceForm, **common: Any) -> YearOfSpace:
        return actions.set_year_of_space(**form.given(), **common)


class UndoYearOfSpace(Undo):
    """Undo a year of space."""

    subject_model, may, fact_name = YearOfSpace, "money", "year_of_space"
    undoing = actions.undo_year_of_space
