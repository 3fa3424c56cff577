"""Pages of customers."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Amendment
from ledger.facts.pages import Link, ListPage, Verb, links_for
from ledger.facts.queries import today
from ledger.sales import actions
from ledger.sales.filters import CustomerFilter
from ledger.sales.forms import BlankForm, CustomerForm
from ledger.sales.forms.customers import KEPT
from ledger.sales.models import Customer, CustomerPrice, Invoice, Job, Order, Sale
from ledger.sales.tables import CustomerTable

LATEST = 20
SEES_CUSTOMERS = ("packing", "selling", "invoices")


class Customers(ListPage):
    """All customers."""

    model = Customer
    table_class, filterset_class = CustomerTable, CustomerFilter
    title, may = _("Customers"), SEES_CUSTOMERS

    def get_queryset(self) -> Any:
        return Customer.objects.with_owed()

    def get_table_kwargs(self) -> dict[str, Any]:
        return {} if self.request.user.may("see_takings") else {"exclude": ("owed",)}  # type: ignore[union-attr]

    def links(self) -> list[Link]:
        return [Link(_("Add a customer"), reverse("sales:add_customer"), "selling")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/customer.html#row", **given)


def customer(request: HttpRequest, pk: int) -> HttpResponse:
    """One customer: details, orders, invoices, sales."""
    customer = get_object_or_404(Customer.objects.with_owed(), pk=pk)
    context = {
        "customer": customer, "links": links_for(request.user, *_links(customer)),
        "orders": Order.objects.standing().filter(customer=customer).with_standing().order_by("-on", "-pk")[:LATEST],
        "jobs": Job.objects.standing().filter(customer=customer).with_standing().order_by("-held_on_now", "-pk")[:LATEST],
        "invoices": Invoice.objects.filter(customer=customer).whole().with_owed()[:LATEST],
        "sales": Sale.objects.standing().filter(customer=customer).whole().with_takings().order_by("-on", "-pk")[:LATEST],
        "own_prices": _own_prices(customer), "ended_prices": _ended_prices(customer),
        "changes": Amendment.objects.filter(model=Customer._meta.label, record_pk=str(pk)).select_related("by")[:LATEST],
    }
    return render(request, "sales/customer.html", context)


def _links(customer: Customer) -> list[Link]:
    if customer.blanked_at is not None:
        return []
    take = Link(_("Take an order"), f"{reverse('sales:take_order')}?customer={customer.pk}", "selling")
    agree = f"{reverse('sales:agree_standing_order')}?customer={customer.pk}"
    comes_round = Link(_("Agree a standing order"), agree, "selling")
    return [
        *([take, comes_round] if customer.trade else []),
        Link(_("Enter a job"), f"{reverse('sales:new_job')}?customer={customer.pk}", "selling"),
        Link(_("Set an own price"), reverse("sales:set_own_price", args=[customer.pk]), "prices"),
        Link(_("The price list as paper"), reverse("sales:own_list_paper", args=[customer.pk]), ("prices", "see_takings")),
        Link(_("Change the details"), reverse("sales:change_customer", args=[customer.pk]), "selling"),
        Link(_("Remove the personal details"), reverse("sales:blank_customer", args=[customer.pk]), "selling"),
    ]


def _own_prices(customer: Customer) -> Any:
    rows = CustomerPrice.objects.in_force(today()).filter(customer=customer)
    return rows.select_related("line__variety__species", "way").order_by("line", "way", "at_least", "pk")


def _ended_prices(customer: Customer) -> Any:
    """Endings of own prices, the latest first, so that one can be undone."""
    rows = CustomerPrice.objects.standing().filter(customer=customer, amount=None)
    return rows.select_related("line__variety__species", "way").order_by("-on", "-pk")[:LATEST]


class AddCustomer(Verb):
    """Add a customer."""

    form_class, title, may, button = CustomerForm, _("Add a customer"), "selling", _("Add it")

    def act(self, form: CustomerForm, **common: Any) -> Customer:
        return actions.add_customer(**form.given(), **common)


class ChangeCustomer(Verb):
    """Change a customer's details."""

    form_class, title, may, button = CustomerForm, _("Change the details"), "selling", _("Change them")
    subject_model = Customer

    def initial(self) -> dict[str, Any]:
        return {name: getattr(self.subject, name) for name in KEPT}

    def form_given(self) -> dict[str, Any]:
        return {"seen": True}

    def act(self, form: CustomerForm, **common: Any) -> Customer:
        return actions.change_customer(customer=self.subject, changes=form.given(), seen=form.seen(), **common)


class BlankCustomer(Verb):
    """Remove a customer's personal details."""

    form_class, title, may, button = BlankForm, _("Remove the personal details"), "selling", _("Remove them")
    subject_model, done = Customer, _("Removed.")
    intro = _(
        "For when somebody asks to be forgotten. Orders and figures stay; jobs lose their names and notes. "
        "Papers already issued keep the customer's name, as the law on invoices asks. This cannot be undone."
    )

    def act(self, form: BlankForm, **common: Any) -> Customer:
        return actions.blank_customer(customer=self.subject, **common)
