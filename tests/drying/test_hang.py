"""Hanging part of a lot."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.drying.actions import hang, rename_place, take_down, undo_hanging
from ledger.drying.models import Hanging, Place
from ledger.drying.queries import overfull_places, room_taken_on
from ledger.facts.models import Amendment, CostObject
from ledger.growing.queries import stems_left_ever
from ledger.reckoning.overfull import Overfull
from tests.factories.drying import HangingFactory, LotFactory, PlaceFactory
from tests.refusals import refused

JULY_2, JULY_9, JULY_20 = date(2024, 7, 2), date(2024, 7, 9), date(2024, 7, 20)


def test_stems_hung_leave_the_water(hand):
    """What hangs is no longer in water, and can be spent on under its own key."""
    lot, place = LotFactory(stems=300), PlaceFactory()

    hanging = hang(by=hand, lot=lot, on=JULY_2, place=place, stems=200, room=4, bundles=8)

    assert (hanging.stems, hanging.room, hanging.bundles, hanging.parting.way) == (200, 4, 8, "hung")
    assert stems_left_ever(lot) == 100
    assert CostObject.objects.get(pk=hanging.pk).kind == "hanging"


def test_more_than_is_in_water_cannot_be_hung(owner):
    """Stems hang once: 100 are left of 300 when 200 hang."""
    lot = LotFactory(stems=300)
    HangingFactory(lot=lot, stems=200)

    with refused("too_many"):
        hang(by=owner, lot=lot, on=JULY_2, place=PlaceFactory(), stems=101)


def test_nothing_hangs_before_it_is_cut(owner):
    """A lot cut on 1 July cannot hang on 30 June."""
    with refused("too_early"):
        hang(by=owner, lot=LotFactory(), on=date(2024, 6, 30), place=PlaceFactory(), stems=1)


def test_a_full_place_takes_no_more(owner):
    """Ten hooks, seven taken: three go up, four do not."""
    place, lot = PlaceFactory(room=10), LotFactory()
    HangingFactory(place=place, lot=lot, room=7)

    with refused("no_room"):
        hang(by=owner, lot=lot, on=JULY_2, place=place, stems=10, room=4)
    hang(by=owner, lot=lot, on=JULY_2, place=place, stems=10, room=3)

    assert room_taken_on(place, JULY_2) == 10


def test_a_hanging_entered_late_stands_though_its_hooks_were_given_away_since(owner):
    """It hung from 2 July, and all ten hooks are entered as taken from the 9th: that has happened, and is shown."""
    place, lot = PlaceFactory(room=10), LotFactory()
    HangingFactory(place=place, lot=lot, on=JULY_9, room=10)

    late = hang(by=owner, lot=lot, on=JULY_2, place=place, stems=10, room=1)
    assert overfull_places(None) == [(place, Overfull(JULY_9, None, 11, JULY_9))]
    take_down(by=owner, hanging=late, on=JULY_9, stems=10)
    assert overfull_places(None) == []


def test_a_place_that_fits_again_is_not_named_after_those_days(owner):
    """Too full up to 19 July: named while that day is open, not after."""
    place, lot = PlaceFactory(room=10), LotFactory()
    full = HangingFactory(place=place, lot=lot, on=JULY_9, room=10, stems=10)
    take_down(by=owner, hanging=full, on=JULY_20, stems=10)
    hang(by=owner, lot=lot, on=JULY_2, place=place, stems=10, room=1)

    assert [one.until for _, one in overfull_places(date(2024, 7, 18))] == [JULY_20]
    assert overfull_places(date(2024, 7, 19)) == []


def test_room_is_free_again_the_day_the_last_stem_comes_down(owner):
    """A place taken until 20 July takes the next that day, and not the day before."""
    place, lot = PlaceFactory(room=1), LotFactory()
    first = HangingFactory(place=place, lot=lot, stems=50)
    take_down(by=owner, hanging=first, on=JULY_20, stems=50)

    with refused("no_room"):
        hang(by=owner, lot=lot, on=date(2024, 7, 19), place=place, stems=50)
    assert hang(by=owner, lot=lot, on=JULY_20, place=place, stems=50).on == JULY_20
    assert Place.objects.with_room_taken(date(2024, 7, 19)).get().room_taken == 1
    assert Place.objects.with_room_taken(date(2024, 7, 1)).get().room_taken == 0


@pytest.mark.parametrize(("stems", "room"), [(0, 1), (-5, 1), (10, 0)])
def test_absurd_numbers_are_refused(owner, stems, room):
    """Nothing less than one stem on one hook hangs."""
    lot = LotFactory()

    with refused("min_value"):
        hang(by=owner, lot=lot, on=JULY_2, place=PlaceFactory(), stems=stems, room=room)
    assert stems_left_ever(lot) == 1000


def test_the_second_press_hangs_once(owner):
    """One form makes one hanging."""
    given = {"by": owner, "lot": LotFactory(), "on": JULY_2, "place": PlaceFactory(), "stems": 10, "key": "a-form"}

    assert hang(**given) == hang(**given)
    assert Hanging.objects.count() == 1


def test_a_seller_does_not_hang(seller):
    """Hanging is the loft's work."""
    with pytest.raises(PermissionDenied):
        hang(by=seller, lot=LotFactory(), on=JULY_2, place=PlaceFactory(), stems=10)


def test_undoing_puts_the_stems_back_in_water(owner):
    """An undone hanging takes no stems and no room."""
    hanging = HangingFactory(stems=200)
    lot, place = hanging.parting.lot, hanging.place

    undo_hanging(by=owner, hanging=hanging)

    assert stems_left_ever(lot) == 1000
    assert room_taken_on(place, JULY_2) == 0
    with refused("already_undone"):
        undo_hanging(by=owner, hanging=hanging)


def test_a_hanging_with_stems_down_is_not_undone(owner):
    """What came down rests on what hung."""
    hanging = HangingFactory(stems=100)
    take_down(by=owner, hanging=hanging, on=JULY_20, stems=1)

    with refused("rested_on"):
        undo_hanging(by=owner, hanging=hanging)


def test_a_place_renamed_keeps_its_old_name_in_the_history(owner):
    """Names change with a history, and what was spent on shows the new one."""
    place = PlaceFactory(name="Loft")

    place = rename_place(by=owner, place=place, name="High loft", seen={"name": "Loft"})

    assert (place.name, place.cost_object.label) == ("High loft", "High loft")
    assert Amendment.objects.get().before == "Loft"
    with refused("stale_form"):
        rename_place(by=owner, place=place, name="Barn", seen={"name": "Loft"})
