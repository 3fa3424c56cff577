"""Pages of boxes: what is in them, the label, finding one by its id."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Verb, links_for
from ledger.facts.queries import holding, today
from ledger.reckoning.years import season_of
from ledger.stock import actions
from ledger.stock.filters import BoxFilter
from ledger.stock.forms import BoxForm, FindBoxForm, NewBoxForm
from ledger.stock.models import Box, Content, HeldBack, Movement
from ledger.stock.queries import cautions_for, held_back_by, held_in, is_covered, open_takes
from ledger.stock.tables import BoxTable

from .ahead import ahead


class Boxes(ListPage):
    """All boxes, those on shelves before the parcels of orders."""

    model = Box
    table_class, filterset_class = BoxTable, BoxFilter
    title = _("Boxes")

    def get_queryset(self) -> Any:
        return Box.objects.with_bunches().order_by("parcel", "shelf", "code")

    def links(self) -> list[Link]:
        return [
            Link(_("Begin a box"), reverse("stock:new_box"), "boxes"),
            Link(_("Find a box by its id"), reverse("stock:find_box")),
            Link(_("How full the shelves are"), reverse("stock:shelves")),
            Link(_("Print labels"), reverse("stock:labels")),
            Link(_("Stock-takes"), reverse("stock:takes")),
            Link(_("Counts"), reverse("stock:counts")),
            Link(_("The stock book"), reverse("stock:movements")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/box.html#row", **given)


def box(request: HttpRequest, pk: int) -> HttpResponse:
    """One box: what is in it, what went in and out."""
    box = get_object_or_404(Box.objects.with_bunches(), pk=pk)
    contents = contents_of(box)
    held_back = held_back_by(box, today())
    for content in contents if not box.parcel else []:
        content.links = links_for(request.user, *_links_of(content, held_back))  # type: ignore[attr-defined]
    context = {
        "box": box, "contents": contents, "cautions": cautions_of(contents),
        "links": links_for(request.user, *_links(box, held_back), *_takes_of(box, contents)),
        "held": held_in(box),
        "repackings": box.repackings.standing().order_by("-on", "-pk").prefetch_related("rows__movement__box")[:10],
        "movements": Movement.objects.standing().filter(box=box).whole().order_by("-on", "-pk")[:40],
        "counts": box.counts.standing().order_by("-on", "-pk")[:5],
        "held_backs": box.held_backs.standing().order_by("-on", "-pk").prefetch_related("let_gos")[:5],
        "held_back": held_back, "may_box": request.user.may("boxes"),  # type: ignore[union-attr]
    }
    return render(request, "stock/box.html", context)


def contents_of(box: Box) -> list[Content]:
    """What is in a box, each with the `colour` and the `season` its label says."""
    return contents_in([box])[box.pk]


def contents_in(boxes: Iterable[Box]) -> dict[int, list[Content]]:
    """The same of several boxes, by the box's key, read at once."""
    found: dict[int, list[Content]] = {box.pk: [] for box in boxes}
    first_month = holding().season_first_month
    for content in Content.objects.there().filter(box__in=found):
        content.colour = content.batch.line.own_colour  # type: ignore[attr-defined]
        content.season = season_of(content.batch.on, first_month=first_month)  # type: ignore[attr-defined]
        found[content.box_id].append(content)  # type: ignore[index]
    return found


def cautions_of(contents: list[Content]) -> list[tuple[str, str]]:
    """What to beware of in it, once a species."""
    return cautions_for(content.batch.line for content in contents)


def _links(box: Any, held_back: HeldBack | None) -> list[Link]:
    """What can be done with the box itself."""
    label = Link(_("Label"), reverse("stock:label", args=[box.pk]))
    if box.parcel:
        return [label]
    return [
        Link(_("Put in"), f"{reverse('stock:move')}?target={box.pk}", "boxes"),
        *(_links_of_full(box, held_back) if box.bunches else []),
        _hold_back_link(box, held_back),
        Link(_("Count it"), reverse("stock:count_box", args=[box.pk]), "boxes"),
        label,
        Link(_("Change its shelf or note"), reverse("stock:change_box", args=[box.pk]), "boxes"),
    ]


def _links_of_full(box: Box, held_back: HeldBack | None) -> list[Link]:
    """What can be done with a box that has something in it."""
    here = f"?box={box.pk}"
    return [
        *([] if held_back else ahead(_("Sell from here"), "sales:sell", may="selling", query=here)),
        Link(_("Split it"), reverse("stock:split_box", args=[box.pk]), "boxes"),
        Link(_("Put it together with another"), reverse("stock:put_together", args=[box.pk]), "boxes"),
        Link(_("Empty it"), reverse("stock:empty_box", args=[box.pk]), "boxes"),
        Link(_("Rework"), reverse("stock:rework") + here, "boxes"),
    ]


def _links_of(content: Content, held_back: HeldBack | None) -> list[Link]:
    """What can be done with one batch in a box, each form about that batch alone."""
    here = f"?box={content.box_id}&batch={content.batch_id}"
    sale = f"?box={content.box_id}&n_{content.batch.line_id}=1"
    return [
        Link(_("Take out"), f"{reverse('stock:move')}{here}&way=out", "boxes"),
        Link(_("Move"), f"{reverse('stock:move')}{here}&way=move", "boxes"),
        *([] if held_back else ahead(_("Sell"), "sales:sell", may="selling", query=sale)),
        Link(_("Draw"), reverse("stock:draw") + here, "boxes"),
        Link(_("Write off"), reverse("stock:write_off") + here, "boxes"),
        Link(_("Count"), f"{reverse('stock:count_box', args=[content.box_id])}?batch={content.batch_id}", "boxes"),
    ]


def _hold_back_link(box: Box, held_back: HeldBack | None) -> Link:
    if held_back is not None:
        return Link(_("Let it go"), reverse("stock:let_go", args=[held_back.pk]), "boxes")
    return Link(_("Hold it back"), reverse("stock:hold_back", args=[box.pk]), "boxes")


def _takes_of(box: Box, contents: list[Content]) -> list[Link]:
    """Counting it for each stock-take under way that counts here."""
    lines = {content.batch.line_id for content in contents}
    takes = [take for take in open_takes() if (take.line_id in lines if take.line_id else is_covered(take, box))]
    here = [(take, f"{reverse('stock:count_in_take', args=[take.pk])}?box={box.pk}") for take in takes if not box.parcel]
    return [Link(_("Count it for: %(take)s") % {"take": take}, url, "boxes") for take, url in here]


def find_box(request: HttpRequest) -> HttpResponse:
    """Go to the box whose id was typed; say what is wrong with a mistyped one."""
    form = FindBoxForm(request.GET or None)
    if form.is_bound and form.is_valid():
        return HttpResponseRedirect(form.cleaned_data["id"].get_absolute_url())
    return render(request, "stock/find_box.html", {"form": form}, status=422 if form.is_bound else 200)


class NewBox(Verb):
    """Begin a box."""

    form_class, title, may, button = NewBoxForm, _("Begin a box"), "boxes", _("Begin it")

    def act(self, form: NewBoxForm, **common: Any) -> Box:
        return actions.new_box(**form.given(), **common)


class ChangeBox(Verb):
    """Put a box on another shelf."""

    form_class, title, may, button = BoxForm, _("Change its shelf or note"), "boxes", _("Change it")
    subject_model = Box

    def initial(self) -> dict[str, Any]:
        box = self.subject
        return {"shelf": box.shelf, "note": box.note, "seen_shelf": box.shelf, "seen_note": box.note}

    def act(self, form: BoxForm, **common: Any) -> Box:
        given = form.given()
        seen = {"shelf": given["seen_shelf"], "note": given["seen_note"]}
        return actions.move_box(box=self.subject, shelf=given["shelf"], note=given["note"], seen=seen, **common)
