"""Pages of drying places and usual losses."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.http import urlencode
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import PurchaseLine
from ledger.daybook.views.records import spending_links, spending_on
from ledger.drying import actions
from ledger.drying.filters import LossNormFilter, PlaceFilter
from ledger.drying.forms import LossNormForm, PlaceForm, RenamePlaceForm
from ledger.drying.models import Hanging, LossNorm, Place
from ledger.drying.queries import overfull_in, room_taken_by_day, usual_losses
from ledger.drying.tables import LossNormTable, PlaceTable
from ledger.facts.models import CostKind
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.pictures import DayBars
from ledger.facts.queries import today

READINGS_SHOWN, BILLS_SHOWN = 7, 25
DAYS_DRAWN = 60


class Places(ListPage):
    """The drying places and how full they are."""

    model = Place
    table_class, filterset_class = PlaceTable, PlaceFilter
    title = _("Drying places")

    def get_queryset(self) -> Any:
        return Place.objects.with_room_taken(today())

    def links(self) -> list[Link]:
        return [
            Link(_("Add a drying place"), reverse("drying:add_place"), "loft"),
            Link(_("Hangings"), reverse("drying:hangings")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="drying/place.html#row", **given)


def place(request: HttpRequest, pk: int) -> HttpResponse:
    """One drying place: what hangs there, how full it is, what to mind."""
    on = today()
    place = get_object_or_404(Place.objects.with_room_taken(on), pk=pk)
    here = Hanging.objects.filter(place=place).whole()
    links = links_for(
        request.user,
        Link(_("Hang stems here"), f"{reverse('drying:hang')}?place={place.pk}", "loft"),
        Link(_("Loft round"), reverse("drying:take_down_round", args=[place.pk]), "loft"),
        Link(_("Note a reading"), reverse("drying:note_reading", args=[place.pk]), "loft"),
        Link(_("All its readings"), f"{reverse('drying:readings')}?place={place.pk}"),
        Link(_("All that hung here"), f"{reverse('drying:hangings')}?place={place.pk}"),
        Link(_("Enter a bill for it: heat, fan power"), _bill_for(place), "money"),
        *spending_links(place.pk),
        Link(_("Enter its cost for a year"), f"{reverse('daybook:set_year_of_space')}?space={place.pk}", "money"),
        Link(_("Change its name"), reverse("drying:rename_place", args=[place.pk]), "loft"),
    )
    context = {
        "place": place, "up": here.still_up(on), "free": max(place.room - place.room_taken, 0), "links": links,
        "overfull": overfull_in(place),
        "picture": picture_of_room(place, on),
        "readings": place.readings.standing().with_damp().latest_first()[:READINGS_SHOWN],
        "damp": place.readings.damp_again(on).first(),
        "spending": {**spending_on(place.cost_object, request.user), "sees_money": False},
        "bills": bills_of(place)[:BILLS_SHOWN] if request.user.may("money") else None,  # type: ignore[union-attr]
    }
    return render(request, "drying/place.html", context)


def _bill_for(place: Place) -> str:
    """A purchase's form, filled in as far as a bill for heat and fans goes."""
    power = CostKind.objects.filter(code="power").first()
    given = {"spent_on": place.pk, "description_0": _("Heat and fan power"), "kind_0": power.pk if power else ""}
    return f"{reverse('daybook:record_purchase')}?{urlencode(given)}"


def bills_of(place: Place) -> QuerySet[PurchaseLine]:
    """The lines of bills that a place bears or shares in, the latest first, with their bill."""
    lines = PurchaseLine.objects.filter(shares__spent_on=place.cost_object, purchase__undone_at__isnull=True)
    return lines.select_related("purchase", "kind").order_by("-purchase__on", "-pk")


def picture_of_room(place: Place, on: date) -> DayBars:
    """How full a place was on each of the last days."""
    rows = room_taken_by_day(place, on - timedelta(days=DAYS_DRAWN - 1), on)
    day, most = max(rows, key=lambda row: row[1])
    told = {"days": DAYS_DRAWN, "most": most, "room": place.room, "unit": place.get_unit_display(), "day": date_format(day)}
    says = _("Of %(room)d %(unit)s at most %(most)d were taken in the last %(days)d days, first on %(day)s.") if most else _(
        "None of %(room)d %(unit)s was taken in the last %(days)d days."
    )
    title = _("Room taken in %(place)s, day by day") % {"place": place}
    return DayBars("room", title, says % told, _("Room taken"), rows, place.room)


class AddPlace(Verb):
    """Add a drying place."""

    form_class, title, may, button = PlaceForm, _("Add a drying place"), "loft", _("Add it")

    def act(self, form: PlaceForm, **common: Any) -> Place:
        return actions.add_place(**form.given(), **common)


class RenamePlace(Verb):
    """Change a drying place's name."""

    form_class, title, may, button = RenamePlaceForm, _("Change its name"), "loft", _("Change it")
    subject_model = Place

    def initial(self) -> dict[str, Any]:
        return {"name": self.subject.name, "seen": self.subject.name}

    def act(self, form: RenamePlaceForm, **common: Any) -> Place:
        given = form.given()
        return actions.rename_place(place=self.subject, name=given["name"], seen={"name": given["seen"]}, **common)


class LossNorms(ListPage):
    """The usual losses entered."""

    model = LossNorm
    queryset = LossNorm.objects.standing().select_related("variety__species").order_by("-on", "-pk")
    table_class, filterset_class = LossNormTable, LossNormFilter
    title = _("Usual losses")
    intro = _(
        "The usual share of stems lost in drying. Where none is entered it is learnt from earlier hangings "
        "that were no disaster and no trial."
    )
    template_name = "drying/usual_losses.html"

    def links(self) -> list[Link]:
        return [Link(_("Enter a usual loss"), reverse("drying:set_loss_norm"), "loft")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        usual = usual_losses(today())
        return super().get_context_data(row_template="drying/loss_norms.html#row", usual=usual, **given)


class SetLossNorm(Verb):
    """Enter the usual loss of a variety."""

    form_class, title, may = LossNormForm, _("Enter a usual loss"), "loft"

    def act(self, form: LossNormForm, **common: Any) -> LossNorm:
        return actions.set_loss_norm(**form.given(), **common)


class UndoLossNorm(Undo):
    """Undo a usual loss."""

    subject_model, may, fact_name = LossNorm, "loft", "norm"
    undoing = actions.undo_loss_norm
