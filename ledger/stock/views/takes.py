"""Pages of stock-takes: the walk from box to box, what differs, and the sheet on paper."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.paper import address_of, paper, qr_picture
from ledger.stock import actions
from ledger.stock.filters import StockTakeFilter
from ledger.stock.forms import BeginTakeForm, CountInTakeForm, EndTakeForm
from ledger.stock.models import Box, CountLine, StockTake, TakeCounted, TakeEnd
from ledger.stock.queries import TakePlace, counted_again, differences, empty_boxes, overtaken, places_of, put_right_by
from ledger.stock.tables import StockTakeTable

from .ahead import worth_of

UNBOXED = "none"


class Takes(ListPage):
    """All stock-takes, the latest first."""

    model, table_class, filterset_class, title = StockTake, StockTakeTable, StockTakeFilter, _("Stock-takes")
    intro = _("A shelf, a line or everything, counted box by box and put into the book in one step.")

    def get_queryset(self) -> Any:
        return StockTake.objects.standing().with_progress().select_related("line__variety__species").order_by("-on", "-pk")

    def links(self) -> list[Link]:
        return [
            Link(_("Begin a stock-take"), reverse("stock:begin_take"), "boxes"),
            Link(_("Counts of boxes"), reverse("stock:counts")),
            Link(_("Boxes"), reverse("stock:boxes")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/take.html#row", **given)


def take(request: HttpRequest, pk: int) -> HttpResponse:
    """One stock-take: the boxes in order of shelf, counted and not yet; once ended, what it put right."""
    take = get_object_or_404(StockTake.objects.select_related("line__variety__species"), pk=pk)
    end = take.ends.standing().first()
    places = places_of(take) if take.stands and end is None else []
    lines = CountLine.objects.filter(count__take_end=end).order_by("pk") if end else CountLine.objects.none()
    lines = lines.select_related(
        "count__box", "batch__line__variety__species", "batch__run", "movement__batch__line__variety__species",
        "movement__batch__run",
    )
    for line in lines:
        line.rows = put_right_by(line)  # type: ignore[attr-defined]
    context = {
        "take": take, "end": end, "links": links_for(request.user, *_links(take, end, places)),
        "waiting": [place for place in places if not place.is_counted],
        "done": [place for place in places if place.is_counted], "places": places,
        "empty": empty_boxes(take, places) if places or (take.stands and end is None) else [],
        "lines": lines,
        "may_box": request.user.may("boxes"),  # type: ignore[union-attr]
    }
    return render(request, "stock/take.html", context)


def _links(take: StockTake, end: TakeEnd | None, places: list[TakePlace]) -> list[Link]:
    if not take.stands:
        return []
    if end is not None:
        return [Link(_("Undo its end"), reverse("stock:undo_end_take", args=[end.pk]), "boxes")]
    anything = any(place.batches_counted or place.batches_again for place in places)
    sheet = reverse("stock:take_paper", args=[take.pk])
    return [
        Link(_("Count the next box"), reverse("stock:count_in_take", args=[take.pk]), "boxes"),
        *([Link(_("Look at what differs, then end it"), reverse("stock:end_take", args=[take.pk]), "boxes")] if anything else []),
        Link(_("Type in the count sheet"), reverse("stock:count_sheet", args=[take.pk]), "boxes"),
        Link(_("Count sheet on paper, without figures"), f"{sheet}?figures=no"),
        Link(_("Count sheet with the record's figures"), f"{sheet}?figures=yes"),
        Link(_("Undo this stock-take"), reverse("stock:undo_take", args=[take.pk]), "boxes"),
    ]


class BeginTake(Verb):
    """Begin a stock-take."""

    form_class, title, may, button = BeginTakeForm, _("Begin a stock-take"), "boxes", _("Begin it")
    intro = _("Name a shelf or a line; with neither, everything is counted. Nothing is put right before you end it.")

    def act(self, form: BeginTakeForm, **common: Any) -> StockTake:
        return actions.begin_take(**form.given(), **common)


class CountInTake(Verb):
    """Count one box of a stock-take: `?box=` which (`none`: what is not yet boxed), `?batch=` one batch; else the next one."""

    form_class, title, may, button = CountInTakeForm, _("Count"), "boxes", _("Counted")
    done = _("Counted.")
    subject_model, template_name = StockTake, "stock/count_in_take.html"

    def find_subject(self) -> None:
        super().find_subject()
        self.places = places_of(self.subject)
        asked = self.request.POST.get("place") or self.request.GET.get("box", "")
        self.box = get_object_or_404(Box, pk=int(asked[:18])) if asked.isdecimal() else None
        if not asked:
            waiting = [place for place in self.places if not place.is_counted]
            self.box = (waiting or self.places)[0].box if self.places else None
        known = next((place for place in self.places if place.key == (self.box.pk if self.box else None)), None)
        self.place = known or TakePlace(self.box, {})

    def initial(self) -> dict[str, Any]:
        """The place by name, so that a second press is about the same one."""
        return {"place": str(self.place.key or UNBOXED)}

    def form_given(self) -> dict[str, Any]:
        only = self.request.GET.get("batch", "")
        rows = [row for row in self.place.rows.values() if not only.isdecimal() or row.batch.pk == int(only)]
        return {"take": self.subject, "rows": rows}

    def act(self, form: CountInTakeForm, **common: Any) -> Any:
        given = form.given()
        return actions.count_in_take(on=given["on"], take=self.subject, box=self.box, counted=form.counted(), **common)

    def then(self, result: Any) -> str:
        """On to the next place after this one that is not yet counted, else back to the stock-take."""
        places = places_of(self.subject)
        at = next((number for number, place in enumerate(places) if place.key == self.place.key), 0)
        ahead = [place for place in [*places[at:], *places[:at]] if not place.is_counted and place.key != self.place.key]
        if not ahead:
            return self.subject.get_absolute_url()
        return f"{reverse('stock:count_in_take', args=[self.subject.pk])}?box={ahead[0].key or UNBOXED}"

    def context(self) -> dict[str, Any]:
        return {"box": self.box, "left": sum(not place.is_counted for place in self.places), "take": self.subject}


class EndTake(Verb):
    """Look at what differs, say why, and put it into the book."""

    form_class, title, may, button = EndTakeForm, _("What differs"), "boxes", _("Put it into the book")
    done = _("Put into the book.")
    subject_model, template_name = StockTake, "stock/end_take.html"

    def find_subject(self) -> None:
        super().find_subject()
        self.found = differences(self.subject)

    def form_given(self) -> dict[str, Any]:
        return {"found": self.found}

    def act(self, form: EndTakeForm, **common: Any) -> TakeEnd:
        return actions.end_take(on=form.given()["on"], take=self.subject, reasons=form.reasons(), **common)

    def context(self) -> dict[str, Any]:
        net: dict[int, int] = {}
        for one in self.found:
            net[one.counted.batch_id] = net.get(one.counted.batch_id, 0) + one.posted
        places = places_of(self.subject)
        return {
            "agree": sum(not one.over for one in self.found), "again": counted_again(self.subject),
            "overtaken": overtaken(self.subject),
            "missing": -sum(one.over for one in self.found if one.over < 0),
            "over": sum(one.over for one in self.found if one.over > 0),
            "waiting": [place for place in places if not place.is_counted],
            "worth_url": worth_of(net.items()) if self.request.user.may("see_costs") else "",  # type: ignore[union-attr]
        }


class UndoEndTake(Undo):
    """Undo the end of a stock-take with all it put right."""

    subject_model, may, fact_name = TakeEnd, "boxes", "end"
    undoing = actions.undo_end_take


class UndoTake(Undo):
    """Undo a stock-take that is not ended."""

    subject_model, may, fact_name = StockTake, "boxes", "take"
    undoing = actions.undo_take


class UndoCounted(Undo):
    """Undo what was counted of one batch."""

    subject_model, may, fact_name = TakeCounted, "boxes", "counted"
    undoing = actions.undo_counted


def take_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The count sheet: box by box in order of shelf, with a line to write on; `?figures=yes` with what the record says."""
    take = get_object_or_404(StockTake.objects.select_related("line__variety__species"), pk=pk)
    figures = request.GET.get("figures", "yes" if take.shown else "no") == "yes"
    places = places_of(take)
    boxes = [*(place.box for place in places if place.box), *empty_boxes(take, places)]
    codes = {box.pk: qr_picture(address_of(request, box.get_absolute_url())) for box in boxes}
    sheet = [(place, codes.get(place.key or 0), list(place.rows.values())) for place in places]
    context = {"take": take, "figures": figures, "sheet": sheet, "empty": empty_boxes(take, places), "rows": range(2)}
    return paper(request, "print/count_sheet.html", context, f"count-{take.pk}.pdf")
