"""Workshops: offered, their places sold and given back, held or called off."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.queries import tax_rate_on
from ledger.facts.writing import action, mark_undone, open_cost_object, record, refusal, require_standing
from ledger.pricing.models import Way
from ledger.pricing.queries.words import in_money
from ledger.sales.models import Customer, PlacesGivenBack, PlacesSold, Workshop, WorkshopCalledOff, WorkshopHeld
from ledger.sales.queries.workshops import money_still_held, places_left, places_still_sold

from .customers import require_named


@action("selling")
def offer_workshop(
    *, by: User, on: date, name: str, way: Way, held_on: date, places: int, price: int, note: str = ""
) -> Workshop:
    """Offer a workshop on a day, with so many places at a price each (minor units as the way keeps prices)."""
    if held_on < on:
        raise refusal("held_on", _("A workshop cannot be before the day it was offered."), code="too_early")
    cost_object = open_cost_object("workshop", f"{name}, {held_on}")
    workshop = Workshop(
        cost_object=cost_object, on=on, name=name, way=way, held_on=held_on, places=places, price=price, note=note
    )
    return record(workshop, by=by)


@action("selling")
def undo_workshop(*, by: User, workshop: Workshop) -> Workshop:
    """Undo a workshop of which nothing was sold and for which nothing was taken or spent."""
    return undo_within(workshop, by=by)


@action("selling")
def sell_places(
    *, by: User, workshop: Workshop, on: date, places: int, price: int | None = None, customer: Customer | None = None,
    who: str = "", paid: str = "cash",
) -> PlacesSold:
    """Sell places of a workshop, never more than are left; `price` of one in minor units, None: as offered."""
    workshop = _open(workshop, on)
    if customer is not None:
        require_named(customer)
    if places < 1:
        raise refusal("places", _("Give at least one."), code="too_few")
    left = max(places_left(workshop, on), 0)
    if places > left:
        raise refusal("places", _("Of its %(places)d places %(left)d are left."), code="full", left=left, places=workshop.places)
    sold = PlacesSold(
        on=on, workshop=workshop, places=places, price=workshop.price if price is None else price, customer=customer, who=who,
        paid=paid,
    )
    return record(sold, by=by)


def _open(workshop: Workshop, on: date) -> Workshop:
    """The workshop as it stands now, locked; refused before it was offered and once it was called off."""
    workshop = Workshop.objects.lock(workshop)
    require_standing(workshop)
    if on < workshop.on:
        raise refusal("on", _("It was offered only on %(on)s."), code="too_early", on=workshop.on)
    if workshop.called_off.standing().exists():
        raise refusal(None, _("That workshop is called off. Undo that first, if it took place after all."), code="called_off")
    return workshop


@action("selling")
def undo_places_sold(*, by: User, places_sold: PlacesSold) -> PlacesSold:
    """Undo a selling of places of which none was given back."""
    Workshop.objects.lock(places_sold.workshop)
    return undo_within(places_sold, by=by)


@action("selling")
def give_places_back(*, by: User, sold: PlacesSold, on: date, places: int, returned: int) -> PlacesGivenBack:
    """Record places a buyer gave back and the money returned for all of them, minor units; what is not stays income."""
    Workshop.objects.lock(sold.workshop)
    sold = PlacesSold.objects.lock(sold)
    require_standing(sold)
    if on < sold.on:
        raise refusal("on", _("They were sold only on %(on)s."), code="too_early", on=sold.on)
    if places < 1:
        raise refusal("places", _("Give at least one."), code="too_few")
    left, held = places_still_sold(sold), money_still_held(sold)
    if places > left:
        raise refusal("places", _("Only %(left)d of those places are still theirs."), code="too_many", left=left)
    if returned > held:
        raise refusal("returned", _("Only %(held)s of that money is still here."), code="too_much", held=in_money(held))
    return record(PlacesGivenBack(on=on, sold=sold, places=places, returned=returned), by=by)


@action("selling")
def undo_places_given_back(*, by: User, places_given_back: PlacesGivenBack) -> PlacesGivenBack:
    """Undo a giving back: the places are theirs again, unless they were sold to somebody else since."""
    workshop = Workshop.objects.lock(places_given_back.sold.workshop)
    if places_given_back.called_off_id is not None:
        raise refusal(None, _("They went back as the workshop was called off. Undo that instead."), code="part_of_more")
    if workshop.called_off.standing().exists():
        raise refusal(None, _("That workshop is called off. Undo that first, if it took place after all."), code="called_off")
    undone = undo_within(places_given_back, by=by)
    if places_left(workshop, undone.on) < 0:
        raise refusal(None, _("Those places were sold to somebody else since."), code="full")
    return undone


@action("selling")
def hold_workshop(*, by: User, workshop: Workshop, on: date) -> WorkshopHeld:
    """Record that a workshop was held on a day: what its places brought in by then is income of that day."""
    workshop = _open(workshop, on)
    _require_not_held(workshop)
    return record(WorkshopHeld(on=on, workshop=workshop, rate_bp=tax_rate_on(on)), by=by)


def _require_not_held(workshop: Workshop) -> None:
    held = workshop.holdings.standing().first()
    if held is not None:
        raise refusal(None, _("It was held on %(on)s."), code="held_already", on=held.on)


@action("selling")
def undo_workshop_held(*, by: User, workshop_held: WorkshopHeld) -> WorkshopHeld:
    """Undo the holding of a workshop: the money for its places is owed again."""
    Workshop.objects.lock(workshop_held.workshop)
    return undo_within(workshop_held, by=by)


@action("selling")
def call_off(*, by: User, workshop: Workshop, on: date, why: str = "") -> WorkshopCalledOff:
    """Call a workshop off: every place still sold is given back in full that day."""
    workshop = _open(workshop, on)
    _require_not_held(workshop)
    sold = [one for one in workshop.places_sold.standing().order_by("pk") if places_still_sold(one)]
    last = max((one.on for one in sold), default=on)
    if on < last:
        raise refusal("on", _("Places were sold on %(on)s."), code="too_early", on=last)
    called_off = record(WorkshopCalledOff(on=on, workshop=workshop, why=why), by=by)
    for one in sold:
        _give_all_back(by, called_off, one)
    return called_off


def _give_all_back(by: User, called_off: WorkshopCalledOff, sold: PlacesSold) -> None:
    left = places_still_sold(sold)
    returned = min(left * sold.price, money_still_held(sold))
    record(PlacesGivenBack(on=called_off.on, sold=sold, places=left, returned=returned, called_off=called_off), by=by)


@action("selling")
def undo_calling_off(*, by: User, workshop_called_off: WorkshopCalledOff) -> WorkshopCalledOff:
    """Undo a calling off in one step: every place is as it was, its money held again."""
    Workshop.objects.lock(workshop_called_off.workshop)
    called_off = WorkshopCalledOff.objects.lock(workshop_called_off)
    for back in called_off.given_back.standing().order_by("-pk"):
        mark_undone(back, by=by)
    return mark_undone(called_off, by=by)
