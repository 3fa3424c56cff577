"""Pages of holds."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Verb, links_for
from ledger.stock import actions
from ledger.stock.filters import HoldFilter
from ledger.stock.forms import BunchesForm, HoldForm
from ledger.stock.models import Hold, HoldChange
from ledger.stock.tables import HoldTable


class Holds(ListPage):
    """What is kept for promises."""

    model = Hold
    table_class, filterset_class = HoldTable, HoldFilter
    title = _("Kept for promises")

    def get_queryset(self) -> Any:
        holds = Hold.objects.standing().select_related(
            "line__variety__species", "order_line__order__customer", "job_hold__job"
        )
        return holds.with_kept().with_short().order_by("-on", "-pk")

    def links(self) -> list[Link]:
        return [Link(_("Keep some for a promise"), reverse("stock:keep"), "selling")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/hold.html#row", **given)


def hold(request: HttpRequest, pk: int) -> HttpResponse:
    """One hold: what it keeps and how it came to that."""
    hold = get_object_or_404(Hold.objects.select_related("line__variety__species").with_kept().with_short(), pk=pk)
    context = {
        "hold": hold, "order_line": getattr(hold, "order_line", None), "job_hold": getattr(hold, "job_hold", None),
        "changes": hold.changes.standing().select_related("recorded_by").order_by("on", "pk"),
        "links": links_for(request.user, *_links(hold)),
    }
    return render(request, "stock/hold.html", context)


def belongs_to(hold: Any) -> Any:
    """The order or job a hold is for, None where it stands by itself."""
    if hasattr(hold, "order_line"):
        return hold.order_line.order
    return hold.job_hold.job if hasattr(hold, "job_hold") else None


def _links(hold: Any) -> list[Link]:
    links = []
    if hold.short:
        if belongs_to(hold):
            links.append(Link(_("What could fill it"), belongs_to(hold).get_absolute_url(), "selling"))
        links.append(Link(_("Fill again what is short"), reverse("stock:fill_again", args=[hold.pk]), "selling"))
    if not hasattr(hold, "order_line") and not hasattr(hold, "job_hold"):
        links.append(Link(_("Keep more"), reverse("stock:hold_more", args=[hold.pk]), "selling"))
        if hold.kept:
            links.append(Link(_("Give back"), reverse("stock:release", args=[hold.pk]), "selling"))
    return links


class Keep(Verb):
    """Keep bunches of a line for a promise."""

    form_class, title, may, button = HoldForm, _("Keep some for a promise"), "selling", _("Keep them")

    def act(self, form: HoldForm, **common: Any) -> Hold:
        return actions.hold(**form.given(), **common)


class OfHold(Verb):
    """A change of one hold that is no order's or job's: those change their own."""

    form_class, may = BunchesForm, "selling"
    holds = Hold.objects.standing().filter(order_line__isnull=True, job_hold__isnull=True)

    def find_subject(self) -> None:
        self.subject = get_object_or_404(self.holds.with_kept().with_short(), pk=self.given["pk"])

    def then(self, result: HoldChange) -> str:
        return result.hold.get_absolute_url()


class HoldMore(OfHold):
    """Keep more on a hold."""

    title, button = _("Keep more"), _("Keep them")

    def act(self, form: BunchesForm, **common: Any) -> HoldChange:
        return actions.hold_more(hold=self.subject, **form.given(), **common)


class Release(OfHold):
    """Give back what a hold keeps."""

    title, button = _("Give back"), _("Give them back")

    def initial(self) -> dict[str, Any]:
        return {"bunches": self.subject.kept, **super().initial()}

    def act(self, form: BunchesForm, **common: Any) -> HoldChange:
        return actions.release(hold=self.subject, **form.given(), **common)


class FillAgain(OfHold):
    """Fill again what a hold was left short of."""

    title, button = _("Fill again what is short"), _("Keep them")
    holds = Hold.objects.standing()

    def initial(self) -> dict[str, Any]:
        return {"bunches": self.subject.short, **super().initial()}

    def act(self, form: BunchesForm, **common: Any) -> HoldChange:
        return actions.fill_again(hold=self.subject, **form.given(), **common)
