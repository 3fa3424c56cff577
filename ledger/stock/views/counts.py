"""Pages of counts."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.stock import actions
from ledger.stock.filters import StockCountFilter
from ledger.stock.forms import CountForm
from ledger.stock.models import Box, Content, StockCount
from ledger.stock.queries import gone_since, put_right_by
from ledger.stock.tables import StockCountTable


class Counts(ListPage):
    """All counts of boxes."""

    model = StockCount
    queryset = StockCount.objects.standing().select_related("box").order_by("-on", "-pk")
    table_class, filterset_class = StockCountTable, StockCountFilter
    title = _("Counts")

    def links(self) -> list[Link]:
        begin = Link(_("Begin a stock-take"), reverse("stock:begin_take"), "boxes")
        return [Link(_("Stock-takes"), reverse("stock:takes")), begin]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/count.html#row", **given)


def count(request: HttpRequest, pk: int) -> HttpResponse:
    """One count: the record beside what was found."""
    count = get_object_or_404(StockCount.objects.select_related("box", "take_end__take__line__variety__species"), pk=pk)
    undo = Link(_("Undo this count"), reverse("stock:undo_count", args=[count.pk]), "boxes")
    alone = count.stands and count.take_end_id is None
    lines = list(count.lines.select_related("batch__line__variety__species", "batch__run", "movement"))
    for line in lines:
        line.gone_since, line.rows = gone_since(line), put_right_by(line)  # type: ignore[attr-defined]
    context = {"count": count, "lines": lines, "links": links_for(request.user, undo) if alone else []}
    return render(request, "stock/count.html", context)


class CountBox(Verb):
    """Count what is in a box; `?batch=` that batch alone."""

    form_class, title, may, button = CountForm, _("Count it"), "boxes", _("Counted")
    subject_model = Box

    def form_given(self) -> dict[str, Any]:
        contents, batch = Content.objects.there().filter(box=self.subject), self.request.GET.get("batch", "")
        return {"contents": contents.filter(batch=int(batch)) if batch.isdecimal() else contents}

    def act(self, form: CountForm, **common: Any) -> StockCount:
        given = form.given()
        return actions.count_box(
            on=given["on"], box=self.subject, counted=form.counted(), note=given["note"], **common
        )


class UndoCount(Undo):
    """Undo a count with all it put right."""

    subject_model, may, fact_name = StockCount, "boxes", "count"
    undoing = actions.undo_count
