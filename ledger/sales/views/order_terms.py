"""Pages of what orders by a way go by: least order, carriage, pack sizes."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.forms.order_terms import OrderTermsForm, PackRuleForm
from ledger.sales.models import OrderTerms, PackRule
from ledger.sales.queries.terms import order_terms_on, pack_rules_on, terms_in_sentences

from .seeing import SEES_TAKINGS, require


def order_terms(request: HttpRequest, pk: int) -> HttpResponse:
    """What orders by one way go by today, and what they went by before."""
    require(request, ("prices", *SEES_TAKINGS))
    way, on = get_object_or_404(Way, pk=pk, trade=True), today()
    now, rules = order_terms_on(way, on), pack_rules_on(way, on)
    context = {
        "way_of_selling": way, "now": now, "says": terms_in_sentences(now), "in_force": set(rules.values()),
        "terms": OrderTerms.objects.filter(way=way).order_by("-on", "-pk"),
        "rules": PackRule.objects.filter(way=way).select_related("line__variety__species").order_by("-on", "-pk"),
        "links": links_for(
            request.user,
            Link(_("Set least order and carriage"), reverse("sales:set_order_terms", args=[pk]), "prices"),
            Link(_("Set a pack"), reverse("sales:set_pack_rule", args=[pk]), "prices"),
        ),
    }
    return render(request, "sales/order_terms.html", context)


class _OfWay(Verb):
    """A verb on a way that goes back to what its orders go by."""

    may, subject_model = "prices", Way

    def find_subject(self) -> None:
        self.subject = get_object_or_404(Way, pk=self.given["pk"], trade=True)

    def then(self, result: Any) -> str:
        return reverse("sales:order_terms", args=[result.way_id])


class SetOrderTerms(_OfWay):
    """Set the least order and the carriage from a day on; begins with what holds."""

    form_class, title = OrderTermsForm, _("Set least order and carriage")
    intro = _("An order below the least is refused unless it is taken all the same; carriage is proposed, and can be typed over.")

    def initial(self) -> dict[str, Any]:
        now = order_terms_on(self.subject, today())
        shown = {"least": now.least, "carriage": now.carriage, "free_from": now.free_from} if now else {}
        return {**shown, **super().initial()}

    def act(self, form: OrderTermsForm, **common: Any) -> OrderTerms:
        return actions.set_order_terms(way=self.subject, **form.given(), **common)


class SetPackRule(_OfWay):
    """Set in which numbers a line is ordered."""

    form_class, title = PackRuleForm, _("Set a pack")
    intro = _("A number off its pack is refused with the numbers that would do, unless it is taken all the same.")

    def act(self, form: PackRuleForm, **common: Any) -> PackRule:
        return actions.set_pack_rule(way=self.subject, **form.given(), **common)


class UndoOrderTerms(Undo):
    """Undo terms of orders."""

    subject_model, may, fact_name = OrderTerms, "prices", "terms"
    undoing = staticmethod(actions.undo_order_terms)

    def then(self, result: OrderTerms) -> str:
        return reverse("sales:order_terms", args=[result.way_id])


class UndoPackRule(Undo):
    """Undo a rule of packs."""

    subject_model, may, fact_name = PackRule, "prices", "rule"
    undoing = staticmethod(actions.undo_pack_rule)

    def then(self, result: PackRule) -> str:
        return reverse("sales:order_terms", args=[result.way_id])
