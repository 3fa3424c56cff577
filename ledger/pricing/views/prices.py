"""Pages of ways of selling, their terms, and price lists."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.stock.models import Line

from .. import actions
from ..filters import PriceFilter, WayFilter
from ..forms import PriceForm, RenameWayForm, TermsForm, WayForm
from ..models import Price, Way, WayTerms
from ..queries import prices_on, terms_on
from ..tables import PriceTable, WayTable

SEES_PRICES = ("prices", "see_takings")


class Prices(ListPage):
    """The price lists: what each line costs by each way today."""

    model = Price
    table_class, filterset_class = PriceTable, PriceFilter
    title, may = _("Price lists"), SEES_PRICES
    intro = _("The prices in force today. Open a line for its older ones.")

    def get_queryset(self) -> Any:
        return Price.objects.in_force(today()).whole()

    def links(self) -> list[Link]:
        return [
            Link(_("Set a price"), reverse("pricing:set_price"), "prices"),
            Link(_("Ways of selling"), reverse("pricing:ways")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="pricing/line.html#row", **given)


class Ways(ListPage):
    """The ways of selling."""

    model = Way
    table_class, filterset_class = WayTable, WayFilter
    title, may = _("Ways of selling"), SEES_PRICES

    def links(self) -> list[Link]:
        return [
            Link(_("Add a way of selling"), reverse("pricing:add_way"), "prices"),
            Link(_("Price lists"), reverse("pricing:prices")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="pricing/way.html#row", **given)


def _require_may_see(request: HttpRequest) -> None:
    if not any(request.user.may(what) for what in SEES_PRICES):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show prices."))


def way(request: HttpRequest, pk: int) -> HttpResponse:
    """One way: its terms now and before, its price list."""
    _require_may_see(request)
    way = get_object_or_404(Way, pk=pk)
    links = links_for(
        request.user,
        Link(_("Set its terms"), reverse("pricing:set_terms", args=[way.pk]), "prices"),
        Link(_("Set a price"), f"{reverse('pricing:set_price')}?way={way.pk}", "prices"),
        Link(_("Give it another name"), reverse("pricing:rename_way", args=[way.pk]), "prices"),
    )
    terms = WayTerms.objects.filter(way=way).select_related("recorded_by").order_by("-on", "-pk")
    prices = Price.objects.in_force(today()).filter(way=way).whole()
    context = {"way_of_selling": way, "terms": terms, "now": terms_on(way, today()), "prices": prices, "links": links}
    return render(request, "pricing/way.html", context)


def line(request: HttpRequest, pk: int) -> HttpResponse:
    """The prices of one line: those in force and all before."""
    _require_may_see(request)
    line = get_object_or_404(Line.objects.whole(), pk=pk)
    links = links_for(
        request.user,
        Link(_("Set a price"), f"{reverse('pricing:set_price')}?line={line.pk}", "prices"),
        Link(_("What it costs and what to charge"), reverse("pricing:cost_sheet", args=[line.pk]), "see_costs"),
        Link(_("Where it is"), line.get_absolute_url()),
    )
    prices = Price.objects.filter(line=line).whole().order_by("way", "-on", "-pk")
    now = set(Price.objects.in_force(today()).filter(line=line).values_list("pk", flat=True))
    return render(request, "pricing/line.html", {"line": line, "prices": prices, "now": now, "links": links})


class AddWay(Verb):
    """Add a way of selling."""

    form_class, title, may, button = WayForm, _("Add a way of selling"), "prices", _("Add it")

    def act(self, form: WayForm, **common: Any) -> Way:
        return actions.add_way(**form.given(), **common)


class RenameWay(Verb):
    """Give a way another name."""

    form_class, title, may, button = RenameWayForm, _("Give it another name"), "prices", _("Change it")
    subject_model = Way

    def initial(self) -> dict[str, Any]:
        return {"name": self.subject.name, "seen_name": self.subject.name}

    def act(self, form: RenameWayForm, **common: Any) -> Way:
        given = form.given()
        return actions.rename_way(way=self.subject, name=given["name"], seen={"name": given["seen_name"]}, **common)


class SetTerms(Verb):
    """Set a way's terms from a day on; begins with those in force."""

    form_class, title, may = TermsForm, _("Set its terms"), "prices"
    subject_model = Way

    def initial(self) -> dict[str, Any]:
        now = terms_on(self.subject, today())
        fields = ("fee_bp", "fixed_day", "usual_takings", "margin_bp", "ending")
        return {**({name: getattr(now, name) for name in fields} if now else {}), **super().initial()}

    def act(self, form: TermsForm, **common: Any) -> WayTerms:
        return actions.set_terms(way=self.subject, **form.given(), **common)


class SetPrice(Verb):
    """Set the price of a line by a way from a day on."""

    form_class, title, may, button = PriceForm, _("Set a price"), "prices", _("Set it")

    def initial(self) -> dict[str, Any]:
        given = super().initial()
        way, line = given.get("way", ""), given.get("line", "")
        chosen = Way.objects.filter(pk=way).first() if way.isdecimal() else None
        old = prices_on(chosen, today()).get(int(line)) if chosen and line.isdecimal() else None
        return given if old is None else {"amount": old, **given}

    def act(self, form: PriceForm, **common: Any) -> Price:
        return actions.set_price(**form.given(), **common)


class UndoTerms(Undo):
    """Undo a way's terms."""

    subject_model, may, fact_name = WayTerms, "prices", "terms"
    undoing = staticmethod(actions.undo_terms)


class UndoPrice(Undo):
    """Undo a price."""

    subject_model, may, fact_name = Price, "prices", "price"
    undoing = staticmethod(actions.undo_price)
