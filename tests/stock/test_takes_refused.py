"""Stock-takes: what is refused, how the boxes are walked, how few statements it takes."""


import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import (
    begin_take,
    count_box,
    count_in_take,
    end_take,
    undo_counted,
    undo_run,
)
from ledger.stock.models import Movement
from ledger.stock.queries import differences, empty_boxes, places_of
from tests.factories.stock import BoxFactory, LineFactory, batch_of, run_of
from tests.refusals import refused
from tests.stock.taking import AUGUST_1, AUGUST_5, AUGUST_6, AUGUST_9, counted, end, posted


def test_what_is_missing_wants_a_reason(owner, box, batch, take):
    """What is over needs none; then the day of the stock-take is said."""
    other = batch_of(LineFactory(stems=10, colour="white"), 8, box=box)
    counted(owner, take, box, {batch: 17, other: 9})

    with refused("no_reason"):
        end(owner, take, why=" ")
    assert not Movement.objects.filter(count_line__isnull=False)


def test_days_do_not_run_backwards(owner, line, box, batch, take):
    """Not counted before it began or the batch was made, not ended before the last count."""
    with refused("too_early"):
        counted(owner, take, box, {batch: 17}, on=AUGUST_1)
    late = batch_of(line, 3, on=AUGUST_9)
    with refused("too_early"):
        counted(owner, take, box, {late: 3}, on=AUGUST_6)
    counted(owner, take, box, {batch: 17}, on=AUGUST_9)
    with refused("too_early"):
        end(owner, take, on=AUGUST_6)


def test_only_what_a_stock_take_covers_is_counted_for_it(owner, line, box, batch):
    """A shelf has its boxes and nothing unboxed; a line its bunches wherever they lie."""
    other = LineFactory(stems=10, colour="white")
    elsewhere = batch_of(other, 4, box=BoxFactory(shelf="B1"))
    shelf, of_line = begin_take(by=owner, on=AUGUST_5, shelf=" A1 "), begin_take(by=owner, on=AUGUST_5, line=line)

    assert (shelf.shelf, str(shelf), str(of_line)) == ("A1", "Stock-take of A1, 2024-08-05", f"Stock-take of {line}, 2024-08-05")
    for take, place, one in ((shelf, elsewhere.contents.get().box, elsewhere), (shelf, None, batch), (of_line, box, elsewhere)):
        with refused("not_in_take"):
            counted(owner, take, place, {one: 1})
    counted(owner, of_line, None, {batch: 1})
    counted(owner, shelf, box, {elsewhere: 1})


def test_absurd_stock_takes_are_refused(owner, line, box, batch, take):
    """No such shelf, a shelf and a line at once, below nil, nothing, a parcel, a batch that is undone."""
    with refused("no_such_shelf"):
        begin_take(by=owner, on=AUGUST_5, shelf="Z9")
    with refused("shelf_and_line"):
        begin_take(by=owner, on=AUGUST_5, shelf="A1", line=line)
    with refused("negative"):
        counted(owner, take, box, {batch: -1})
    with refused("nothing_counted"):
        counted(owner, take, box, {})
    with refused("parcel"):
        counted(owner, take, BoxFactory(parcel=True), {batch: 1})
    with refused("nothing_counted"):
        end(owner, take)


def test_a_run_that_was_counted_is_not_undone(owner, line, box, batch, take):
    """The count comes first; of an undone run nothing is counted."""
    run = run_of(line, 4, box=box)
    [row] = counted(owner, take, box, {run.batches.get(): 3})
    with refused("rested_on"):
        undo_run(by=owner, run=run)

    undo_counted(by=owner, counted=row)
    undo_run(by=owner, run=run)
    with refused("undone"):
        counted(owner, take, box, {run.batches.get(): 3})


def test_the_walk_goes_by_shelf_the_unboxed_last(owner, line, box, batch, take, django_assert_num_queries):
    """Three boxes, one counted, one where something was found that the record does not know."""
    first, last = BoxFactory(shelf="A0"), BoxFactory(shelf="C1")
    batch_of(line, 5), batch_of(line, 6, box=last)
    counted(owner, take, box, {batch: 20})
    counted(owner, take, first, {batch: 1})

    with django_assert_num_queries(2):
        places = places_of(take)

    assert [(place.key, place.is_counted, place.bunches_counted) for place in places] == [
        (first.pk, True, 1), (box.pk, True, 20), (last.pk, False, 0), (None, False, 0),
    ]


def test_a_shelf_and_a_line_are_walked_alone(owner, line, box, batch):
    """A shelf its boxes, the empty one too; a line every place of its own, with no box called empty."""
    empty, other = BoxFactory(shelf="A1"), LineFactory(stems=10, colour="white")
    batch_of(other, 4, box=BoxFactory(shelf="B1")), batch_of(other, 2, box=box), batch_of(line, 5)
    shelf, of_line = begin_take(by=owner, on=AUGUST_5, shelf="A1"), begin_take(by=owner, on=AUGUST_5, line=line)

    walked = [[(place.key, len(place.rows)) for place in places_of(take)] for take in (shelf, of_line)]

    assert walked == [[(box.pk, 2)], [(box.pk, 1), (None, 1)]]
    assert list(empty_boxes(shelf, places_of(shelf))) == [empty]
    assert list(empty_boxes(of_line, places_of(of_line))) == []


def test_no_more_comes_back_than_was_missed(owner, box, batch, take):
    """Three missed, then two found: nothing is new."""
    missed = count_box(by=owner, on=AUGUST_1, box=box, counted={batch: 17}).lines.get().movement
    counted(owner, take, box, {batch: 19})

    end(owner, take)

    assert posted("found") == [(batch, 2, missed)]


def test_differences_ask_once_however_many(owner, line, box, batch, take, django_assert_num_queries):
    """One statement for one and for four."""
    counted(owner, take, box, {batch: 20, **{batch_of(line, n, box=box): n for n in (1, 2, 3)}})

    with django_assert_num_queries(1):
        assert len(differences(take)) == 4


def test_the_second_press_counts_and_ends_once(owner, box, batch, take):
    """One form each."""
    given = {"by": owner, "on": AUGUST_5, "take": take, "box": box, "counted": {batch: 17}, "key": "count"}
    assert count_in_take(**given) == count_in_take(**given)
    why = {one.counted.pk: "mice" for one in differences(take)}

    assert end_take(by=owner, on=AUGUST_6, take=take, reasons=why, key="end") == end_take(
        by=owner, on=AUGUST_6, take=take, reasons=why, key="end"
    )
    assert posted("written_off") == [(batch, -3, None)]
    with refused("ended"):
        end(owner, take)


def test_a_seller_takes_no_stock(seller, owner, box, batch, take):
    """Boxes are the hand's."""
    with pytest.raises(PermissionDenied):
        begin_take(by=seller, on=AUGUST_5)
    with pytest.raises(PermissionDenied):
        counted(seller, take, box, {batch: 1})
    with pytest.raises(PermissionDenied):
        end_take(by=seller, on=AUGUST_5, take=take, reasons={})
