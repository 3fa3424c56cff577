"""Questions about the stock book."""

from datetime import date

import pytest

from ledger.stock.actions import draw, hold, move, release, undo_movement, undo_run
from ledger.stock.models import Batch, Line, Movement
from ledger.stock.queries import lowest_free, lowest_from, lowest_in_place, pair_of, there_on, where_is
from tests.factories.stock import BoxFactory, batch_of

AUGUST_1, AUGUST_4, AUGUST_5, AUGUST_9 = date(2024, 8, 1), date(2024, 8, 4), date(2024, 8, 5), date(2024, 8, 9)


@pytest.mark.parametrize(
    ("changes", "on", "lowest"),
    [
        ([], AUGUST_5, 0),
        ([(AUGUST_1, 5)], AUGUST_5, 5),
        ([(AUGUST_5, 5)], AUGUST_5, 5),
        ([(AUGUST_9, 5)], AUGUST_5, 0),
        ([(AUGUST_1, 5), (AUGUST_9, -3)], AUGUST_5, 2),
        ([(AUGUST_1, 5), (AUGUST_9, -3), (AUGUST_9, 3)], AUGUST_5, 5),
        ([(AUGUST_9, -3), (AUGUST_1, 5)], AUGUST_9, 2),
    ],
)
def test_the_lowest_from_a_day_on(changes, on, lowest):
    """The end of that day and of every later one; a day's changes are one sum, in whatever order."""
    assert lowest_from(changes, on) == lowest


def test_on_hand_and_kept_of_a_line_on_a_day_together(owner, line):
    """Ten made on the 1st, three promised on the 4th, one drawn and one given back on the 9th."""
    batch = batch_of(line, 10)
    kept = hold(by=owner, on=AUGUST_4, line=line, bunches=3, for_what="florist")
    draw(by=owner, on=AUGUST_9, batch=batch, box=None, bunches=1, reason="sample")
    release(by=owner, hold=kept, on=AUGUST_9, bunches=1)

    def asked(on):
        found = Line.objects.on_hand_on(on).held_on(on).with_free().get()
        return found.there, found.kept, found.free

    assert asked(date(2024, 7, 31)) == (0, 0, 7)
    assert (asked(AUGUST_1), asked(AUGUST_5), asked(AUGUST_9)) == ((10, 0, 7), (10, 3, 7), (9, 2, 7))
    assert (lowest_free(line, AUGUST_1), lowest_free(line, date(2024, 7, 31))) == (7, 0)


def test_batches_on_hand_on_a_day(owner, line):
    """Emptied on the 9th; undone ones never were."""
    first, second = batch_of(line, 1), batch_of(line, 5, on=AUGUST_5)
    undo_run(by=owner, run=batch_of(line, 2).run)
    draw(by=owner, on=AUGUST_9, batch=first, box=None, bunches=1, reason="sample")

    assert list(Batch.objects.on_hand_on(AUGUST_4)) == [first]
    assert list(Batch.objects.on_hand_on(AUGUST_5)) == [first, second]
    assert list(Batch.objects.on_hand_on(AUGUST_9)) == [second]


def test_what_is_in_a_box_on_a_day(owner, line):
    """In on the 5th, two out on the 9th, an undone move never."""
    box, batch = BoxFactory(), batch_of(line, 10)
    move(by=owner, on=AUGUST_5, batch=batch, bunches=6, source=None, target=box)
    out, _ = move(by=owner, on=AUGUST_9, batch=batch, bunches=2, source=box, target=None)
    undone, _ = move(by=owner, on=AUGUST_9, batch=batch, bunches=1, source=box, target=None)
    undo_movement(by=owner, movement=undone)

    assert (there_on(box, AUGUST_4), there_on(box, AUGUST_5), there_on(box, AUGUST_9)) == ({}, {batch.pk: 6}, {batch.pk: 4})
    assert (lowest_in_place(batch.pk, box.pk, AUGUST_5), lowest_in_place(batch.pk, None, AUGUST_1)) == (4, 4)
    assert [(row.box, row.bunches) for row in where_is(line)] == [(box, 4), (None, 6)]
    assert pair_of(out).bunches == 2


@pytest.mark.django_db
def test_a_lone_moved_row_has_no_pair():
    """Nothing before or after it."""
    assert pair_of(Movement(batch=Batch(pk=1), kind="moved", bunches=-1, pk=1)) is None
