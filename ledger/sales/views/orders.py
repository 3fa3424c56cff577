"""Pages of trade orders: asked, promised, given back."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from typing import Any

from django.db.models import Min
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links, spending_on
from ledger.facts.forms import VerbForm
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.filters import OrderFilter
from ledger.sales.forms import BunchesForm, CancelForm, OrderForm
from ledger.sales.models import AskedChange, Customer, Invoice, Order, OrderLine, Packing, Reported
from ledger.sales.queries.carriage import carriage_left, carriage_of, carriage_sent, net_of
from ledger.sales.queries.lacking import what_could_fill
from ledger.sales.queries.offering import chosen, lines_offered, price_texts, said_of_prices
from ledger.sales.queries.out import with_customers
from ledger.sales.queries.terms import order_terms_on, pack_rules_on, terms_in_sentences
from ledger.sales.tables import OrderTable
from ledger.stock.models import HoldChange

from .seeing import SEES_ORDERS, require


class Orders(ListPage):
    """All trade orders."""

    model = Order
    table_class, filterset_class = OrderTable, OrderFilter
    title, may = _("Trade orders"), SEES_ORDERS

    def get_queryset(self) -> Any:
        return Order.objects.standing().whole().with_standing()

    def links(self) -> list[Link]:
        return [
            Link(_("Take an order"), reverse("sales:take_order"), "selling"),
            Link(_("Lines that could be filled"), reverse("sales:lacking"), "selling"),
            Link(_("Still promised"), f"{reverse('sales:orders')}?state=open"),
            Link(_("To be invoiced"), f"{reverse('sales:orders')}?state=to_invoice", "invoices"),
            Link(_("Parcels sent"), reverse("sales:dispatches")),
            Link(_("Out on sale or return"), reverse("sales:out")),
            Link(_("Customers"), reverse("sales:customers")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/order.html#row", **given)


def order(request: HttpRequest, pk: int) -> HttpResponse:
    """One order: what was asked, promised, packed, sent, invoiced."""
    require(request, SEES_ORDERS)
    order = get_object_or_404(Order.objects.whole().with_standing(), pk=pk)
    changes = HoldChange.objects.filter(hold__order_line__order=order)
    lines = list(OrderLine.objects.whole().with_standing().filter(order=order))
    lacking = what_could_fill(lines) if order.stands and request.user.may("selling") else []  # type: ignore[union-attr]
    taken = changes.filter(hold__order_line__promised__gt=0).values("hold").annotate(first=Min("pk"))
    context = {
        "order": order, "links": links_for(request.user, *_links(order, lines)) if order.stands else [],
        "lines": lines, "lacking": lacking, "new_key": new_key, "on": today(),
        "net": net_of(lines), "carriage": carriage_of(order, lines) if request.user.may("see_takings") else None,  # type: ignore[union-attr]
        "carriage_left": carriage_left(order), "gone": carriage_sent(order),
        "said_anew": order.said_anew.select_related("recorded_by").order_by("on", "pk"),
        "asked_changes": AskedChange.objects.filter(order_line__order=order).select_related(
            "order_line__line__variety__species", "recorded_by", "reported_back"
        ).order_by("on", "pk"),
        "packings": Packing.objects.here().filter(order_line__order=order).whole().order_by("pk"),
        "out": with_customers(order) if order.sale_or_return else [],
        "reports": Reported.objects.standing().filter(handed_over__parcel__order=order).select_related(
            "handed_over__parcel__box", "dispatch"
        ).prefetch_related("back__order_line__line__variety__species").order_by("on", "pk"),
        "dispatches": order.dispatches.standing().with_bunches().select_related("parcel__box").order_by("on", "pk"),
        "invoices": Invoice.objects.filter(order=order).with_owed().order_by("number"),
        "spending": spending_on(order.cost_object, request.user),
        "with_the_order": {one["first"] for one in taken.order_by("hold")},
        "changes": changes.select_related("hold__line__variety__species", "recorded_by", "asked_change").order_by("on", "pk"),
    }
    return render(request, "sales/order.html", context)


def new_key() -> str:
    """A key for a form of one press, another each time a page asks."""
    return str(uuid.uuid4())


def _links(order: Order, lines: Iterable[OrderLine]) -> list[Link]:
    change = Link(_("Change this order"), reverse("sales:change_order", args=[order.pk]), "selling")
    undo = Link(_("Undo this order"), reverse("sales:undo_order", args=[order.pk]), "selling")
    cancel = Link(_("Cancel all that is left of it"), reverse("sales:cancel_order", args=[order.pk]), "selling")
    left = [cancel] if any(line.not_packed > 0 for line in lines) else []
    rests = any(line.packed or line.sent or line.given_back or line.short for line in lines)  # type: ignore[attr-defined]
    links = [change, *left, *spending_links(order.pk), *([] if rests else [undo])]
    late = order.sent and not order.kept and carriage_left(order)  # type: ignore[attr-defined]
    if order.to_invoice or late:  # type: ignore[attr-defined]
        says = _("Invoice what was sent") if order.to_invoice else _("Invoice its carriage")  # type: ignore[attr-defined]
        links.insert(0, Link(says, reverse("sales:invoice_order", args=[order.pk]), "invoices"))
    if order.here and order.sale_or_return:  # type: ignore[attr-defined]
        links.insert(0, Link(_("Hand the parcel over"), reverse("sales:hand_over", args=[order.pk]), "packing"))
    elif order.here:  # type: ignore[attr-defined]
        links.insert(0, Link(_("Send the parcel"), reverse("sales:send", args=[order.pk]), "packing"))
    if any(line.to_pack > 0 for line in lines):  # type: ignore[attr-defined]
        links[:0] = [
            Link(_("Pack"), reverse("sales:pack", args=[order.pk]), "packing"),
            Link(_("Picking list"), reverse("sales:picking_list", args=[order.pk]), "packing"),
        ]
    return links


class TakeOrder(Verb):
    """Take a trade order. `?way=` chooses the price list, `?customer=` the customer."""

    form_class, title, may, button = OrderForm, _("Take an order"), "selling", _("Promise it")
    template_name = "sales/take_order.html"

    def find_subject(self) -> None:
        self.ways = list(Way.objects.on_order())
        self.way = chosen(self.ways, self.request.GET.get("way", ""))
        typed = self.request.GET.get("customer", "")
        self.customer = Customer.objects.named().filter(pk=int(typed)).first() if typed.isdecimal() else None

    def form_given(self) -> dict[str, Any]:
        if self.way is None:
            return {"lines": [], "prices": {}}
        return {
            "lines": lines_offered(self.way, today()), "prices": price_texts(self.way, today(), net=True),
            "said": said_of_prices(self.way, today(), self.customer, net=True),
            "packs": pack_rules_on(self.way, today()),
        }

    def context(self) -> dict[str, Any]:
        says = terms_in_sentences(order_terms_on(self.way, today())) if self.way else []
        return {"way_of_selling": self.way, "ways": self.ways, "says": says}

    def act(self, form: OrderForm, **common: Any) -> Order:
        given = form.cleaned_data
        return actions.take_order(
            on=given["on"], customer=given["customer"], way=self.way, lines=form.asked(), wanted_on=given["wanted_on"],
            reference=given["reference"], carriage=given["carriage"], all_the_same=given["all_the_same"],
            what_is_free=given["what_is_free"],
            sale_or_return=given["sale_or_return"], **common,
        )


class UndoOrder(Undo):
    """Undo an order."""

    subject_model, may, fact_name = Order, "selling", "order"
    undoing = staticmethod(actions.undo_order)


class OnOrderLine(Verb):
    """A verb on one line of an order; goes back to the order."""

    form_class: type[VerbForm] = BunchesForm
    may = "selling"

    def find_subject(self) -> None:
        self.subject = get_object_or_404(OrderLine.objects.whole().with_standing(), pk=self.given["pk"])

    def then(self, result: Any) -> str:
        return self.subject.order.get_absolute_url()


class PromiseMore(OnOrderLine):
    """Promise more of what was asked."""

    title, button = _("Promise more"), _("Promise them")

    def initial(self) -> dict[str, Any]:
        line = self.subject
        return {"bunches": max(min(line.open, line.line.balance.free), 0) or None, **super().initial()}

    def act(self, form: BunchesForm, **common: Any) -> HoldChange:
        return actions.promise_more(order_line=self.subject, **form.given(), **common)


class Cancel(OnOrderLine):
    """Cancel what is neither packed nor sent, in part or all of it."""

    form_class = CancelForm
    title, button, done = _("Cancel in part"), _("Cancel them"), _("Cancelled.")
    intro = _("So many fewer are asked for: first what is not promised, then what is neither packed nor sent; it is free again.")

    def initial(self) -> dict[str, Any]:
        left = self.subject.otherwise if self.subject.lacking > 0 else self.subject.to_pack
        return {"bunches": left or None, **super().initial()}

    def act(self, form: CancelForm, **common: Any) -> AskedChange:
        return actions.cancel(order_line=self.subject, **form.given(), **common)


class UndoPromise(Undo):
    """Undo a later promise or a giving back."""

    subject_model, may, fact_name = HoldChange, "selling", "change"
    undoing = staticmethod(actions.undo_promise)

    def find_subject(self) -> None:
        self.subject = get_object_or_404(HoldChange, pk=self.given["pk"], hold__order_line__isnull=False)

    def then(self, result: HoldChange) -> str:
        return result.hold.order_line.order.get_absolute_url()
