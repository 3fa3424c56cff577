"""Pages of drying places and usual losses."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links, spending_on
from ledger.drying import actions
from ledger.drying.filters import LossNormFilter, PlaceFilter
from ledger.drying.forms import LossNormForm, PlaceForm, RenamePlaceForm
from ledger.drying.models import Hanging, LossNorm, Place
from ledger.drying.queries import room_taken_by_day
from ledger.drying.tables import LossNormTable, PlaceTable
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.pictures import DayBars
from ledger.facts.queries import today

READINGS_SHOWN = 7
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
        *spending_links(place.pk),
        Link(_("Enter its cost for a year"), f"{reverse('daybook:set_year_of_space')}?space={place.pk}", "money"),
        Link(_("Change its name"), reverse("drying:rename_place", args=[place.pk]), "loft"),
    )
    context = {
        "place": place, "up": here.still_up(on), "free": place.room - place.room_taken, "links": links,
        "picture": picture_of_room(place, on),
        "readings": place.readings.standing().with_damp().latest_first()[:READINGS_SHOWN],
        "damp": place.readings.damp_again(on).first(),
        "spending": spending_on(place.cost_object, request.user),
    }
    return render(request, "drying/place.html", context)


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
        "that were no disaster."
    )

    def links(self) -> list[Link]:
        return [Link(_("Enter a usual loss"), reverse("drying:set_loss_norm"), "loft")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="drying/loss_norms.html#row", **given)


class SetLossNorm(Verb):
    """Enter the usual loss of a variety."""

    form_class, title, may = LossNormForm, _("Enter a usual loss"), "loft"

    def act(self, form: LossNormForm, **common: Any) -> LossNorm:
        return actions.set_loss_norm(**form.given(), **common)


class UndoLossNorm(Undo):
    """Undo a usual loss."""

    subject_model, may, fact_name = LossNorm, "loft", "norm"
    undoing = actions.undo_loss_norm
