"""The pages of workshops."""

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.models import User
from ledger.sales.actions import bring_bunches_back, call_off, give_places_back, hold_workshop, take_bunches_for, take_stems_for
from ledger.sales.models import Taken, Workshop
from tests.factories.daybook import WorkFactory
from tests.factories.drying import LotFactory
from tests.factories.pricing import StallFactory, TradeFactory
from tests.factories.sales import CustomerFactory, ready
from tests.factories.workshops import HELD, OFFERED, SOLD, PlacesFactory, WorkshopFactory
from tests.sales.forms import fill

As = Callable[[User], Client]


def words(client: Client, workshop: Workshop) -> str:
    """What the page of a workshop says."""
    return client.get(workshop.get_absolute_url()).content.decode()


def test_a_workshop_is_offered_from_its_form(owner: User, client_as: As) -> None:
    """Of several ways none is chosen, so that it must be said; the day may lie ahead."""
    TradeFactory()
    stall = StallFactory()
    client, url = client_as(owner), reverse("sales:new_workshop")
    typed = {"name": "Wreaths", "held_on": "2030-05-01", "places": 8, "price": "45.00"}
    assert "way" in fill(client, url, **typed).context["form"].errors

    answer = fill(client, url, **typed, way=stall.pk)

    workshop = Workshop.objects.get()
    assert answer.status_code == 302 and answer["Location"] == workshop.get_absolute_url()
    assert (workshop.way, workshop.price, workshop.places) == (stall, 4500, 8)


def test_its_page_shows_places_people_money_and_what_was_taken(owner: User, client_as: As) -> None:
    """Two places sold to a named customer and one given back; four bunches and ten stems taken, one bunch back."""
    stock, workshop = ready(20), WorkshopFactory()
    sold = PlacesFactory(workshop=workshop, customer=CustomerFactory(name="Sedge Rowan"), who="and a friend")
    give_places_back(by=owner, sold=sold, on=SOLD, places=1, returned=2000)
    taken = take_bunches_for(by=owner, work=workshop, on=HELD, line=stock.line, bunches=4)
    take_stems_for(by=owner, work=workshop, on=HELD, lot=LotFactory(stems=50), stems=10)
    bring_bunches_back(by=owner, taken=taken, on=HELD, bunches=1)
    WorkFactory(on=HELD, minutes=45, spent_on=[(workshop.cost_object, 1)])

    said = words(client_as(owner), workshop)

    people, things = ("1 of 8 sold", "7 left", "Sedge Rowan", "and a friend"), ("4 taken of", "10 fresh stems of", "1 came back")
    for what in (*people, "70.00", "20.00", *things, ">45<"):
        assert what in said, what
    for name in ("sell_places", "take_for_workshop", "take_stems_for_workshop", "back_for_workshop", "hold_workshop", "call_off"):
        assert reverse(f"sales:{name}", args=[workshop.pk]) in said, name
    assert f"{reverse('daybook:use_material')}?spent_on={workshop.pk}" in said


def test_a_hand_sees_no_money(owner: User, hand: User, client_as: As) -> None:
    """Neither price nor what was paid; but what was taken, and the way to take more."""
    sold = PlacesFactory()
    client = client_as(hand)

    said = words(client, sold.workshop) + client.get(reverse("sales:workshops")).content.decode()

    assert "45.00" not in said and "90.00" not in said
    assert reverse("sales:take_for_workshop", args=[sold.workshop_id]) in said
    assert reverse("sales:sell_places", args=[sold.workshop_id]) not in said


def test_places_are_sold_and_taken_back_from_their_forms(owner: User, client_as: As) -> None:
    """Two sold at the price offered; taking back proposes all of them and all their money."""
    workshop, client = WorkshopFactory(), client_as(owner)

    fill(client, reverse("sales:sell_places", args=[workshop.pk]), places=2, on=SOLD.isoformat(), paid="card")
    sold = workshop.places_sold.get()
    back = reverse("sales:give_places_back", args=[sold.pk])
    assert client.get(back).context["form"].initial["returned"] == 9000
    fill(client, back, on=SOLD.isoformat())

    assert (sold.price, sold.paid, sold.given_back.get().places, sold.given_back.get().returned) == (4500, "card", 2, 9000)


def test_a_full_workshop_says_so_on_the_field(owner: User, client_as: As) -> None:
    """Nothing is sold."""
    sold = PlacesFactory(places=7)
    answer = fill(client_as(owner), reverse("sales:sell_places", args=[sold.workshop_id]), places=2, on=SOLD.isoformat())

    assert answer.status_code == 422
    assert answer.context["form"].errors["places"] == ["Of its 8 places 1 are left."]


def test_held_and_called_off_are_said_with_the_way_to_undo_them(owner: User, client_as: As) -> None:
    """Held: its money is what was taken; called off: nothing more can be sold."""
    one, other = PlacesFactory().workshop, PlacesFactory().workshop
    held = hold_workshop(by=owner, workshop=one, on=HELD)
    off = call_off(by=owner, workshop=other, on=SOLD, why="too few")
    client = client_as(owner)

    assert reverse("sales:undo_workshop_held", args=[held.pk]) in words(client, one)
    said = words(client, other)
    assert reverse("sales:undo_calling_off", args=[off.pk]) in said and "too few" in said
    assert reverse("sales:sell_places", args=[other.pk]) not in said


@pytest.mark.parametrize(("state", "shown"), [("to_come", set()), ("past", {"A"}), ("held", {"B"}), ("called_off", {"C"})])
def test_the_list_is_sifted_by_how_they_stand(owner: User, client_as: As, state: str, shown: set[str]) -> None:
    """One past its day, one held, one called off."""
    WorkshopFactory(name="A")
    hold_workshop(by=owner, workshop=WorkshopFactory(name="B"), on=HELD)
    call_off(by=owner, workshop=WorkshopFactory(name="C"), on=OFFERED)

    answer = client_as(owner).get(reverse("sales:workshops"), {"state": state})

    assert {row.name for row in answer.context["object_list"]} == shown


def test_the_page_asks_the_same_however_much_there_is(
    owner: User, client_as: As, django_assert_max_num_queries: Callable[[int], object]
) -> None:
    """Twelve sellings and twelve takings cost no more statements than one of each."""
    stock, workshop = ready(40), WorkshopFactory(places=40)
    for _n in range(12):
        PlacesFactory(workshop=workshop, places=1)
        take_bunches_for(by=owner, work=workshop, on=HELD, line=stock.line, bunches=1)
    client = client_as(owner)
    client.get(workshop.get_absolute_url())

    with django_assert_max_num_queries(30):
        client.get(workshop.get_absolute_url())
    with django_assert_max_num_queries(15):
        client.get(reverse("sales:workshops"))
    assert Taken.objects.count() == 12


def test_the_day_it_was_held_is_proposed_as_planned(owner: User, client_as: As) -> None:
    """Entered late, its planned day; never a day to come."""
    workshop = WorkshopFactory()
    form = client_as(owner).get(reverse("sales:hold_workshop", args=[workshop.pk])).context["form"]

    assert form.initial["on"] == date(2024, 11, 16)
