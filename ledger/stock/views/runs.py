"""Pages of runs: all of them, one of them, bunching, undoing."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links, spending_on
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.stock import actions
from ledger.stock.filters import RunFilter
from ledger.stock.forms import RunForm, field_from
from ledger.stock.models import Line, Run
from ledger.stock.queries import Loose, loose_stems, variety_of
from ledger.stock.tables import RunTable


class Runs(ListPage):
    """All runs, of every kind."""

    model = Run
    table_class, filterset_class = RunTable, RunFilter
    title = _("Bunched, reworked, made up")

    def get_queryset(self) -> Any:
        return Run.objects.standing().with_stems().order_by("-on", "-pk")

    def links(self) -> list[Link]:
        return [
            Link(_("Bunch"), reverse("stock:make_run"), "boxes"),
            Link(_("Rework"), reverse("stock:rework"), "boxes"),
            Link(_("Make up"), reverse("stock:make_up"), "boxes"),
            Link(_("Buy in"), reverse("stock:buy_in"), "money"),
            Link(_("Recipes"), reverse("stock:recipes")),
            Link(_("Add a line"), reverse("stock:add_line"), "boxes"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/run.html#row", **given)


HEADS = {
    "bunching": _("Bunched %(on)s"), "rework": _("Reworked %(on)s"), "making_up": _("Made up %(on)s"),
    "bought_in": _("Bought in %(on)s"),
}


def run(request: HttpRequest, pk: int) -> HttpResponse:
    """One run: what went in by kind, the batches it made."""
    run = get_object_or_404(Run.objects.with_stems(), pk=pk)
    context = {
        "run": run, "head": HEADS[run.kind] % {"on": date_format(run.on)},
        "counts_stems": run.kind in {Run.Kind.BUNCHING, Run.Kind.REWORK},
        "links": links_for(request.user, *_links(run)),
        "spending": spending_on(run.cost_object, request.user), "inputs": run.inputs.whole(),
        "drawn": run.drawn.whole().order_by("pk"),
        "batches": run.batches.whole().with_on_hand(today()).order_by("pk"),
    }
    return render(request, "stock/run.html", context)


def _links(run: Run) -> list[Link]:
    """What can be done; a bought-in run is undone with its purchase, by those who may buy in."""
    if not run.stands:
        return []
    undo = Link(_("Undo this run"), reverse("stock:undo_run", args=[run.pk]), "boxes")
    if run.kind == Run.Kind.BOUGHT_IN:
        undo = Link(_("Undo this buying in"), reverse("stock:undo_buying_in", args=[run.pk]), "money")
    return [*spending_links(run.pk), undo]


class MakeRun(Verb):
    """Record a run. `?hanging=`, `?parting=` or `?oddments=` offers that variety only, with all loose stems of the one named."""

    form_class, title, may, button = RunForm, _("Bunch"), "boxes", _("Bunched")
    template_name = "stock/make_run.html"

    def _named(self) -> tuple[str, int] | None:
        typed = ((kind, self.request.GET.get(kind, "")) for kind in ("hanging", "parting", "oddments"))
        return next(((kind, int(key)) for kind, key in typed if key.isdecimal()), None)

    def _offered(self) -> tuple[list[Loose], Loose | None]:
        """Loose stems of the variety named in the address, else all; and the stems named."""
        loose, named = loose_stems(today()), self._named()
        mine = next((one for one in loose if named == (one._meta.model_name, one.pk)), None)
        return ([one for one in loose if variety_of(one) == variety_of(mine)] if mine else loose), mine

    def initial(self) -> dict[str, Any]:
        mine = self._offered()[1]
        begun = {field_from(mine): mine.loose} if mine else {}  # type: ignore[union-attr]
        return {**begun, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        sources, _mine = self._offered()
        varieties = {variety_of(source) for source in sources}
        may_value = self.request.user.may("prices")  # type: ignore[union-attr]
        return {"sources": sources, "lines": Line.objects.whole().of_varieties(varieties), "with_values": may_value}

    def context(self) -> dict[str, Any]:
        return {"named": self._named()}

    def act(self, form: RunForm, **common: Any) -> Run:
        given = form.given()
        return actions.make_run(
            on=given["on"], inputs=form.inputs(), outputs=form.outputs(), lost=given["lost"] or 0, note=given["note"],
            **common,
        )


class UndoRun(Undo):
    """Undo a run with all that went into it."""

    subject_model, may, fact_name = Run, "boxes", "run"
    undoing = actions.undo_run


class UndoBuyingIn(Undo):
    """Undo bunches bought in, with their purchase."""

    subject_model, may, fact_name = Run, "money", "run"
    undoing = actions.undo_buying_in

    def find_subject(self) -> None:
        self.subject = get_object_or_404(Run, pk=self.given["pk"], kind=Run.Kind.BOUGHT_IN)
