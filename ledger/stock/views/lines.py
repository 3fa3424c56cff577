"""Pages of lines, batches and the holds on them."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Verb, links_for
from ledger.facts.queries import today
from ledger.stock import actions
from ledger.stock.filters import BatchFilter, LineFilter
from ledger.stock.forms import LineForm
from ledger.stock.models import Batch, Content, Hold, Line, Movement, Recipe
from ledger.stock.queries import cautions_for, where_is
from ledger.stock.tables import BatchTable, LineTable

from .ahead import ahead

LATEST = 20


class Lines(ListPage):
    """All lines: on hand, kept, free."""

    model = Line
    table_class, filterset_class = LineTable, LineFilter
    title = _("Bunch lines")

    def get_queryset(self) -> Any:
        return Line.objects.whole().with_free()

    def links(self) -> list[Link]:
        return [
            Link(_("Add a line"), reverse("stock:add_line"), "boxes"),
            Link(_("Batches"), reverse("stock:batches")),
            Link(_("Where each colour is"), reverse("stock:colours")),
            Link(_("What is kept for promises"), reverse("stock:holds")),
            Link(_("The stock book"), reverse("stock:movements")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/line.html#row", **given)


def line(request: HttpRequest, pk: int) -> HttpResponse:
    """One line: where it all is, what is promised, what is free."""
    line = get_object_or_404(Line.objects.whole().with_free(), pk=pk)
    recipe = Recipe.objects.in_force(today()).filter(line=line).first()
    links = links_for(
        request.user,
        Link(_("Keep some for a promise"), f"{reverse('stock:keep')}?line={line.pk}", "selling"),
        *_recipe_links(line, recipe),
        Link(_("All its rows in the stock book"), f"{reverse('stock:movements')}?line={line.pk}"),
        Link(_("All its batches"), f"{reverse('stock:batches')}?line={line.pk}"),
        *ahead(_("Its cost sheet"), "pricing:cost_sheet", line.pk, may="see_costs"),
        *ahead(_("Its prices"), "pricing:line", line.pk, may=("prices", "selling", "see_costs")),
    )
    context = {
        "line": line, "links": links, "recipe": recipe, "places": where_is(line), "cautions": cautions_for([line]),
        "holds": Hold.objects.standing().filter(line=line).with_kept().with_short().order_by("on", "pk").exclude(kept=0, short=0),
        "movements": Movement.objects.standing().filter(batch__line=line).whole().order_by("-on", "-pk")[:LATEST],
    }
    return render(request, "stock/line.html", context)


def _recipe_links(line: Line, recipe: Recipe | None) -> list[Link]:
    """Making it up and its recipe, for a line that is made up."""
    if not line.name and recipe is None:
        return []
    return [
        Link(_("Make it up"), f"{reverse('stock:make_up')}?line={line.pk}&made=1", "boxes"),
        Link(_("Change its recipe") if recipe else _("Write its recipe"), reverse("stock:set_recipe", args=[line.pk]), "boxes"),
    ]


class AddLine(Verb):
    """Add a line."""

    form_class, title, may, button = LineForm, _("Add a line"), "boxes", _("Add it")

    def act(self, form: LineForm, **common: Any) -> Line:
        return actions.add_line(**form.given(), **common)


class Batches(ListPage):
    """All batches and what is left of them."""

    model = Batch
    table_class, filterset_class = BatchTable, BatchFilter
    title = _("Batches")

    def get_queryset(self) -> Any:
        return Batch.objects.standing().whole().with_on_hand(today()).order_by("-on", "-pk")

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/batch.html#row", **given)


def batch(request: HttpRequest, pk: int) -> HttpResponse:
    """One batch: the run it came from, where it lies, where it went."""
    batch = get_object_or_404(Batch.objects.whole().with_on_hand(today()), pk=pk)
    context = {
        "batch": batch, "links": links_for(request.user, *_batch_links(batch)), "cautions": cautions_for([batch.line]),
        "places": Content.objects.there().filter(batch=batch),
        "inputs": batch.run.inputs.whole(), "drawn": batch.run.drawn.whole().order_by("pk"),
        "movements": Movement.objects.standing().filter(batch=batch).whole().order_by("on", "pk"),
    }
    return render(request, "stock/batch.html", context)


def _batch_links(batch: Batch) -> list[Link]:
    if not batch.stands:
        return []
    links = [Link(_("Its rows in the stock book"), f"{reverse('stock:movements')}?batch={batch.pk}")]
    if batch.there:  # type: ignore[attr-defined]
        here = f"?batch={batch.pk}"
        links = [
            Link(_("Put into a box"), reverse("stock:move") + here, "boxes"),
            Link(_("Rework"), reverse("stock:rework") + here, "boxes"),
            Link(_("Draw"), reverse("stock:draw") + here, "boxes"),
            Link(_("Write off"), reverse("stock:write_off") + here, "boxes"),
            *links,
        ]
    return links
