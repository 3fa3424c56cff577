"""Pages of one customer's own prices, and the customer's price list as paper."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Undo, Verb
from ledger.facts.paper import paper
from ledger.facts.queries import today
from ledger.pricing.forms import AsOfDayForm
from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.forms import OwnPriceForm
from ledger.sales.models import Customer, CustomerPrice
from ledger.sales.queries.offering import chosen
from ledger.sales.queries.own_list import own_list

from .seeing import require

SEES_PRICES = ("prices", "see_takings")


class SetOwnPrice(Verb):
    """Give a customer its own price of a line from a day on."""

    form_class, title, may, button = OwnPriceForm, _("Set an own price"), "prices", _("Set it")
    subject_model = Customer
    intro = _("Orders and sales of this customer take it before the price list. What is promised already keeps its price.")

    def act(self, form: OwnPriceForm, **common: Any) -> CustomerPrice:
        return actions.set_own_price(customer=self.subject, **form.given(), **common)


class EndOwnPrice(Verb):
    """End an own price: the price list holds again."""

    title, may, button, done, verb = _("End this own price"), "prices", _("End it"), _("Ended."), "set_own_price"
    subject_model = CustomerPrice
    intro = _(
        "From that day on the price list holds again; with the own price of one its own quantity steps end too. What is "
        "promised keeps its price."
    )

    def act(self, form: Any, **common: Any) -> CustomerPrice:
        own = self.subject
        return actions.set_own_price(
            customer=own.customer, way=own.way, line=own.line, at_least=own.at_least, on=form.cleaned_data["on"], amount=None,
            **common,
        )


class UndoOwnPrice(Undo):
    """Undo an own price."""

    subject_model, may, fact_name = CustomerPrice, "prices", "own_price"
    undoing = staticmethod(actions.undo_own_price)


def own_list_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """A customer's price list as paper: own prices where there are, else the list. `?way=`, `?on=`."""
    require(request, SEES_PRICES)
    customer = get_object_or_404(Customer.objects.named(), pk=pk)
    form = AsOfDayForm(request.GET)
    on = (form.is_valid() and form.cleaned_data["on"]) or today()
    ways = Way.objects.on_order() if customer.trade else Way.objects.retail()
    way = chosen(ways, request.GET.get("way", ""))
    about = {"customer": customer, "way_of_selling": way, "on": on, "rows": own_list(customer, way, on) if way else []}
    return paper(request, "print/price_list.html", about, f"price-list-{pk}-{on}.pdf")
