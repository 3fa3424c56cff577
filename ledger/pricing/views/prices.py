"""Pages of prices: the lists together, one line's, setting and ending one."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.stock.models import Line

from .. import actions
from ..actions import ListPrice
from ..filters import PriceFilter
from ..forms import PriceForm
from ..models import Price, Way
from ..queries import price_on
from ..queries.sheet import Effect, effects
from ..tables import PriceTable
from .looking import LooksFirst
from .seeing import SEES_PRICES, require_may_see


class Prices(ListPage):
    """The price lists: what each line costs by each way today."""

    model = Price
    table_class, filterset_class = PriceTable, PriceFilter
    title, may = _("Price lists"), SEES_PRICES
    intro = _("The prices in force today. Open a line for its older ones, a way for its list of any day.")

    def get_queryset(self) -> Any:
        return Price.objects.in_force(today()).whole()

    def links(self) -> list[Link]:
        return [
            Link(_("Set a price"), reverse("pricing:set_price"), "prices"),
            Link(_("Ways of selling"), reverse("pricing:ways")),
            Link(_("Offers"), reverse("pricing:offers")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="pricing/line.html#row", **given)


def line(request: HttpRequest, pk: int) -> HttpResponse:
    """The prices of one line: those in force and all before."""
    require_may_see(request)
    line = get_object_or_404(Line.objects.whole(), pk=pk)
    links = links_for(
        request.user,
        Link(_("Set a price"), f"{reverse('pricing:set_price')}?line={line.pk}", "prices"),
        Link(_("What it costs and what to charge"), reverse("pricing:cost_sheet", args=[line.pk]), "see_costs"),
        Link(_("Where it is"), line.get_absolute_url()),
    )
    prices = Price.objects.filter(line=line).whole().order_by("way", "at_least", "-on", "-pk")
    now = set(Price.objects.in_force(today()).filter(line=line).values_list("pk", flat=True))
    return render(request, "pricing/line.html", {"line": line, "prices": prices, "now": now, "links": links})


class SetPrice(LooksFirst):
    """Set the price of a line by a way from a day on; what it does is shown before."""

    form_class, title, may, button = PriceForm, _("Set a price"), "prices", _("Set it")
    template_name = "pricing/set_price.html"

    def initial(self) -> dict[str, Any]:
        given = super().initial()
        way, line, at_least = (given.get(name, "") for name in ("way", "line", "at_least"))
        chosen = Way.objects.filter(pk=way).first() if way.isdecimal() else None
        of = Line.objects.filter(pk=line).first() if line.isdecimal() else None
        old = price_on(of, chosen, today(), int(at_least) if at_least.isdecimal() else 1) if chosen and of else None
        return given if old is None else {"amount": old, **given}

    def seen(self, form: PriceForm) -> list[Effect]:
        given = form.given()
        price = ListPrice(given["line"], given["amount"], given["at_least"])
        return effects(given["way"], given["on"], [price], with_costs=self.sees_costs())

    def act(self, form: PriceForm, **common: Any) -> Price:
        return actions.set_price(**form.given(), **common)


class EndPrice(Verb):
    """End a price or a quantity step from a day on."""

    title, may, button, done, verb = _("End this price"), "prices", _("End it"), _("Ended."), "set_price"
    subject_model = Price
    intro = _(
        "From that day on the line is no longer sold this way, or the step no longer given; with the price of one its quantity "
        "steps end too. What is promised keeps its price."
    )

    def act(self, form: Any, **common: Any) -> Price:
        price = self.subject
        return actions.set_price(
            way=price.way, line=price.line, at_least=price.at_least, on=form.cleaned_data["on"], amount=None, **common
        )


class UndoPrice(Undo):
    """Undo a price."""

    intro = _("An ending that is undone gives back the quantity steps that ended with it.")
    subject_model, may, fact_name = Price, "prices", "price"
    undoing = staticmethod(actions.undo_price)
