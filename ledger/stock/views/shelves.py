"""Pages of how full the shelves are, and where all of a colour family is."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, Undo, Verb, links_for
from ledger.stock import actions
from ledger.stock.forms import ShelfRoomForm
from ledger.stock.models import ShelfRoom
from ledger.stock.queries import colour_families, shelves_filled


def shelves(request: HttpRequest) -> HttpResponse:
    """Each shelf with its boxes, the empty ones among them, its bunches and its room."""
    found = shelves_filled()
    totals = {name: sum(getattr(shelf, name) for shelf in found) for name in ("boxes", "empty", "bunches")}
    links = links_for(
        request.user, Link(_("Boxes"), reverse("stock:boxes")), Link(_("Empty boxes"), f"{reverse('stock:boxes')}?state=empty"),
        Link(_("Where each colour is"), reverse("stock:colours")),
        Link(_("Say how much a shelf holds"), reverse("stock:set_shelf_room"), "boxes"),
    )
    said = ShelfRoom.objects.standing().order_by("shelf", "-on", "-pk")
    may_box = request.user.may("boxes")  # type: ignore[union-attr]
    context = {"shelves": found, "totals": totals, "links": links, "said": said, "may_box": may_box}
    return render(request, "stock/shelves.html", context)


class SetShelfRoom(Verb):
    """Say for how many bunches a shelf has room."""

    form_class, title, may = ShelfRoomForm, _("Say how much a shelf holds"), "boxes"

    def act(self, form: ShelfRoomForm, **common: Any) -> ShelfRoom:
        return actions.set_shelf_room(**form.given(), **common)


class UndoShelfRoom(Undo):
    """Undo what was said."""

    subject_model, may, fact_name = ShelfRoom, "boxes", "shelf_room"
    undoing = actions.undo_shelf_room


def colours(request: HttpRequest) -> HttpResponse:
    """What is on hand by family of colours; `?family=` with every place of one."""
    families, asked = colour_families(), request.GET.get("family")
    links = links_for(
        request.user, Link(_("Bunch lines"), reverse("stock:lines")),
        Link(_("How full the shelves are"), reverse("stock:shelves")),
    )
    context = {
        "families": families, "links": links, "chosen": next((one for one in families if one.name == asked), None),
        "asked": asked,
    }
    return render(request, "stock/colours.html", context)
