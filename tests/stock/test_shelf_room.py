"""How full shelves are."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse

from ledger.facts.queries import today
from ledger.stock.actions import set_shelf_room, undo_shelf_room
from ledger.stock.models import ShelfRoom
from ledger.stock.queries import shelves_filled
from tests.factories.stock import BoxFactory, LineFactory, batch_of
from tests.refusals import refused
from tests.stock.browsing import press, words

AUGUST_1 = date(2024, 8, 1)


def full():
    """Each shelf: bunches, room, per cent, what would still fit."""
    return {one.name: (one.bunches, one.room, one.full, one.left) for one in shelves_filled()}


@pytest.fixture
def boxed(owner):
    """Five on A1, twelve on A2, none on A3."""
    line = LineFactory()
    batch_of(line, 5, box=BoxFactory(shelf="A1"))
    batch_of(line, 12, box=BoxFactory(shelf="A2"))
    BoxFactory(shelf="A3")


def test_a_shelf_is_as_full_as_its_room_says(owner, boxed):
    """Five of eight are 62.5, said as 63 per cent; twelve of ten are too many; of the third nobody said; a fourth has no box."""
    for shelf, bunches in (("A1", 8), (" A2 ", 10), ("B1", 4)):
        set_shelf_room(by=owner, on=AUGUST_1, shelf=shelf, bunches=bunches)

    assert full() == {"A1": (5, 8, 63, 3), "A2": (12, 10, 120, -2), "A3": (0, None, None, None), "B1": (0, 4, 0, 4)}


def test_the_latest_holds_and_undone_the_one_before(owner, boxed):
    """Said anew from a later day; undone once."""
    set_shelf_room(by=owner, on=AUGUST_1, shelf="A1", bunches=8)
    later = set_shelf_room(by=owner, on=AUGUST_1 + timedelta(9), shelf="A1", bunches=10)
    assert full()["A1"] == (5, 10, 50, 5)

    undo_shelf_room(by=owner, shelf_room=later)

    assert full()["A1"] == (5, 8, 63, 3)
    with refused("already_undone"):
        undo_shelf_room(by=owner, shelf_room=later)


@pytest.mark.parametrize("wrong", [{"bunches": 0}, {"bunches": 100_001}, {"shelf": "  "}, {"on": today}])
def test_what_makes_no_sense_is_refused(owner, wrong):
    """No room, too much, no name, a day to come."""
    given = {"on": AUGUST_1, "shelf": "A1", "bunches": 8, **wrong}
    given["on"] = today() + timedelta(1) if given["on"] is today else given["on"]
    with pytest.raises(ValidationError):
        set_shelf_room(by=owner, **given)
    assert not ShelfRoom.objects.exists()


def test_who_may(hand, seller):
    """Whoever boxes."""
    with pytest.raises(PermissionDenied):
        set_shelf_room(by=seller, on=AUGUST_1, shelf="A1", bunches=8)
    assert set_shelf_room(by=hand, on=AUGUST_1, shelf="A1", bunches=8).pk


def test_said_on_the_page_and_undone_there(as_owner, boxed):
    """From the shelf's row; then it says how full it is, and which is too full."""
    ask = f"{reverse('stock:set_shelf_room')}?shelf=A2"
    assert ask in words(as_owner, "stock:shelves")
    assert as_owner.get(ask).context["form"]["shelf"].value() == "A2"

    answer = press(as_owner, "stock:set_shelf_room", shelf="A2", bunches=10)
    said = words(as_owner, "stock:shelves")

    assert answer["Location"] == reverse("stock:shelves")
    assert "120 %" in said and "too full" in said and ask not in said
    press(as_owner, "stock:undo_shelf_room", ShelfRoom.objects.get().pk, number=2)
    assert ask in words(as_owner, "stock:shelves")
