"""Pages of harvest lots and what left them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_on
from ledger.facts.forms import VerbForm
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today

from .. import actions
from ..filters import LotFilter, PartingFilter
from ..forms import CutForm, DryForm, PartForm
from ..models import Lot, Parting, Planting
from ..queries import days_in_water, lot_last_cut, stems_left_ever
from ..tables import LotTable, PartingTable

WITH_PEOPLE = ("cost_object", "recorded_by", "undone_by")


class Lots(ListPage):
    """What was cut."""

    model, table_class, filterset_class, title = Lot, LotTable, LotFilter, _("Harvest lots")

    def get_queryset(self) -> Any:
        return Lot.objects.standing().with_stems_in_water(today()).with_too_long(today()).whole()

    def links(self) -> list[Link]:
        return [
            Link(_("Record a cutting"), reverse("growing:cut"), "field"),
            Link(_("Cut round the beds"), reverse("growing:cut_round"), "field"),
            Link(_("Hang stems of a lot"), reverse("drying:hang"), "loft"),
            Link(_("Limit in water"), reverse("growing:water_limits")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/lot.html#row", **given)


class Partings(ListPage):
    """What left the lots."""

    model, table_class, filterset_class, title = Parting, PartingTable, PartingFilter, _("Gone from lots")

    def get_queryset(self) -> Any:
        return Parting.objects.standing().whole()

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/parting.html#row", **given)


def lot(request: HttpRequest, pk: int) -> HttpResponse:
    """One lot: the planting it came from, and what became of its stems."""
    on = today()
    lots = Lot.objects.with_stems_in_water(on).whole().select_related(*WITH_PEOPLE)
    found: Any = get_object_or_404(lots, pk=pk)
    parted = found.partings.standing().select_related("sale_line__sale", "taken_for_work__job", "taken_for_work__workshop")
    partings = list(parted.prefetch_related("hangings__place").order_by("on", "pk"))
    days = (on - found.on).days
    about = {
        "lot": found, "partings": partings, "links": links_for(request.user, *_links(found, partings)),
        "values": found.cut_values.standing().order_by("pk") if request.user.may("see_costs") else [],  # type: ignore[union-attr]
        "days": days, "too_long": found.stems_in_water > 0 and days >= days_in_water(on),
        "spending": spending_on(found.cost_object, request.user),
    }
    return render(request, "growing/lot.html", about)


def _links(found: Lot, partings: Sequence[Parting]) -> list[Link]:
    if not found.stands:
        return []
    key = [found.pk]
    links = [
        Link(_("Note work on it"), f"{reverse('daybook:note_work')}?spent_on={found.pk}", "work"),
        Link(_("Start the clock on it"), f"{reverse('daybook:start_clock')}?spent_on={found.pk}", "work"),
        Link(_("Value its ways out"), reverse("growing:value_ways", args=key), "money"),
    ]
    dry = [one for one in partings if one.way == Parting.Way.CUT_DRY]
    if dry:
        links = [Link(_("Bunch what came in dry"), f"{reverse('stock:make_run')}?parting={dry[-1].pk}", "boxes"), *links]
    if found.stems > sum(one.stems for one in partings):
        links = [*_leaving(found), *links]
    return [*links, Link(_("Undo this lot"), reverse("growing:undo_lot", args=key), "field")]


def _leaving(found: Lot) -> list[Link]:
    """What can become of the stems that are left."""
    key = [found.pk]
    return [
        Link(_("Hang stems of it"), reverse("drying:hang", args=key), "loft"),
        Link(_("It came in dry"), reverse("growing:came_in_dry", args=key), "field"),
        Link(_("Sell stems fresh"), f"{reverse('sales:sell')}?lot={found.pk}", "selling"),
        Link(_("Throw stems out"), reverse("growing:throw_out", args=key), "field"),
        Link(_("Draw stems, never sold"), reverse("growing:draw_stems", args=key), "field"),
    ]


class Cut(Verb):
    """Record what was cut from a planting."""

    form_class, title, may, button = CutForm, _("Record a cutting"), "field", _("Record the lot")
    template_name = "growing/cut.html"

    def initial(self) -> dict[str, Any]:
        """Cut like the last time: the stage, and the stems to a bundle."""
        number = self.request.GET.get("planting", "")
        planting = Planting.objects.standing().filter(pk=number).first() if number.isdecimal() else None
        last = lot_last_cut(planting) if planting else None
        like = {"stage": last.stage, "per_bundle": last.per_bundle} if last else {}
        return {**like, **super().initial()}

    def act(self, form: CutForm, **common: Any) -> Lot:
        return actions.cut(**form.given(), **common)


class Leave(Verb):
    """Stems leave a lot: all that are left, unless fewer are typed."""

    form_class: type[VerbForm] = PartForm
    may, subject_model = "field", Lot

    def initial(self) -> dict[str, Any]:
        return {"stems": stems_left_ever(self.subject) or None, **super().initial()}


class ThrowOut(Leave):
    """Throw stems out at the cut."""

    title, button = _("Throw stems out"), _("Thrown out")
    intro = _("What is left of the lot bears what they cost.")

    def act(self, form: PartForm, **common: Any) -> Parting:
        return actions.throw_out(lot=self.subject, **form.given(), **common)


class DrawStems(Leave):
    """Take stems that will never be sold."""

    title, button = _("Draw stems, never sold"), _("Drawn")
    intro = _("For display, a sample, a gift or home use: they carry their cost, and bring nothing in.")

    def act(self, form: PartForm, **common: Any) -> Parting:
        return actions.draw_stems(lot=self.subject, **form.given(), **common)


class CameInDry(Leave):
    """Stems that came in dry need no hanging."""

    form_class, title, button = DryForm, _("It came in dry"), _("Came in dry")
    intro = _("Poppy heads, grasses, seed pods: they need no hanging and wait loose to be bunched.")

    def act(self, form: DryForm, **common: Any) -> Parting:
        return actions.came_in_dry(lot=self.subject, **form.given(), **common)


class UndoLot(Undo):
    """Undo a lot nothing has left."""

    subject_model, may, fact_name = Lot, "field", "lot"
    undoing = actions.undo_lot


class UndoParting(Undo):
    """Undo stems thrown out, drawn or come in dry."""

    subject_model, may, fact_name = Parting, "field", "parting"
    undoing = actions.undo_parting
