"""Pages of a stall day's tin and of card payouts."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.sales import actions
from ledger.sales.filters import CardPayoutFilter
from ledger.sales.forms import CardPayoutForm, TinForm
from ledger.sales.models import CardPayout, StallDay, TinCount
from ledger.sales.queries.tin import card_sales
from ledger.sales.tables import CardPayoutTable

from .seeing import SEES_TAKINGS, require


def tin_links(day: StallDay) -> list[Link]:
    """The ways to count a day's tin."""
    return [Link(_("Count the tin"), reverse("sales:count_tin", args=[day.pk]), "selling")]


class CountTin(Verb):
    """Count the tin of a stall day; begins with the count that is still wanting."""

    form_class, subject_model, may = TinForm, StallDay, "selling"
    title, button = _("Count the tin"), _("Counted")

    def initial(self) -> dict[str, Any]:
        begun = self.subject.tin_counts.standing().filter(when="before").exists()
        return {"when": "after" if begun else "before", **super().initial()}

    def act(self, form: TinForm, **common: Any) -> TinCount:
        return actions.count_tin(stall_day=self.subject, **form.given(), **common)


class UndoTin(Undo):
    """Undo a count of the tin."""

    subject_model, may, fact_name = TinCount, "selling", "tin_count"
    undoing = staticmethod(actions.undo_tin)


class CardPayouts(ListPage):
    """All card payouts."""

    model = CardPayout
    table_class, filterset_class = CardPayoutTable, CardPayoutFilter
    title, may = _("Card payouts"), SEES_TAKINGS

    def get_queryset(self) -> Any:
        return CardPayout.objects.standing().select_related("way")

    def links(self) -> list[Link]:
        return [
            Link(_("Record a card payout"), reverse("sales:record_card_payout"), "money"),
            Link(_("Stall days"), reverse("sales:stall_days")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/card_payout.html#row", **given)


def card_payout(request: HttpRequest, pk: int) -> HttpResponse:
    """One card payout beside the card sales of its days."""
    require(request, SEES_TAKINGS)
    payout = get_object_or_404(CardPayout.objects.select_related("way", "recorded_by", "purchase"), pk=pk)
    recorded = card_sales(payout.way, payout.first_day, payout.last_day)
    undo = Link(_("Undo this payout"), reverse("sales:undo_card_payout", args=[pk]), "money")
    context = {
        "payout": payout, "recorded": recorded, "difference": payout.gross - recorded,
        "links": links_for(request.user, undo) if payout.stands else [],
    }
    return render(request, "sales/card_payout.html", context)


class RecordCardPayout(Verb):
    """Record a card payout."""

    form_class, title, may = CardPayoutForm, _("Record a card payout"), "money"

    def act(self, form: CardPayoutForm, **common: Any) -> CardPayout:
        return actions.record_card_payout(**form.given(), **common)


class UndoCardPayout(Undo):
    """Undo a card payout and the purchase of its fee."""

    subject_model, may, fact_name = CardPayout, "money", "card_payout"
    undoing = staticmethod(actions.undo_card_payout)
