"""Pages of ways of selling and their terms."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Amendment
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today

from .. import actions
from ..filters import WayFilter
from ..forms import ChangeWayForm, TermsForm, WayForm
from ..forms.ways import ALWAYS, costs_of
from ..models import Offer, Way, WayTerms
from ..queries import terms_on
from ..queries.lists import list_rows
from ..queries.words import terms_in_words
from ..tables import WayTable
from .seeing import SEES_PRICES, require_may_see

LATEST = 20


class Ways(ListPage):
    """The ways of selling."""

    model = Way
    table_class, filterset_class = WayTable, WayFilter
    title, may = _("Ways of selling"), SEES_PRICES

    def links(self) -> list[Link]:
        return [
            Link(_("Add a way of selling"), reverse("pricing:add_way"), "prices"),
            Link(_("Price lists"), reverse("pricing:prices")),
            Link(_("Offers"), reverse("pricing:offers")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="pricing/way.html#row", **given)


def way(request: HttpRequest, pk: int) -> HttpResponse:
    """One way: its terms in words, now and before, its price list and offers."""
    require_may_see(request)
    way, on = get_object_or_404(Way, pk=pk), today()
    now = terms_on(way, on)
    terms = WayTerms.objects.filter(way=way).select_related("recorded_by").order_by("-on", "-pk")
    history = Amendment.objects.filter(model=Way._meta.label, record_pk=str(pk)).select_related("by").order_by("-at", "-pk")
    context = {
        "way_of_selling": way, "now": now, "in_words": terms_in_words(now) if now else None,
        "terms": [terms_in_words(one) for one in terms], "rows": list_rows(way, on),
        "offers": Offer.objects.open_on(on).filter(way=way), "changes": history[:LATEST],
        "links": links_for(request.user, *_links(way)),
    }
    return render(request, "pricing/way.html", context)


def _links(way: Way) -> list[Link]:
    offer = Link(_("Add an offer"), f"{reverse('pricing:add_offer')}?way={way.pk}", "prices")
    return [
        Link(_("Set its terms"), reverse("pricing:set_terms", args=[way.pk]), "prices"),
        Link(_("Set its prices"), reverse("pricing:set_prices", args=[way.pk]), "prices"),
        Link(_("Set one price"), f"{reverse('pricing:set_price')}?way={way.pk}", "prices"),
        *([Link(_("What orders go by"), reverse("sales:order_terms", args=[way.pk]))] if way.trade else [offer]),
        Link(_("Its price list of a day"), reverse("pricing:price_list", args=[way.pk])),
        Link(_("Change its name or kind"), reverse("pricing:change_way", args=[way.pk]), "prices"),
    ]


class AddWay(Verb):
    """Add a way of selling."""

    form_class, title, may, button = WayForm, _("Add a way of selling"), "prices", _("Add it")

    def act(self, form: WayForm, **common: Any) -> Way:
        return actions.add_way(**form.given(), **common)


class ChangeWay(Verb):
    """Give a way another name or kind."""

    form_class, title, may, button = ChangeWayForm, _("Change its name or kind"), "prices", _("Change it")
    subject_model = Way

    def initial(self) -> dict[str, Any]:
        way = self.subject
        return {"name": way.name, "kind": way.kind, "seen_name": way.name, "seen_kind": way.kind}

    def act(self, form: ChangeWayForm, **common: Any) -> Way:
        given = form.given()
        seen = {"name": given["seen_name"], "kind": given["seen_kind"]}
        return actions.change_way(way=self.subject, name=given["name"], kind=given["kind"], seen=seen, **common)


class SetTerms(Verb):
    """Set a way's terms from a day on; begins with those in force."""

    form_class, title, may = TermsForm, _("Set its terms"), "prices"
    subject_model = Way
    intro = _("What selling this way costs from a day on. Leave empty what it does not cost; a proposal adds the rest.")

    def find_subject(self) -> None:
        super().find_subject()
        self.now = terms_on(self.subject, today())
        self.costs = costs_of(self.subject.kind, self.now)

    def initial(self) -> dict[str, Any]:
        shown = {name: getattr(self.now, name) for name in (*self.costs, *ALWAYS)} if self.now else {}
        return {**shown, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        return {"costs": self.costs}

    def act(self, form: TermsForm, **common: Any) -> WayTerms:
        return actions.set_terms(way=self.subject, **form.given(), **common)


class UndoTerms(Undo):
    """Undo a way's terms."""

    subject_model, may, fact_name = WayTerms, "prices", "terms"
    undoing = staticmethod(actions.undo_terms)
