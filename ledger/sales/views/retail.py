"""Pages of stall days and retail sales."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links, spending_on
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.filters import SaleFilter, StallDayFilter
from ledger.sales.forms import StallDayForm
from ledger.sales.models import Sale, StallDay
from ledger.sales.queries.changed import changed_at, listed_of_sale
from ledger.sales.queries.income import totals_of_sale
from ledger.sales.queries.loading import loads_of
from ledger.sales.queries.tin import tin_of
from ledger.sales.tables import SaleTable, StallDayTable

from .loading import back_of, loading_links, pitch_link
from .seeing import SEES_TAKINGS, require
from .stall import tin_links


class StallDays(ListPage):
    """All market days."""

    model = StallDay
    table_class, filterset_class = StallDayTable, StallDayFilter
    title, may = _("Stall days"), SEES_TAKINGS

    def get_queryset(self) -> Any:
        return StallDay.objects.standing().whole().with_takings()

    def links(self) -> list[Link]:
        return [
            Link(_("Begin a stall day"), reverse("sales:open_stall_day"), "selling"),
            Link(_("Sales"), reverse("sales:sales")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/stall_day.html#row", **given)


def stall_day(request: HttpRequest, pk: int) -> HttpResponse:
    """One market day and its sales."""
    require(request, SEES_TAKINGS)
    day = get_object_or_404(StallDay.objects.whole().with_takings(), pk=pk)
    back = back_of(day)
    links = links_for(
        request.user,
        *loading_links(day, back),
        *tin_links(day),
        pitch_link(day),
        *spending_links(day.pk),
        Link(_("Undo this stall day"), reverse("sales:undo_stall_day", args=[day.pk]), "selling"),
    )
    sales = day.sales.standing().whole().with_takings().order_by("pk")
    context = {
        "tin": tin_of(day), "stall_day": day, "sales": sales, "loads": loads_of(day), "changed": changed_at(day),
        "back": back, "links": links if day.stands else [],
        "may_sell": request.user.may("selling"),  # type: ignore[union-attr]
        "spending": spending_on(day.cost_object, request.user),
    }
    return render(request, "sales/stall_day.html", context)


class OpenStallDay(Verb):
    """Begin a market day."""

    form_class, title, may, button = StallDayForm, _("Begin a stall day"), "selling", _("Begin it")

    def initial(self) -> dict[str, Any]:
        """The one way of the market kind, where there is just one."""
        stalls = list(Way.objects.retail().filter(kind=Way.Kind.STALL)[:2])
        return {**({"way": stalls[0].pk} if len(stalls) == 1 else {}), **super().initial()}

    def act(self, form: StallDayForm, **common: Any) -> StallDay:
        return actions.open_stall_day(**form.given(), **common)


class UndoStallDay(Undo):
    """Undo a market day."""

    subject_model, may, fact_name = StallDay, "selling", "stall_day"
    undoing = staticmethod(actions.undo_stall_day)


class Sales(ListPage):
    """All retail sales."""

    model = Sale
    table_class, filterset_class = SaleTable, SaleFilter
    title, may = _("Sales"), SEES_TAKINGS

    def get_queryset(self) -> Any:
        return Sale.objects.standing().leaf().with_takings()

    def links(self) -> list[Link]:
        return [
            Link(_("Sell"), reverse("sales:sell"), "selling"),
            Link(_("Stall days"), reverse("sales:stall_days")),
            Link(_("Prices changed at the sale"), reverse("sales:changed_prices")),
            Link(_("Price lists"), reverse("pricing:prices")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/sale.html#row", **given)


def sale(request: HttpRequest, pk: int) -> HttpResponse:
    """One sale: its lines, its tax, the batches and lots it took from."""
    require(request, SEES_TAKINGS)
    sale = get_object_or_404(Sale.objects.whole().with_takings(), pk=pk)
    lines = sale.lines.select_related("line__variety__species", "offer", "parting__lot__planting__variety__species")
    listed = listed_of_sale(lines)
    for line in lines:
        line.said = listed.get(line.pk)  # type: ignore[attr-defined]
    undo = Link(_("Undo this sale"), reverse("sales:undo_sale", args=[sale.pk]), "selling")
    day = sale.stall_day if sale.stall_day and sale.stall_day.stands else None
    again = [Link(_("The next sale there"), f"{reverse('sales:sell')}?stall_day={day.pk}", "selling")] if day else []
    context = {
        "sale": sale, "lines": lines, "links": links_for(request.user, *again, *([undo] if sale.stands else [])),
        "taken": sale.takings.select_related("movement__batch__line__variety__species", "movement__box").order_by("pk"),
        "totals": totals_of_sale(list(lines)), "any_off": any(line.off for line in lines),
    }
    return render(request, "sales/sale.html", context)


class UndoSale(Undo):
    """Undo a sale."""

    subject_model, may, fact_name = Sale, "selling", "sale"
    undoing = staticmethod(actions.undo_sale)
