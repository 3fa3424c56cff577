"""Pages of stall days and retail sales."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links, spending_on
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.filters import SaleFilter, StallDayFilter
from ledger.sales.forms import SaleForm, StallDayForm
from ledger.sales.models import Sale, StallDay
from ledger.sales.queries.changed import changed_at, fresh_before, listed_of_sale
from ledger.sales.queries.income import totals_of_sale
from ledger.sales.queries.loading import bunches_at_hand, loads_of
from ledger.sales.queries.offering import chosen, lots_in_water, price_texts, said_of_prices, selling_rows
from ledger.sales.queries.tin import tin_of
from ledger.sales.tables import SaleTable, StallDayTable
from ledger.stock.models import Box

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
    context = {
        "sale": sale, "lines": lines, "links": links_for(request.user, undo) if sale.stands else [],
        "taken": sale.takings.select_related("movement__batch__line__variety__species", "movement__box").order_by("pk"),
        "totals": totals_of_sale(list(lines)), "any_off": any(line.off for line in lines),
    }
    return render(request, "sales/sale.html", context)


class Sell(Verb):
    """A retail sale. `?way=` chooses the price list, `?stall_day=` the market day, `?box=` sells from one box."""

    form_class, title, may, button = SaleForm, _("Sell"), "selling", _("Sold")
    template_name = "sales/sell.html"

    def find_subject(self) -> None:
        self.stall_day = self._named(StallDay.objects.standing().select_related("way"), "stall_day")
        self.box = self._named(Box.objects.filter(parcel=False), "box")
        self.ways = list(Way.objects.retail())
        wanted = self.stall_day.way_id if self.stall_day else self.request.GET.get("way", "")
        self.way = chosen(self.ways, str(wanted))

    def _named(self, rows: Any, name: str) -> Any:
        typed = self.request.GET.get(name, "")
        return get_object_or_404(rows, pk=int(typed)) if typed.isdecimal() else None

    def initial(self) -> dict[str, Any]:
        return {**(self._at_stall() if self.stall_day else {}), **super().initial()}

    def _at_stall(self) -> dict[str, Any]:
        """The stall's day, and how this seller's last sale there was paid."""
        last = self.stall_day.sales.standing().filter(recorded_by=self.request.user).order_by("-pk").first()
        return {"on": self.stall_day.on, "beyond_record": True, "paid": last.paid if last else Sale.Paid.CASH}

    def form_given(self) -> dict[str, Any]:
        on = self.stall_day.on if self.stall_day else today()
        if self.way is None:
            return {"lines": [], "lots": [], "prices": {}}
        lots = [] if self.box else lots_in_water(on)
        here = bunches_at_hand(self.stall_day)
        rows = selling_rows(self.way, on, self.box)
        return {
            "lines": sorted(rows, key=lambda row: row[0].pk not in here), "prices": price_texts(self.way, on), "box": self.box,
            "lots": lots, "said": said_of_prices(self.way, on), "here": here, "fresh": fresh_before(self.way, lots),
        }

    def context(self) -> dict[str, Any]:
        return {"way_of_selling": self.way, "ways": self.ways, "stall_day": self.stall_day, "box": self.box}

    def act(self, form: SaleForm, **common: Any) -> Sale:
        given = form.cleaned_data
        return actions.sell(
            on=given["on"], way=self.way, lines=form.sold(), stall_day=self.stall_day, customer=given["customer"],
            note=given["note"], paid=given["paid"], beyond_record=given["beyond_record"], **common,
        )


class UndoSale(Undo):
    """Undo a sale."""

    subject_model, may, fact_name = Sale, "selling", "sale"
    undoing = staticmethod(actions.undo_sale)
