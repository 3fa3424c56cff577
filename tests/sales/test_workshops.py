"""Workshops: offered, sold by places, held or called off."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.sales.actions import (
    blank_customer,
    call_off,
    give_places_back,
    hold_workshop,
    offer_workshop,
    sell_places,
    take_bunches_for,
    undo_calling_off,
    undo_places_given_back,
    undo_places_sold,
    undo_taken,
    undo_workshop,
    undo_workshop_held,
)
from ledger.sales.queries.workshops import money_held, money_still_held, places_left, places_still_sold
from tests.factories.daybook import WorkFactory
from tests.factories.pricing import StallFactory
from tests.factories.sales import CustomerFactory, ready
from tests.factories.workshops import HELD, OFFERED, SOLD, PlacesFactory, WorkshopFactory
from tests.refusals import refused

DAY = timedelta(1)


def test_a_workshop_is_offered_for_a_day_to_come(owner: User) -> None:
    """Planned days are no facts: it may be held next year."""
    workshop = offer_workshop(
        by=owner, on=OFFERED, name="Dried wreaths", way=StallFactory(), held_on=date(2099, 5, 1), places=8, price=4500
    )

    assert (places_left(workshop), money_held(workshop)) == (8, 0)
    assert (str(workshop), workshop.cost_object.kind) == ("Dried wreaths, 2099-05-01", "workshop")


def test_a_workshop_is_not_before_it_was_offered(owner: User) -> None:
    """On the day itself it may be."""
    with refused("too_early"):
        WorkshopFactory(held_on=OFFERED - DAY)
    assert WorkshopFactory(held_on=OFFERED).held_on == OFFERED


@pytest.mark.parametrize("wrong", [{"places": 0}, {"places": 501}, {"price": -1}])
def test_absurd_numbers_are_refused(owner: User, wrong: dict[str, int]) -> None:
    """No places, far too many, a price below zero."""
    with pytest.raises(ValidationError):
        WorkshopFactory(**wrong)


def test_places_are_sold_at_the_price_offered_or_another(owner: User) -> None:
    """Two at 45.00 and one at 40.00 to somebody named: five are left, 130.00 is held."""
    workshop, customer = WorkshopFactory(), CustomerFactory(trade=False)
    sell_places(by=owner, workshop=workshop, on=SOLD, places=2, who="two friends", paid="card")
    sell_places(by=owner, workshop=workshop, on=SOLD, places=1, price=4000, customer=customer, paid="transfer")

    assert (places_left(workshop), money_held(workshop)) == (5, 13000)


def test_no_more_places_than_there_are(owner: User) -> None:
    """The last place is sold, one more is not, nor on an earlier day."""
    workshop = WorkshopFactory()
    PlacesFactory(workshop=workshop, places=7)

    for on in (SOLD, SOLD - DAY, SOLD + DAY):
        with refused("full"):
            sell_places(by=owner, workshop=workshop, on=on, places=2)
    sell_places(by=owner, workshop=workshop, on=SOLD, places=1)
    assert places_left(workshop) == 0


def test_places_given_back_are_sold_again_from_that_day_on(owner: User) -> None:
    """All eight sold, two given back on the 20th: two more on that day, none the day before."""
    workshop = WorkshopFactory()
    sold = PlacesFactory(workshop=workshop, places=8)
    back_on = date(2024, 10, 20)
    give_places_back(by=owner, sold=sold, on=back_on, places=2, returned=9000)

    with refused("full"):
        sell_places(by=owner, workshop=workshop, on=back_on - DAY, places=1)
    sell_places(by=owner, workshop=workshop, on=back_on, places=2)
    assert money_held(workshop) == 8 * 4500


def test_a_selling_is_refused_for_what_is_wrong_with_it(owner: User) -> None:
    """No place, before the offer, to nobody known any more, by no known way of paying."""
    workshop, gone = WorkshopFactory(), CustomerFactory()
    blank_customer(by=owner, customer=gone)

    with refused("too_few"):
        sell_places(by=owner, workshop=workshop, on=SOLD, places=0)
    with refused("too_early"):
        sell_places(by=owner, workshop=workshop, on=OFFERED - DAY, places=1)
    with refused("blanked"):
        sell_places(by=owner, workshop=workshop, on=SOLD, places=1, customer=gone)
    with pytest.raises(ValidationError):
        sell_places(by=owner, workshop=workshop, on=SOLD, places=1, paid="shells")


def test_what_is_not_returned_stays(owner: User) -> None:
    """Of three places two go back for 50.00 of their 90.00: one is still theirs, 85.00 is held."""
    sold = PlacesFactory(places=3)

    give_places_back(by=owner, sold=sold, on=SOLD, places=2, returned=5000)

    assert (places_still_sold(sold), money_still_held(sold), places_left(sold.workshop)) == (1, 8500, 7)


def test_no_more_goes_back_than_was_sold(owner: User) -> None:
    """Places, money and days each have their bound."""
    sold = PlacesFactory(places=2)
    give_places_back(by=owner, sold=sold, on=SOLD, places=1, returned=4500)
    given = {"by": owner, "sold": sold, "on": SOLD, "places": 1, "returned": 4500}

    with refused("too_many"):
        give_places_back(**given | {"places": 2})
    with refused("too_much"):
        give_places_back(**given | {"returned": 4501})
    with refused("too_few"):
        give_places_back(**given | {"places": 0})
    with refused("too_early"):
        give_places_back(**given | {"on": SOLD - DAY})
    give_places_back(**given)
    assert money_held(sold.workshop) == 0


def test_given_back_is_undone_unless_sold_again(owner: User) -> None:
    """The two given back were sold to others: only when those are undone are they theirs again."""
    workshop = WorkshopFactory()
    sold = PlacesFactory(workshop=workshop, places=8)
    back = give_places_back(by=owner, sold=sold, on=SOLD, places=2, returned=9000)
    others = sell_places(by=owner, workshop=workshop, on=SOLD + DAY, places=1)

    with refused("full"):
        undo_places_given_back(by=owner, places_given_back=back)
    with refused("rested_on"):
        undo_places_sold(by=owner, places_sold=sold)
    undo_places_sold(by=owner, places_sold=others)
    undo_places_given_back(by=owner, places_given_back=back)
    undo_places_sold(by=owner, places_sold=sold)
    undo_workshop(by=owner, workshop=workshop)
    assert not workshop.places_sold.standing().exists()


def test_it_is_held_once_at_the_rate_of_the_day(owner: User) -> None:
    """On another day than planned, with the tax rate then; undone, it can be held again."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="123")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    workshop = WorkshopFactory()

    held = hold_workshop(by=owner, workshop=workshop, on=HELD + DAY)

    assert (held.on, held.rate_bp) == (HELD + DAY, 2000)
    with refused("held_already"):
        hold_workshop(by=owner, workshop=workshop, on=HELD)
    with refused("held_already"):
        call_off(by=owner, workshop=workshop, on=HELD)
    undo_workshop_held(by=owner, workshop_held=held)
    hold_workshop(by=owner, workshop=workshop, on=HELD)


def test_it_is_not_held_before_it_was_offered(owner: User) -> None:
    """Nor called off."""
    workshop = WorkshopFactory()
    with refused("too_early"):
        hold_workshop(by=owner, workshop=workshop, on=OFFERED - DAY)
    with refused("too_early"):
        call_off(by=owner, workshop=workshop, on=OFFERED - DAY)


def test_after_it_was_held_places_are_still_sold_and_given_back(owner: User) -> None:
    """One who came unasked pays the day after, one who fell ill gets something back."""
    sold = PlacesFactory(places=2)
    hold_workshop(by=owner, workshop=sold.workshop, on=HELD)

    sell_places(by=owner, workshop=sold.workshop, on=HELD + DAY, places=1)
    give_places_back(by=owner, sold=sold, on=HELD + DAY, places=1, returned=2000)

    assert (places_left(sold.workshop), money_held(sold.workshop)) == (6, 11500)


def test_called_off_all_is_given_back_in_full(owner: User) -> None:
    """Two at 45.00; three at 40.00 of which one went back before for nothing: 170.00 goes back, 40.00 was forfeited."""
    workshop = WorkshopFactory()
    PlacesFactory(workshop=workshop, places=2)
    others = sell_places(by=owner, workshop=workshop, on=SOLD, places=3, price=4000)
    give_places_back(by=owner, sold=others, on=SOLD, places=1, returned=0)

    called_off = call_off(by=owner, workshop=workshop, on=date(2024, 11, 1), why="too few")

    rows = called_off.given_back.order_by("pk").values_list("places", "returned", "on")
    assert list(rows) == [(2, 9000, date(2024, 11, 1)), (2, 8000, date(2024, 11, 1))]
    assert (places_left(workshop), money_held(workshop)) == (8, 4000)


def test_nothing_more_is_done_with_one_called_off(owner: User) -> None:
    """No selling, no holding, no calling off anew, no undoing of a part."""
    sold = PlacesFactory()
    called_off = call_off(by=owner, workshop=sold.workshop, on=SOLD)

    with refused("called_off"):
        sell_places(by=owner, workshop=sold.workshop, on=SOLD, places=1)
    with refused("called_off"):
        hold_workshop(by=owner, workshop=sold.workshop, on=HELD)
    with refused("called_off"):
        call_off(by=owner, workshop=sold.workshop, on=HELD)
    with refused("part_of_more"):
        undo_places_given_back(by=owner, places_given_back=called_off.given_back.get())
    with refused("rested_on"):
        undo_places_sold(by=owner, places_sold=sold)


def test_it_is_not_called_off_before_its_last_selling(owner: User) -> None:
    """Money cannot go back before it came."""
    sold = PlacesFactory()
    with refused("too_early"):
        call_off(by=owner, workshop=sold.workshop, on=SOLD - DAY)
    call_off(by=owner, workshop=sold.workshop, on=SOLD)


def test_a_calling_off_is_undone_in_one_step(owner: User) -> None:
    """Every place is theirs again, and it can be held."""
    sold = PlacesFactory()
    called_off = call_off(by=owner, workshop=sold.workshop, on=SOLD)

    undo_calling_off(by=owner, workshop_called_off=called_off)

    assert (places_left(sold.workshop), money_held(sold.workshop)) == (6, 9000)
    hold_workshop(by=owner, workshop=sold.workshop, on=HELD)
    with refused("already_undone"):
        undo_calling_off(by=owner, workshop_called_off=called_off)


def test_a_giving_back_before_is_not_undone_while_it_is_called_off(owner: User) -> None:
    """The place would be sold of a workshop that is not held; the calling off is undone first."""
    workshop = WorkshopFactory()
    sold = PlacesFactory(workshop=workshop, places=2)
    back = give_places_back(by=owner, sold=sold, on=SOLD + DAY, places=1, returned=0)
    off = call_off(by=owner, workshop=workshop, on=SOLD + DAY)

    with refused("called_off"):
        undo_places_given_back(by=owner, places_given_back=back)
    undo_calling_off(by=owner, workshop_called_off=off)
    assert undo_places_given_back(by=owner, places_given_back=back).undone_at


def test_nobody_with_a_place_to_come_is_blanked(owner: User) -> None:
    """Once it was held their name may go."""
    sold = PlacesFactory(customer=CustomerFactory())

    with refused("still_open"):
        blank_customer(by=owner, customer=sold.customer)
    hold_workshop(by=owner, workshop=sold.workshop, on=HELD)
    assert blank_customer(by=owner, customer=sold.customer).blanked_at


def test_a_workshop_something_rests_on_is_not_undone(owner: User) -> None:
    """Bunches taken for it, or work spent on it."""
    stock, workshop, other = ready(20), WorkshopFactory(), WorkshopFactory()
    taken = take_bunches_for(by=owner, work=workshop, on=HELD, line=stock.line, bunches=4)
    WorkFactory(on=HELD, spent_on=[(other.cost_object, 1)])

    for one in (workshop, other):
        with refused("rested_on"):
            undo_workshop(by=owner, workshop=one)
    undo_taken(by=owner, taken=taken)
    undo_workshop(by=owner, workshop=workshop)


def test_an_undone_workshop_sells_nothing(owner: User) -> None:
    """A form opened before the undoing is refused."""
    workshop = WorkshopFactory()
    undo_workshop(by=owner, workshop=workshop)
    with refused("undone"):
        sell_places(by=owner, workshop=workshop, on=SOLD, places=1)


def test_pressed_twice_it_is_sold_once(owner: User) -> None:
    """The second press gives the first result."""
    workshop = WorkshopFactory()
    given = {"by": owner, "workshop": workshop, "on": SOLD, "places": 2, "key": "a-key"}

    assert sell_places(**given) == sell_places(**given)
    assert places_left(workshop) == 6


def test_who_may(owner: User, hand: User, seller: User) -> None:
    """Sellers sell places; hands do not."""
    workshop = WorkshopFactory()
    sell_places(by=seller, workshop=workshop, on=SOLD, places=1)
    with pytest.raises(PermissionDenied):
        sell_places(by=hand, workshop=workshop, on=SOLD, places=1)
