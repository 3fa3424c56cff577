"""Pages of hangings and takings down."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links, spending_on
from ledger.drying import actions
from ledger.drying.filters import HangingFilter, TakingDownFilter
from ledger.drying.forms import HangForm, MoveForm, TakeDownForm
from ledger.drying.models import Disaster, Hanging, TakingDown
from ledger.drying.queries import disaster_of, losses_of, stems_still_up, usual_loss
from ledger.drying.queries.weights import dried_weight
from ledger.drying.tables import HangingTable, TakingDownTable
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.growing.models import Lot
from ledger.growing.queries import stems_left_ever
from ledger.reckoning.loss import proposed_disaster


class Hangings(ListPage):
    """What hangs and hung."""

    model = Hanging
    table_class, filterset_class = HangingTable, HangingFilter
    title = _("Hangings")

    def get_queryset(self) -> Any:
        on = today()
        return Hanging.objects.standing().whole().with_stems_up(on).with_sound(on).with_lost(on).order_by("-on", "-pk")

    def links(self) -> list[Link]:
        return [
            Link(_("Hang stems of a lot"), reverse("drying:hang"), "loft"),
            Link(_("Due down"), reverse("drying:due_down")),
            Link(_("Drying places"), reverse("drying:places")),
            Link(_("Takings down"), reverse("drying:takings_down")),
            Link(_("Usual losses"), reverse("drying:loss_norms")),
            Link(_("Oddments"), reverse("drying:oddments")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="drying/hanging.html#row", **given)


class TakingsDown(ListPage):
    """What came down."""

    model = TakingDown
    table_class, filterset_class = TakingDownTable, TakingDownFilter
    title = _("Takings down")

    def get_queryset(self) -> Any:
        return TakingDown.objects.standing().whole().with_lost().order_by("-on", "-pk")

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="drying/taking_down.html#row", **given)


def hanging(request: HttpRequest, pk: int) -> HttpResponse:
    """One hanging: where it came from, what came down of it, where that went."""
    on = today()
    rows = Hanging.objects.whole().select_related("moved_from__place").with_stems_up(on).with_sound(on).with_lost(on)
    hanging = get_object_or_404(rows, pk=pk)
    mark = disaster_of(hanging)
    variety = hanging.parting.lot.planting.variety
    usual = usual_loss(variety, on, besides=hanging)
    share_bp = mark.norm_bp if mark else usual.share_bp
    takings = hanging.takings.standing().with_lost().order_by("on", "pk")
    context = {
        "hanging": hanging, "mark": mark, "usual": usual, "losses": losses_of(hanging),
        "moves": hanging.moved_to.standing().select_related("place").order_by("on", "pk"),
        "oddments": hanging.oddments.standing().order_by("on", "pk"),
        "takings": takings, "dried": dried_weight(hanging, takings),
        "inputs": hanging.run_inputs.filter(run__undone_at__isnull=True).select_related("run").order_by("run__on", "pk"),
        "proposed": mark is None and proposed_disaster(hanging.stems - hanging.moved, hanging.lost, share_bp),
        "links": links_for(request.user, *_links(hanging, mark)),
        "spending": spending_on(hanging.cost_object, request.user),
    }
    return render(request, "drying/hanging.html", context)


def _links(hanging: Hanging, mark: Disaster | None) -> list[Link]:
    if not hanging.stands:
        return []
    links = []
    if hanging.stems_up and hanging.bunch_stems:
        links.append(Link(_("Bring down bunches"), reverse("stock:bring_down_bunches", args=[hanging.pk]), "boxes"))
    if hanging.stems_up:
        links.append(Link(_("Take down"), reverse("drying:take_down", args=[hanging.pk]), "loft"))
        links.append(Link(_("Move it or part of it"), reverse("drying:move_hanging", args=[hanging.pk]), "loft"))
    if hanging.sound:
        links.append(Link(_("Bunch what is sound"), f"{reverse('stock:make_run')}?hanging={hanging.pk}", "boxes"))
    if hanging.lost:
        links.append(Link(_("Keep oddments of the lost"), reverse("drying:keep_oddments", args=[hanging.pk]), "loft"))
    trial = _("It is no trial after all") if hanging.trial else _("Mark as a trial")
    links.append(Link(trial, reverse("drying:mark_trial", args=[hanging.pk]), "loft"))
    if mark is None:
        links.append(Link(_("Mark as a disaster"), reverse("drying:mark_disaster", args=[hanging.pk]), "loft"))
    else:
        links.append(Link(_("Take the disaster's mark away"), reverse("drying:undo_disaster", args=[mark.pk]), "loft"))
    links += spending_links(hanging.pk)
    undo = _("Undo this move") if hanging.moved_from_id else _("Undo this hanging")
    return [*links, Link(undo, reverse("drying:undo_hanging", args=[hanging.pk]), "loft")]


def taking_down(request: HttpRequest, pk: int) -> HttpResponse:
    """One taking down with its losses."""
    taking = get_object_or_404(TakingDown.objects.whole().with_lost(), pk=pk)
    undo = Link(_("Undo this taking down"), reverse("drying:undo_taking_down", args=[taking.pk]), "loft")
    links = links_for(request.user, undo) if taking.stands else []
    context = {"taking": taking, "losses": taking.losses.all(), "links": links}
    return render(request, "drying/taking_down.html", context)


class Hang(Verb):
    """Hang part of a lot; the lot may be named in the address."""

    form_class, title, may, button = HangForm, _("Hang stems of a lot"), "loft", _("Hang them")
    template_name = "drying/hang.html"

    def find_subject(self) -> None:
        if "pk" in self.given:
            self.subject = get_object_or_404(Lot, pk=self.given["pk"])

    def initial(self) -> dict[str, Any]:
        lot = Lot.objects.filter(pk=self._lot_pk()).first() if self._lot_pk() else None
        if lot is None:
            return super().initial()
        return {"lot": lot.pk, "stems": stems_left_ever(lot) or None, **super().initial()}

    def _lot_pk(self) -> int | None:
        if self.subject is not None:
            return self.subject.pk
        typed = self.request.GET.get("lot", "")
        return int(typed) if typed.isdecimal() else None

    def act(self, form: HangForm, **common: Any) -> Hanging:
        return actions.hang(**form.given(), **common)


class TakeDown(Verb):
    """Take stems of one hanging down."""

    form_class, title, may, button = TakeDownForm, _("Take down"), "loft", _("Taken down")
    template_name = "drying/take_down.html"
    subject_model = Hanging

    def initial(self) -> dict[str, Any]:
        return {"stems": stems_still_up(self.subject), **super().initial()}

    def act(self, form: TakeDownForm, **common: Any) -> TakingDown:
        given = form.given()
        return actions.take_down(
            hanging=self.subject, on=given["on"], stems=given["stems"], dried_g=given["dried_g"],
            losses=form.losses(), **common,
        )

    def then(self, result: TakingDown) -> str:
        return result.hanging.get_absolute_url()


class MoveHanging(Verb):
    """Move a hanging, or part of it, to another place."""

    form_class, title, may, button = MoveForm, _("Move it or part of it"), "loft", _("Move them")
    intro = _("Stems moved are a hanging of their own in their new place; what stays keeps its room until all of it is gone.")
    subject_model = Hanging

    def initial(self) -> dict[str, Any]:
        return {"stems": stems_still_up(self.subject) or None, "room": self.subject.room, **super().initial()}

    def act(self, form: MoveForm, **common: Any) -> Hanging:
        return actions.move_hanging(hanging=self.subject, **form.given(), **common)


class UndoHanging(Undo):
    """Undo a hanging nothing rests on."""

    subject_model, may, fact_name = Hanging, "loft", "hanging"
    undoing = actions.undo_hanging


class UndoTakingDown(Undo):
    """Undo a taking down."""

    subject_model, may, fact_name = TakingDown, "loft", "taking"
    undoing = actions.undo_taking_down

    def then(self, result: TakingDown) -> str:
        return result.hanging.get_absolute_url()
