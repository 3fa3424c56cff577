"""Pages of workshops: offered, their places sold and given back, held or called off."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links, spending_on
from ledger.facts.forms import VerbForm
from ledger.facts.pages import Link, ListPage, Undo, Verb
from ledger.facts.queries import today
from ledger.sales import actions
from ledger.sales.filters import WorkshopFilter
from ledger.sales.forms.workshops import CallOffForm, GivePlacesBackForm, SellPlacesForm, WorkshopForm
from ledger.sales.models import PlacesGivenBack, PlacesSold, Workshop, WorkshopCalledOff, WorkshopHeld
from ledger.sales.queries.taken import taken_with_backs
from ledger.sales.queries.workshop_sets import CALLED_OFF, TO_COME
from ledger.sales.queries.workshops import money_still_held, places_of, places_still_sold
from ledger.sales.tables import WorkshopTable
from ledger.stock.queries import cautions_for

from .job_links import parted
from .seeing import SEES_ORDERS, require

MONEY = ("held_money",)


class Workshops(ListPage):
    """All workshops, those to come first."""

    model = Workshop
    table_class, filterset_class = WorkshopTable, WorkshopFilter
    title, may = _("Workshops"), SEES_ORDERS
    intro = _("Days on which people pay to make something: their places, and what was taken and spent for them.")

    def get_queryset(self) -> Any:
        return Workshop.objects.standing().whole().with_state().with_places()

    def get_table_kwargs(self) -> dict[str, Any]:
        return {} if self.request.user.may("see_takings") else {"exclude": MONEY}  # type: ignore[union-attr]

    def links(self) -> list[Link]:
        here = reverse("sales:workshops")
        return [
            Link(_("Offer a workshop"), reverse("sales:new_workshop"), "selling"),
            Link(_("To come, with places left"), f"{here}?state=free&sort=held_on"),
            Link(_("Jobs"), reverse("sales:jobs")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/_workshop_row.html#row", **given)


def workshop(request: HttpRequest, pk: int) -> HttpResponse:
    """One workshop: places sold and left, who comes, the money held, what was taken and spent."""
    require(request, SEES_ORDERS)
    one: Any = get_object_or_404(Workshop.objects.whole().with_state().with_places(), pk=pk)
    taken = taken_with_backs(one)
    links, more = parted(request.user, _links(one, any(row.still_out for row in taken)), _next(one))  # type: ignore[attr-defined]
    about = {
        "workshop": one, "links": links if one.stands else [], "more": more if one.stands else [],
        "sold": places_of(one), "taken": taken, "held": one.holdings.standing().first(),
        "called_off": one.called_off.standing().first(), "spending": spending_on(one.cost_object, request.user),
        "cautions": cautions_for(row.line for row in taken if row.line), "past": one.held_on < today(),
    }
    return render(request, "sales/workshop.html", about)


def _next(one: Any) -> list[str]:
    """The addresses of what comes next as it stands."""
    if one.stands_as == TO_COME:
        names = ["hold_workshop"] if one.held_on <= today() else ["sell_places", "take_for_workshop"]
    else:
        names = ["back_for_workshop"]
    return [reverse(f"sales:{name}", args=[one.pk]) for name in names]


def _links(one: Any, still_out: bool) -> Iterator[Link]:
    """What can be done with it as it stands."""
    def to(name: str) -> str:
        return reverse(f"sales:{name}", args=[one.pk])

    if one.stands_as != CALLED_OFF:
        if one.left > 0:
            yield Link(_("Sell places"), to("sell_places"), "selling")
        yield Link(_("Take bunches for it"), to("take_for_workshop"), "packing")
        yield Link(_("Take fresh stems for it"), to("take_stems_for_workshop"), "packing")
    if still_out:
        yield Link(_("Put back what came back"), to("back_for_workshop"), "packing")
    if one.stands_as == TO_COME:
        yield Link(_("It was held"), to("hold_workshop"), "selling")
        yield Link(_("Call it off"), to("call_off"), "selling")
    yield Link(_("What it left"), reverse("books:workshop_margin", args=[one.pk]), "see_costs")
    yield from spending_links(one.pk)
    if one.stands_as == TO_COME and not one.sold:
        yield Link(_("Undo this workshop"), to("undo_workshop"), "selling")


class NewWorkshop(Verb):
    """Offer a workshop."""

    form_class, title, may, button = WorkshopForm, _("Offer a workshop"), "selling", _("Offer it")
    verb = "offer_workshop"

    def initial(self) -> dict[str, Any]:
        return {"on": today(), **super().initial()}

    def act(self, form: WorkshopForm, **common: Any) -> Workshop:
        return actions.offer_workshop(**form.given(), **common)


class SellPlaces(Verb):
    """Sell places of a workshop."""

    form_class, title, may, button = SellPlacesForm, _("Sell places"), "selling", _("Sold")
    done = _("Sold.")

    def find_subject(self) -> None:
        self.subject = get_object_or_404(Workshop.objects.with_places(), pk=self.given["pk"])

    def initial(self) -> dict[str, Any]:
        return {"price": self.subject.price, **super().initial()}

    def context(self) -> dict[str, Any]:
        says = _("Of its %(places)d places %(left)d are left.")
        return {"intro": says % {"left": self.subject.left, "places": self.subject.places}}

    def act(self, form: SellPlacesForm, **common: Any) -> PlacesSold:
        return actions.sell_places(workshop=self.subject, **form.given(), **common)


class GivePlacesBack(Verb):
    """Take places back, and return money for them."""

    form_class, title, may = GivePlacesBackForm, _("Take places back"), "selling"
    button, done = _("Taken back"), _("Taken back.")

    def find_subject(self) -> None:
        self.subject = get_object_or_404(PlacesSold.objects.select_related("workshop"), pk=self.given["pk"])

    def initial(self) -> dict[str, Any]:
        left = places_still_sold(self.subject)
        return {"places": left or None, "returned": money_still_held(self.subject), **super().initial()}

    def act(self, form: GivePlacesBackForm, **common: Any) -> PlacesGivenBack:
        return actions.give_places_back(sold=self.subject, **form.given(), **common)


class HoldWorkshop(Verb):
    """A workshop was held."""

    form_class, title, may, button = VerbForm, _("It was held"), "selling", _("It was held")
    subject_model = Workshop
    intro = _("What its places brought in is income of that day. Places can still be sold and taken back afterwards.")

    def initial(self) -> dict[str, Any]:
        return {"on": min(self.subject.held_on, today()), **super().initial()}

    def act(self, form: VerbForm, **common: Any) -> WorkshopHeld:
        return actions.hold_workshop(workshop=self.subject, on=form.cleaned_data["on"], **common)


class CallOff(Verb):
    """Call a workshop off."""

    form_class, title, may, button = CallOffForm, _("Call it off"), "selling", _("Call it off")
    subject_model, done = Workshop, _("Called off.")
    intro = _("Every place still sold is given back, and what was paid for it returned, on that day.")

    def act(self, form: CallOffForm, **common: Any) -> WorkshopCalledOff:
        return actions.call_off(workshop=self.subject, **form.given(), **common)


class UndoWorkshop(Undo):
    """Undo a workshop."""

    subject_model, may, fact_name = Workshop, "selling", "workshop"
    undoing = staticmethod(actions.undo_workshop)


class UndoPlacesSold(Undo):
    """Undo a selling of places."""

    subject_model, may, fact_name = PlacesSold, "selling", "places_sold"
    undoing = staticmethod(actions.undo_places_sold)


class UndoPlacesGivenBack(Undo):
    """Undo a giving back of places."""

    subject_model, may, fact_name = PlacesGivenBack, "selling", "places_given_back"
    undoing = staticmethod(actions.undo_places_given_back)


class UndoWorkshopHeld(Undo):
    """Undo the holding of a workshop."""

    subject_model, may, fact_name = WorkshopHeld, "selling", "workshop_held"
    undoing = staticmethod(actions.undo_workshop_held)


class UndoCallingOff(Undo):
    """Undo a calling off."""

    subject_model, may, fact_name = WorkshopCalledOff, "selling", "workshop_called_off"
    undoing = staticmethod(actions.undo_calling_off)
