"""Pages of goods out on sale or return."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Undo, Verb
from ledger.facts.queries import today
from ledger.sales import actions
from ledger.sales.actions.packing import packed_in
from ledger.sales.forms.lines import ParcelForm
from ledger.sales.forms.reporting import ReportForm
from ledger.sales.models import HandedOver, Order, Packing, Reported
from ledger.sales.queries.out import with_customers
from ledger.sales.queries.parcels import parcels_here

from .seeing import SEES_ORDERS, require


def out(request: HttpRequest) -> HttpResponse:
    """Everything customers have on sale or return, the longest there first."""
    require(request, SEES_ORDERS)
    return render(request, "sales/out.html", {"rows": with_customers(), "today": today()})


class HandOver(Verb):
    """Hand the open parcel of an order on sale or return to the customer."""

    subject_model, title, may, button = Order, _("Hand the parcel over"), "packing", _("Hand it over")
    done = _("Handed over.")
    intro = _("It stays yours, and kept for this order, until the customer reports what was sold. No income counts yet.")
    form_class, template_name = ParcelForm, "sales/send.html"

    def form_given(self) -> dict[str, Any]:
        return {"parcels": parcels_here(self.subject)}

    def context(self) -> dict[str, Any]:
        return {"packings": Packing.objects.here().filter(order_line__order=self.subject).whole().order_by("pk")}

    def act(self, form: ParcelForm, **common: Any) -> HandedOver:
        return actions.hand_over(order=self.subject, on=form.cleaned_data["on"], parcel=form.meant, **common)


class Report(Verb):
    """Record what a customer reports of a parcel."""

    form_class, subject_model, template_name = ReportForm, HandedOver, "sales/report.html"
    title, may, button = _("Sold or brought back"), "packing", _("Record it")
    intro = _(
        "What was sold counts as sent and as income on the day of the report. What came back is free again. The rest stays "
        "with the customer, to be reported later."
    )

    def form_given(self) -> dict[str, Any]:
        return {"there": packed_in(self.subject.parcel)}

    def act(self, form: ReportForm, **common: Any) -> Reported:
        return actions.report(
            handed_over=self.subject, on=form.cleaned_data["on"], said=form.said(), box=form.cleaned_data["box"], **common
        )


class UndoHandOver(Undo):
    """Undo a handing over."""

    subject_model, may, fact_name = HandedOver, "packing", "handed_over"
    undoing = staticmethod(actions.undo_hand_over)


class UndoReport(Undo):
    """Undo a report."""

    subject_model, may, fact_name = Reported, "packing", "reported"
    undoing = staticmethod(actions.undo_report)
