"""The page a sale is entered on, at a market or elsewhere."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.utils.html import format_html
from django.utils.translation import gettext as now
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Verb
from ledger.facts.queries import holding, today
from ledger.pricing.models import Way
from ledger.reckoning.currency import format_minor, minor_digits
from ledger.sales import actions
from ledger.sales.forms import SaleForm
from ledger.sales.models import Sale, StallDay
from ledger.sales.queries.changed import fresh_before
from ledger.sales.queries.loading import bunches_at_hand, lines_along
from ledger.sales.queries.markets import market_of
from ledger.sales.queries.offering import chosen, lots_in_water, price_texts, said_of_prices, selling_rows
from ledger.stock.models import Box

SAYS_WHERE = ("stall_day", "way", "lot")


class Sell(Verb):
    """A retail sale. `?way=` chooses the price list, `?stall_day=` the market day, `?box=` sells from one box.

    An address that says no place leads to today's open market, where there is one. A sale at a market leads back to the
    same page, for the next; every other, and one that had waited on a device, to the sale.
    """

    form_class, title, may, button = SaleForm, _("Sell"), "selling", _("Sold")
    template_name = "sales/sell.html"

    def find_subject(self) -> None:
        self.stall_day = self._named(StallDay.objects.standing().select_related("way"), "stall_day")
        self.box = self._named(Box.objects.filter(parcel=False), "box")
        self.ways = list(Way.objects.retail())
        self.markets = list(StallDay.objects.open_on(today()).select_related("way"))
        wanted = self.stall_day.way_id if self.stall_day else self.request.GET.get("way", "")
        self.way = chosen(self.ways, str(wanted))
        if self.stall_day:
            self.done = ""  # `then` says more

    def _named(self, rows: Any, name: str) -> Any:
        typed = self.request.GET.get(name, "")
        return get_object_or_404(rows, pk=int(typed)) if typed.isdecimal() else None

    def get(self, request: HttpRequest, *args: Any, **given: Any) -> HttpResponse:
        self.find_subject()
        said = any(name in request.GET for name in SAYS_WHERE)
        market = None if said else market_of(self.markets, self.box)
        if market is None:
            return self.show(self.form())
        asked = request.GET.copy()
        asked["stall_day"] = str(market.pk)
        return HttpResponseRedirect(f"{request.path}?{asked.urlencode()}")

    def initial(self) -> dict[str, Any]:
        at_stall = {"on": self.stall_day.on, "beyond_record": True} if self.stall_day else {}
        return {**at_stall, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        on = self.stall_day.on if self.stall_day else today()
        if self.way is None:
            return {"lines": [], "lots": [], "prices": {}}
        lots = [] if self.box else lots_in_water(on)
        here = {**dict.fromkeys(lines_along(self.stall_day), 0), **bunches_at_hand(self.stall_day)}
        rows = selling_rows(self.way, on, self.box)
        return {
            "lines": sorted(rows, key=lambda row: row[0].pk not in here), "prices": price_texts(self.way, on), "box": self.box,
            "lots": lots, "said": said_of_prices(self.way, on), "here": here, "fresh": fresh_before(self.way, lots),
        }

    def context(self) -> dict[str, Any]:
        return {
            "way_of_selling": self.way, "ways": self.ways, "stall_day": self.stall_day, "box": self.box, "markets": self.markets,
        }

    def act(self, form: SaleForm, **common: Any) -> Sale:
        given = form.cleaned_data
        return actions.sell(
            on=given["on"], way=self.way, lines=form.sold(), stall_day=self.stall_day, customer=given["customer"],
            note=given["note"], paid=given["paid"], beyond_record=given["beyond_record"], **common,
        )

    def then(self, result: Sale) -> str:
        if self.stall_day is None or self.request.headers.get("Waiting") == "later":
            return super().then(result)
        messages.success(self.request, said_of_sale(result))
        return f"{self.request.path}?stall_day={self.stall_day.pk}"


def said_of_sale(sale: Sale) -> str:
    """What was sold, what it came to as the way keeps its prices, how it was paid, and the way to the sale."""
    lines = list(sale.lines.select_related("line__variety__species", "parting__lot__planting__variety__species"))
    what = "; ".join(f"{line.quantity} × {line.line or (line.parting and line.parting.lot)}" for line in lines)
    came_to = format_minor(sum(line.amount for line in lines), minor_digits(holding().currency))
    said = now("Sold: %(what)s. Together %(sum)s, %(paid)s.") % {"what": what, "sum": came_to, "paid": sale.get_paid_display()}
    return format_html('{} <a href="{}">{}</a>', said, sale.get_absolute_url(), now("Look at this sale or undo it"))
