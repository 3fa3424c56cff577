"""Pages of orders that come round."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.filters import StandingOrderFilter
from ledger.sales.forms.standing import OfDayForm, StandingOrderForm
from ledger.sales.models import Order, StandingEnd, StandingLeftOut, StandingOrder
from ledger.sales.queries.offering import chosen, price_texts
from ledger.sales.queries.standing import AHEAD, due_by
from ledger.sales.tables import StandingOrderTable
from ledger.stock.models import Line

from .seeing import SEES_ORDERS, require

YEAR = timedelta(366)


class StandingOrders(ListPage):
    """All that come round, and which of their days are to be answered now."""

    model = StandingOrder
    table_class, filterset_class = StandingOrderTable, StandingOrderFilter
    title, may = _("Standing orders"), SEES_ORDERS
    template_name = "sales/standing_orders.html"
    intro = _(
        "An order that comes round promises nothing by itself. On each of its days it is taken, when what is free then is "
        "promised, or left out."
    )

    def get_queryset(self) -> Any:
        return StandingOrder.objects.standing().select_related("customer", "way").prefetch_related("lines", "ends")

    def links(self) -> list[Link]:
        return [
            Link(_("Agree a standing order"), reverse("sales:agree_standing_order"), "selling"),
            Link(_("Trade orders"), reverse("sales:orders")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        due = due_by(today() + AHEAD)
        return super().get_context_data(
            row_template="sales/standing_order.html#row", due=due, ahead=today() + AHEAD, today=today(), **given
        )


def standing_order(request: HttpRequest, pk: int) -> HttpResponse:
    """One of them: what it wants, its days to be answered and those answered."""
    require(request, SEES_ORDERS)
    standing = get_object_or_404(StandingOrder.objects.select_related("customer", "way", "recorded_by", "undone_by"), pk=pk)
    end = standing.ends.standing().first()
    due = due_by(today() + YEAR, [standing]) if standing.stands else []
    context = {
        "standing": standing, "end": end, "due": due[:12], "today": today(),
        "links": links_for(request.user, *_links(standing, end)) if standing.stands else [],
        "lines": standing.lines.select_related("line__variety__species", "line__balance"),
        "orders": Order.objects.standing().filter(standing_order=standing).with_standing().order_by("-wanted_on", "-pk")[:20],
        "left_out": standing.left_out.standing().order_by("-wanted_on")[:20],
    }
    return render(request, "sales/standing_order.html", context)


def _links(standing: StandingOrder, end: StandingEnd | None) -> list[Link]:
    undo = Link(_("Undo it"), reverse("sales:undo_standing_order", args=[standing.pk]), "selling")
    if end is not None:
        return [Link(_("Undo its ending"), reverse("sales:undo_standing_end", args=[end.pk]), "selling"), undo]
    return [Link(_("End it"), reverse("sales:end_standing_order", args=[standing.pk]), "selling"), undo]


class AgreeStandingOrder(Verb):
    """Agree one. `?way=` chooses the way of selling."""

    form_class, title, may, button = StandingOrderForm, _("Agree a standing order"), "selling", _("Agree it")
    template_name = "sales/agree_standing_order.html"
    intro = StandingOrders.intro

    def find_subject(self) -> None:
        self.ways = list(Way.objects.on_order())
        self.way = chosen(self.ways, self.request.GET.get("way", ""))

    def form_given(self) -> dict[str, Any]:
        if self.way is None:
            return {"lines": [], "prices": {}}
        return {"lines": list(Line.objects.whole()), "prices": price_texts(self.way, today(), net=True)}

    def context(self) -> dict[str, Any]:
        return {"way_of_selling": self.way, "ways": self.ways}

    def act(self, form: StandingOrderForm, **common: Any) -> StandingOrder:
        given = {name: form.cleaned_data[name] for name in ("on", "customer", "first_on", "every", "unit", "reference")}
        return actions.agree_standing_order(way=self.way, lines=form.wanted(), **given, **common)


class OfOneDay(Verb):
    """A verb on one of the days; `?wanted_on=` names it, else it is the next."""

    form_class, may, subject_model = OfDayForm, "selling", StandingOrder

    def initial(self) -> dict[str, Any]:
        due = due_by(today() + YEAR, [self.subject])
        return {**({"wanted_on": due[0].wanted_on} if due else {}), **super().initial()}


class TakeStandingOrder(OfOneDay):
    """Take the order of one of its days."""

    title, button = _("Take the order that comes round"), _("Take it")
    intro = _("What is free is promised at once. What is short stands in the order as asked for, to be promised later.")
    template_name = "sales/take_standing_order.html"

    def context(self) -> dict[str, Any]:
        lines = self.subject.lines.order_by("pk").values_list("line", "asked")
        free = {line.pk: line for line in Line.objects.whole().with_free().filter(pk__in=[pk for pk, _n in lines])}
        return {"wanted": [(free[pk], asked, free[pk].free) for pk, asked in lines]}  # type: ignore[attr-defined]

    def act(self, form: OfDayForm, **common: Any) -> Order:
        return actions.take_standing_order(standing_order=self.subject, **form.given(), **common)


class LeaveOut(OfOneDay):
    """Leave one of its days out."""

    title, button, done = _("Not this time"), _("Leave it out"), _("Left out.")
    intro = _("That day nothing is wanted. The days after it stay as they are.")

    def act(self, form: OfDayForm, **common: Any) -> StandingLeftOut:
        return actions.leave_out(standing_order=self.subject, **form.given(), **common)


class EndStandingOrder(Verb):
    """End a standing order."""

    title, may, button, done = _("End this standing order"), "selling", _("End it"), _("Ended.")
    subject_model = StandingOrder
    intro = _("From that day on nothing of it is wanted any more. Orders that were taken stay.")

    def act(self, form: Any, **common: Any) -> StandingEnd:
        return actions.end_standing_order(standing_order=self.subject, on=form.cleaned_data["on"], **common)


class UndoStandingOrder(Undo):
    """Undo an agreement."""

    subject_model, may, fact_name = StandingOrder, "selling", "standing_order"
    undoing = staticmethod(actions.undo_standing_order)


class UndoStandingEnd(Undo):
    """Undo an ending."""

    subject_model, may, fact_name = StandingEnd, "selling", "end"
    undoing = staticmethod(actions.undo_standing_end)


class UndoLeavingOut(Undo):
    """Undo a leaving out."""

    subject_model, may, fact_name = StandingLeftOut, "selling", "left_out"
    undoing = staticmethod(actions.undo_leaving_out)
