"""Pages of bunching runs."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links, spending_on
from ledger.drying.models import Hanging
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.stock import actions
from ledger.stock.filters import RunFilter
from ledger.stock.forms import RunForm
from ledger.stock.models import Line, Run
from ledger.stock.queries import with_loose
from ledger.stock.tables import RunTable


class Runs(ListPage):
    """All bunching runs."""

    model = Run
    table_class, filterset_class = RunTable, RunFilter
    title = _("Bunching runs")

    def get_queryset(self) -> Any:
        return Run.objects.standing().with_stems().order_by("-on", "-pk")

    def links(self) -> list[Link]:
        return [
            Link(_("Bunch"), reverse("stock:make_run"), "boxes"),
            Link(_("Add a line"), reverse("stock:add_line"), "boxes"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/run.html#row", **given)


def run(request: HttpRequest, pk: int) -> HttpResponse:
    """One run: the hangings its stems came from, the batches it made."""
    run = get_object_or_404(Run.objects.with_stems(), pk=pk)
    undo = Link(_("Undo this run"), reverse("stock:undo_run", args=[run.pk]), "boxes")
    context = {
        "run": run, "links": links_for(request.user, *spending_links(run.pk), undo) if run.stands else [],
        "spending": spending_on(run.cost_object, request.user),
        "inputs": run.inputs.select_related("hanging__place", "hanging__parting__lot__planting__variety__species"),
        "batches": run.batches.whole().with_on_hand(today()).order_by("pk"),
    }
    return render(request, "stock/run.html", context)


class MakeRun(Verb):
    """Record a run. `?hanging=` offers that hanging's variety only, with all its loose stems."""

    form_class, title, may, button = RunForm, _("Bunch"), "boxes", _("Bunched")
    template_name = "stock/make_run.html"

    def _named(self) -> Hanging | None:
        typed = self.request.GET.get("hanging", "")
        return Hanging.objects.filter(pk=int(typed)).first() if typed.isdecimal() else None

    def _loose(self) -> Any:
        loose = with_loose(Hanging.objects.standing().whole(), today()).filter(loose__gt=0).order_by("on", "pk")
        named = self._named()
        return loose if named is None else loose.filter(parting__lot__planting__variety=named.parting.lot.planting.variety)

    def initial(self) -> dict[str, Any]:
        named = self._named()
        mine = [hanging for hanging in self._loose() if named and hanging.pk == named.pk]
        return {**{f"from_{hanging.pk}": hanging.loose for hanging in mine}, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        hangings = list(self._loose())
        varieties = {hanging.parting.lot.planting.variety_id for hanging in hangings}
        lines = Line.objects.whole().filter(variety__in=varieties)
        may_value = self.request.user.may("prices")  # type: ignore[union-attr]
        return {"hangings": hangings, "lines": lines, "with_values": may_value}

    def act(self, form: RunForm, **common: Any) -> Run:
        given = form.given()
        return actions.make_run(
            on=given["on"], inputs=form.inputs(), outputs=form.outputs(), lost=given["lost"] or 0, note=given["note"],
            **common,
        )


class UndoRun(Undo):
    """Undo a run."""

    subject_model, may, fact_name = Run, "boxes", "run"
    undoing = actions.undo_run
