"""Pages of offers: several together for one price."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today

from .. import actions
from ..filters import OfferFilter
from ..forms import OfferForm
from ..models import Offer, OfferEnd
from ..tables import OfferTable
from .seeing import SEES_PRICES, require_may_see

LATEST = 20


class Offers(ListPage):
    """All offers, those that hold today first."""

    model = Offer
    table_class, filterset_class = OfferTable, OfferFilter
    title, may = _("Offers"), SEES_PRICES
    intro = _("Several together for one price. Sales at the list's prices take them by themselves, dearest bunches first.")

    def get_queryset(self) -> Any:
        return Offer.objects.standing().whole().with_ended_on()

    def links(self) -> list[Link]:
        return [
            Link(_("Add an offer"), reverse("pricing:add_offer"), "prices"),
            Link(_("Price lists"), reverse("pricing:prices")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="pricing/offer.html#row", on=today(), **given)


def offer(request: HttpRequest, pk: int) -> HttpResponse:
    """One offer: its lines, how long it holds, what was sold by it."""
    require_may_see(request)
    offer = get_object_or_404(Offer.objects.whole().with_ended_on(), pk=pk)
    end = offer.ends.filter(undone_at__isnull=True).first()
    sold: Any = offer.sale_lines.filter(sale__undone_at__isnull=True)
    sold = sold.select_related("sale__way", "line__variety__species").order_by("-sale__on", "-pk")
    context = {
        "offer": offer, "end": end, "on": today(), "sold": sold[:LATEST],
        "links": links_for(request.user, *_links(offer, end)) if offer.stands else [],
    }
    return render(request, "pricing/offer.html", context)


def _links(offer: Offer, end: OfferEnd | None) -> list[Link]:
    ending = (
        Link(_("Undo its ending"), reverse("pricing:undo_offer_end", args=[end.pk]), "prices")
        if end else Link(_("End it"), reverse("pricing:end_offer", args=[offer.pk]), "prices")
    )
    return [
        ending,
        Link(_("Undo this offer"), reverse("pricing:undo_offer", args=[offer.pk]), "prices"),
        Link(_("All offers"), reverse("pricing:offers")),
    ]


class AddOffer(Verb):
    """Offer several together for one price."""

    form_class, title, may, button = OfferForm, _("Add an offer"), "prices", _("Offer it")

    def act(self, form: OfferForm, **common: Any) -> Offer:
        return actions.add_offer(**form.given(), **common)


class EndOffer(Verb):
    """End an offer from a day on."""

    title, may, button, done = _("End it"), "prices", _("End it"), _("Ended.")
    subject_model = Offer
    intro = _("From that day on it holds no longer. Sales before keep what it took off.")

    def act(self, form: Any, **common: Any) -> OfferEnd:
        return actions.end_offer(offer=self.subject, on=form.cleaned_data["on"], **common)


class UndoOffer(Undo):
    """Undo an offer nothing was sold by."""

    subject_model, may, fact_name = Offer, "prices", "offer"
    undoing = staticmethod(actions.undo_offer)


class UndoOfferEnd(Undo):
    """Undo the ending of an offer."""

    subject_model, may, fact_name = OfferEnd, "prices", "end"
    undoing = staticmethod(actions.undo_offer_end)
