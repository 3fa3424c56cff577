"""Moving a hanging, or part of it, to another place."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.drying.actions import hang, move_hanging, take_down, undo_hanging, undo_taking_down
from ledger.drying.models import Hanging
from ledger.drying.queries import UsualDays, due_down, overfull_in, room_taken_by_day, stems_still_up, usual_days
from tests.factories.drying import HangingFactory, LotFactory, PlaceFactory
from tests.refusals import refused

JULY_2, JULY_10, JULY_15, JULY_20 = date(2024, 7, 2), date(2024, 7, 10), date(2024, 7, 15), date(2024, 7, 20)


def counted(hanging, on):
    """A hanging with its counts at the end of a day."""
    return Hanging.objects.with_stems_up(on).with_down_on().get(pk=hanging.pk)


def test_part_of_a_hanging_moves_and_the_rest_stays(hand):
    """100 hung = 40 moved on + 60 still up; the 40 are a hanging of the same parting."""
    hanging, shed = HangingFactory(stems=100, bunch_stems=10, trial=True), PlaceFactory()

    moved = move_hanging(by=hand, hanging=hanging, on=JULY_10, place=shed, stems=40, room=4)

    assert (moved.parting, moved.moved_from, moved.place) == (hanging.parting, hanging, shed)
    assert (moved.stems, moved.room, moved.bunch_stems, moved.trial) == (40, 4, 10, True)
    now = counted(hanging, JULY_10)
    assert (now.stems_up, now.moved, now.down_on, stems_still_up(hanging)) == (60, 40, None, 60)
    assert counted(hanging, date(2024, 7, 9)).stems_up == 100
    assert str(moved).endswith(f"moved 2024-07-10 to {shed}")


def test_a_hanging_is_gone_on_the_later_of_its_last_taking_and_its_last_move(owner):
    """60 down on the 20th and 40 moved on the 10th: its room is free from the 20th; the other way round too."""
    first, second = HangingFactory(stems=100), HangingFactory(stems=100)
    take_down(by=owner, hanging=first, on=JULY_20, stems=60)
    move_hanging(by=owner, hanging=first, on=JULY_10, place=PlaceFactory(), stems=40)
    take_down(by=owner, hanging=second, on=JULY_10, stems=60)
    move_hanging(by=owner, hanging=second, on=JULY_20, place=PlaceFactory(), stems=40)

    for hanging in (first, second):
        assert counted(hanging, JULY_20).down_on == JULY_20
        days = [JULY_15, JULY_20]
        assert [room_taken_by_day(hanging.place, day, day)[0][1] for day in days] == [1, 0]


def test_a_hanging_moved_whole_gives_its_room_back_that_day(owner):
    """In a full place all of it can be hung anew, as wide as before and no wider."""
    place = PlaceFactory(room=5)
    hanging = HangingFactory(stems=100, place=place, room=5)

    with refused("no_room"):
        move_hanging(by=owner, hanging=hanging, on=JULY_10, place=place, stems=100, room=6)
    with refused("no_room"):
        move_hanging(by=owner, hanging=hanging, on=JULY_10, place=place, stems=99, room=1)
    moved = move_hanging(by=owner, hanging=hanging, on=JULY_10, place=place, stems=100, room=5)

    assert list(Hanging.objects.on_round(place, JULY_10)) == [moved]


@pytest.mark.parametrize(
    ("on", "stems", "code"),
    [(date(2024, 7, 1), 10, "too_early"), (JULY_20, 0, "too_few"), (JULY_20, 51, "too_many")],
)
def test_what_cannot_be_moved(owner, on, stems, code):
    """Before it hung, nothing, or more than is still up whatever the days."""
    hanging = HangingFactory(stems=100)
    take_down(by=owner, hanging=hanging, on=JULY_20, stems=30)
    move_hanging(by=owner, hanging=hanging, on=JULY_15, place=PlaceFactory(), stems=20)

    with refused(code):
        move_hanging(by=owner, hanging=hanging, on=on, place=PlaceFactory(), stems=stems)
    with refused("too_many"):
        take_down(by=owner, hanging=hanging, on=JULY_10, stems=51)


def test_an_undone_hanging_is_not_moved(owner):
    """The form may have been open for long."""
    hanging = undo_hanging(by=owner, hanging=HangingFactory())

    with refused("undone"):
        move_hanging(by=owner, hanging=hanging, on=JULY_10, place=PlaceFactory(), stems=1)


def test_undoing_a_move_hangs_the_stems_where_they_were(owner):
    """The parting stands; the first hanging has all its stems again."""
    hanging = HangingFactory(stems=100)
    moved = move_hanging(by=owner, hanging=hanging, on=JULY_10, place=PlaceFactory(), stems=100)
    with refused("rested_on"):
        undo_hanging(by=owner, hanging=hanging)

    undo_hanging(by=owner, hanging=moved)

    hanging.parting.refresh_from_db()
    assert hanging.parting.stands and stems_still_up(hanging) == 100
    undo_hanging(by=owner, hanging=hanging)
    hanging.parting.refresh_from_db()
    assert not hanging.parting.stands


def test_a_move_that_was_built_on_is_not_undone(owner):
    """Not once stems of it came down; that its old place was taken since does not hold it up, and is shown."""
    place = PlaceFactory(room=5)
    hanging = HangingFactory(stems=100, place=place, room=5)
    moved = move_hanging(by=owner, hanging=hanging, on=JULY_10, place=PlaceFactory(), stems=100)
    taking = take_down(by=owner, hanging=moved, on=JULY_20, stems=10)
    with refused("rested_on"):
        undo_hanging(by=owner, hanging=moved)

    undo_taking_down(by=owner, taking=taking)
    HangingFactory(place=place, room=1, on=JULY_20)
    assert not undo_hanging(by=owner, hanging=moved).stands
    assert [(one.first, one.most) for one in overfull_in(place)] == [(JULY_20, 6)]


def test_a_move_entered_late_needs_room_that_day_alone(owner):
    """Full from the 15th on, the place took four hooks on the 10th; eleven hooks it never had."""
    there = PlaceFactory(room=10)
    HangingFactory(place=there, room=9, on=JULY_15)
    hanging = HangingFactory(stems=100, on=JULY_2)

    with refused("no_room"):
        move_hanging(by=owner, hanging=hanging, on=JULY_10, place=there, stems=40, room=11)
    assert move_hanging(by=owner, hanging=hanging, on=JULY_10, place=there, stems=40, room=4).stands
    assert [(one.first, one.most) for one in overfull_in(there)] == [(JULY_15, 13)]


def test_days_count_from_the_first_hanging_to_the_last_taking(owner):
    """Hung on 2 July, moved on the 10th, down on the 20th: 18 days, once, as the first place saw nothing come down."""
    hanging = HangingFactory(stems=100, on=JULY_2)
    variety = hanging.parting.lot.planting.variety
    moved = move_hanging(by=owner, hanging=hanging, on=JULY_10, place=PlaceFactory(), stems=100)
    take_down(by=owner, hanging=moved, on=JULY_20, stems=100)

    assert usual_days([variety], JULY_20) == {variety.pk: UsualDays(18, 1)}


def test_a_hanging_moved_in_part_took_as_long_as_its_takings(owner):
    """The 60 that came down on the 10th took 8 days, though 40 were moved on the 20th."""
    hanging = HangingFactory(stems=100, on=JULY_2)
    variety = hanging.parting.lot.planting.variety
    take_down(by=owner, hanging=hanging, on=JULY_10, stems=60)
    move_hanging(by=owner, hanging=hanging, on=JULY_20, place=PlaceFactory(), stems=40)

    assert usual_days([variety], JULY_20) == {variety.pk: UsualDays(8, 1)}


def test_moved_stems_are_due_counted_from_the_day_they_were_hung(owner):
    """Such stems take 8 days; those moved on the 9th are due on the 10th all the same."""
    lot = LotFactory()
    done = HangingFactory(lot=lot, stems=10, on=JULY_2)
    take_down(by=owner, hanging=done, on=JULY_10, stems=10)
    moved = move_hanging(
        by=owner, hanging=HangingFactory(lot=lot, stems=10, on=JULY_2), on=date(2024, 7, 9), place=PlaceFactory(), stems=10
    )

    assert [(up.hanging, up.days) for up in due_down(JULY_10)] == [(moved, 8)]


def test_a_move_pressed_twice_counts_once(owner):
    """The second press returns the first move."""
    given = {"hanging": HangingFactory(stems=100), "place": PlaceFactory(), "on": JULY_10, "stems": 40}

    first = move_hanging(by=owner, key="a-form", **given)

    assert move_hanging(by=owner, key="a-form", **given) == first
    assert stems_still_up(given["hanging"]) == 60


def test_a_seller_moves_nothing(seller):
    """Loft work is for those in the loft."""
    hanging = HangingFactory()

    with pytest.raises(PermissionDenied):
        move_hanging(by=seller, hanging=hanging, on=JULY_10, place=hanging.place, stems=1)


def test_bunches_hung_are_whole(owner):
    """120 stems in bunches of ten are twelve; 125 are none."""
    lot, place = LotFactory(), PlaceFactory()

    hung = hang(by=owner, lot=lot, on=JULY_2, place=place, stems=120, bunch_stems=10)

    assert (hung.bundles, hung.bunch_stems) == (12, 10)
    with refused("not_whole"):
        hang(by=owner, lot=lot, on=JULY_2, place=place, stems=125, bunch_stems=10)


def test_bunches_move_whole(owner):
    """Of bunches of ten, seven stems cannot move; twenty are two bunches."""
    hung = hang(by=owner, lot=LotFactory(), on=JULY_2, place=PlaceFactory(), stems=120, bunch_stems=10)
    there = PlaceFactory()

    with refused("not_whole"):
        move_hanging(by=owner, hanging=hung, on=JULY_10, place=there, stems=7)
    assert move_hanging(by=owner, hanging=hung, on=JULY_10, place=there, stems=20).bundles == 2
