"""Pages of packing and sending, with the picking list and the dispatch note."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.paper import paper
from ledger.sales import actions
from ledger.sales.filters import DispatchFilter
from ledger.sales.forms import PackForm
from ledger.sales.forms.lines import SendForm
from ledger.sales.models import Dispatch, Order, OrderLine, Packing, Reported
from ledger.sales.queries.carriage import carriage_left, carriage_of
from ledger.sales.queries.parcels import parcels_here
from ledger.sales.queries.picking import lines_to_pick, not_to_be_found, picks, sent_by_line, still_to_come
from ledger.sales.tables import DispatchTable
from ledger.stock.queries import cautions_for

from .seeing import SEES_ORDERS, require


class Pack(Verb):
    """Tick what was taken from the shelves for an order."""

    form_class, title, may, button = PackForm, _("Pack"), "packing", _("Packed")
    template_name, subject_model, done = "sales/pack.html", Order, _("Packed.")

    def form_given(self) -> dict[str, Any]:
        self.picks = picks(self.subject)
        return {"picks": self.picks}

    def context(self) -> dict[str, Any]:
        """Lines with something left to pack or left short, those of which too little can be taken, and what to take care of."""
        still = [line for line in lines_to_pick(self.subject) if line.instead_of_id is None]
        return {
            "still": still, "unfindable": not_to_be_found(still, self.picks),
            "cautions": cautions_for(pick.order_line.line for pick in self.picks),
        }

    def act(self, form: PackForm, **common: Any) -> Order:
        return actions.pack_picked(order=self.subject, on=form.cleaned_data["on"], picked=form.picked(), **common)

    def then(self, result: Order) -> str:
        """After a box held fewer than it should, on to what is still on a shelf; else to the order."""
        counted = any(name.startswith("only_") and said for name, said in self.request.POST.items())
        return self.request.path if counted and picks(result) else super().then(result)


class Unpack(Undo):
    """Undo a packing."""

    subject_model, may, fact_name = Packing, "packing", "packing"
    undoing, title, button = staticmethod(actions.unpack), _("Unpack"), _("Put them back")


class Send(Verb):
    """Send what stands packed."""

    title, may, button, done = _("Send the parcel"), "packing", _("Sent"), _("Sent.")
    template_name, subject_model = "sales/send.html", Order

    form_class = SendForm

    def form_given(self) -> dict[str, Any]:
        left = carriage_left(self.subject) if self.request.user.may("see_takings") else 0  # type: ignore[union-attr]
        return {"left": left, "parcels": parcels_here(self.subject)}

    def context(self) -> dict[str, Any]:
        lines = OrderLine.objects.with_standing().filter(order=self.subject)
        return {
            "packings": Packing.objects.open().filter(order_line__order=self.subject).whole().order_by("pk"),
            "carriage": carriage_of(self.subject, lines),
        }

    def act(self, form: Any, **common: Any) -> Dispatch:
        return actions.send(
            order=self.subject, on=form.cleaned_data["on"], carriage=form.carried, parcel=form.meant, **common
        )


class UndoDispatch(Undo):
    """Undo a dispatch."""

    subject_model, may, fact_name = Dispatch, "packing", "dispatch"
    undoing = staticmethod(actions.undo_dispatch)


class Dispatches(ListPage):
    """All parcels sent."""

    model = Dispatch
    table_class, filterset_class = DispatchTable, DispatchFilter
    title, may = _("Parcels sent"), SEES_ORDERS

    def get_queryset(self) -> Any:
        return Dispatch.objects.standing().whole().with_bunches()

    def links(self) -> list[Link]:
        return [Link(_("Trade orders"), reverse("sales:orders"))]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/dispatch.html#row", **given)


def dispatch(request: HttpRequest, pk: int) -> HttpResponse:
    """One parcel sent: the batches in it, the invoice it is on."""
    require(request, SEES_ORDERS)
    dispatch = get_object_or_404(Dispatch.objects.whole().with_bunches(), pk=pk)
    lines = dispatch.lines.select_related("order_line__line__variety__species", "movement__batch__line__variety__species")
    billed = lines.filter(invoice_lines__credits_line__isnull=True).values_list(
        "invoice_lines__invoice", "invoice_lines__invoice__number"
    )
    numbers = sorted({one for one in billed if one[0]})
    undone_here = not numbers and not Reported.objects.standing().filter(dispatch=dispatch).exists()
    links = links_for(
        request.user,
        Link(_("Dispatch note"), reverse("sales:dispatch_note", args=[dispatch.pk]), "packing"),
        *([Link(_("Undo this dispatch"), reverse("sales:undo_dispatch", args=[dispatch.pk]), "packing")] if undone_here else []),
    )
    context = {
        "dispatch": dispatch, "lines": lines.prefetch_related("movement__batch__run"),
        "invoices": numbers, "links": links if dispatch.stands else [],
    }
    return render(request, "sales/dispatch.html", context)


def picking_list(request: HttpRequest, pk: int) -> HttpResponse:
    """The picking list as paper, in the order of shelves."""
    require(request, ("packing",))
    order = get_object_or_404(Order.objects.whole(), pk=pk)
    rows = [pick for pick in picks(order) if pick.proposed]
    about = {"order": order, "picks": rows, "cautions": cautions_for(pick.order_line.line for pick in rows)}
    return paper(request, "print/picking_list.html", about, f"picking-list-{order.pk}.pdf")


def dispatch_note(request: HttpRequest, pk: int) -> HttpResponse:
    """The dispatch note as paper: what is in the parcel, without prices."""
    require(request, ("packing",))
    dispatch = get_object_or_404(Dispatch.objects.standing().whole(), pk=pk)
    rows = sent_by_line(dispatch)
    about = {
        "dispatch": dispatch, "lines": rows, "to_come": still_to_come(dispatch.order),
        "cautions": cautions_for(line.line for line, _bunches in rows),
    }
    return paper(request, "print/dispatch_note.html", about, f"dispatch-note-{dispatch.pk}.pdf")
