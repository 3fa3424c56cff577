"""Pages of how old the stock is and how long it keeps."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb
from ledger.facts.queries import today
from ledger.stock import actions
from ledger.stock.filters import AgeFilter, KeepsForFilter
from ledger.stock.forms import KeepsForForm
from ledger.stock.models import Batch, KeepsFor
from ledger.stock.queries import best_until, by_age, days_at_best, past_best
from ledger.stock.tables import AgeTable, KeepsForTable

from .ahead import worth_of


class Ages(ListPage):
    """What is on hand by age, the oldest first, and what is past its best."""

    model, table_class, filterset_class = Batch, AgeTable, AgeFilter
    title = _("Stock by age")
    template_name = "stock/ages.html"

    def get_queryset(self) -> Any:
        return Batch.objects.whole().on_hand_on(today())

    def links(self) -> list[Link]:
        return [
            Link(_("Past its best"), f"{reverse('stock:ages')}?state=past"),
            Link(_("How long bunches keep"), reverse("stock:keeps_for")),
            Link(_("Batches"), reverse("stock:batches")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        context = super().get_context_data(row_template="stock/ages.html#row", **given)
        on, days = today(), days_at_best(today())
        for row in context["table"].paginated_rows:
            row.record.days_old = (on - row.record.on).days
            row.record.best_until = best_until(row.record, days)
            row.record.past_best = row.record.best_until is not None and row.record.best_until < on
        past = past_best(self.get_queryset(), on)
        worth = worth_of((batch.pk, batch.there) for batch in past) if self.request.user.may("see_costs") else ""
        return {**context, "classes": by_age(self.get_queryset(), on), "past": past, "worth_url": worth}


class KeepsForList(ListPage):
    """How many days bunches of which species are at their best."""

    model, table_class, filterset_class, title = KeepsFor, KeepsForTable, KeepsForFilter, _("How long bunches keep")
    queryset = KeepsFor.objects.standing().select_related("species").order_by("-on", "-pk")
    intro = _("Counted from the day they were made. The latest day by species holds; without one, what is said of any species.")

    def links(self) -> list[Link]:
        return [
            Link(_("Say how long bunches keep"), reverse("stock:set_keeps_for"), "boxes"),
            Link(_("Stock by age"), reverse("stock:ages")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/keeps_for.html#row", **given)


class SetKeepsFor(Verb):
    """Say how many days bunches are at their best."""

    form_class, title, may = KeepsForForm, _("Say how long bunches keep"), "boxes"

    def act(self, form: KeepsForForm, **common: Any) -> KeepsFor:
        return actions.set_keeps_for(**form.given(), **common)


class UndoKeepsFor(Undo):
    """Undo how long bunches keep."""

    subject_model, may, fact_name = KeepsFor, "boxes", "keeps_for"
    undoing = actions.undo_keeps_for
