"""Stock-takes: counted box by box, put into the book together."""


from django.db import connection
from django.test.utils import CaptureQueriesContext

from ledger.stock.actions import (
    begin_take,
    count_box,
    draw,
    end_take,
    hold,
    move,
    sell_bunches,
    undo_count,
    undo_counted,
    undo_end_take,
    undo_movement,
    undo_take,
    write_off,
)
from ledger.stock.models import Balance, CountLine, Movement, StockCount, TakeCounted
from ledger.stock.queries import counted_again, differences, open_takes
from tests.factories.stock import BoxFactory, LineFactory, batch_of, there
from tests.refusals import refused
from tests.stock.taking import AUGUST_1, AUGUST_5, AUGUST_6, AUGUST_9, counted, end, posted


def test_nothing_is_put_right_before_the_end(hand, line, box, batch, take):
    """Seventeen of twenty counted on the 5th, written off on the 6th."""
    [row] = counted(hand, take, box, {batch: 17})
    assert (row.recorded, row.counted, row.over) == (20, 17, -3)
    assert there(batch) == [(box.code, 20)]

    done = end_take(by=hand, on=AUGUST_6, take=take, reasons={row.pk: "mice"})

    written = Movement.objects.get(kind="written_off")
    assert (written.bunches, written.reason, written.on, written.box) == (-3, "mice", AUGUST_6, box)
    [of_box] = done.counts.all()
    assert (of_box.box, of_box.on) == (box, AUGUST_6)
    assert of_box.lines.values_list("recorded", "counted", "movement").get() == (20, 17, written.pk)
    assert Balance.objects.get(pk=line.pk).on_hand == 17


def test_what_was_sold_after_counting_changes_no_difference(owner, line, box, batch, take):
    """Twenty recorded, eighteen counted, five sold, then ended: two missing, thirteen left."""
    counted(owner, take, box, {batch: 18})
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5)

    [one] = differences(take)
    assert (one.record, one.over, one.there) == (20, -2, 15)
    end(owner, take)

    assert there(batch) == [(box.code, 13)]


def test_what_moved_on_between_two_boxes_is_missed_in_neither(owner, box, batch, take):
    """Six go from a counted box into one that is counted later: all agree."""
    other = BoxFactory(shelf="B1")
    counted(owner, take, box, {batch: 20})
    move(by=owner, on=AUGUST_5, batch=batch, bunches=6, source=box, target=other)
    counted(owner, take, other, {batch: 6}, on=AUGUST_6)

    assert [one.over for one in differences(take)] == [0, 0]
    end(owner, take, why="")

    assert there(batch) == [(box.code, 14), (other.code, 6)]


def test_what_is_entered_late_for_an_earlier_day_is_not_missing(owner, box, batch, take):
    """Four were drawn on the 1st and entered only after sixteen were counted on the 5th."""
    counted(owner, take, box, {batch: 16})
    draw(by=owner, on=AUGUST_1, batch=batch, box=box, bunches=4, reason="display")

    [one] = differences(take)

    assert (one.counted.recorded, one.record, one.over) == (20, 16, 0)


def test_what_a_sale_beyond_the_record_found_is_not_found_twice(owner, line, box, batch, take):
    """Twenty-three counted of twenty; twenty-two sold, two of them beyond the record: one is left and one is found."""
    counted(owner, take, box, {batch: 23})
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=22, box=box, beyond_record=True)

    [one] = differences(take)
    assert (one.over, one.found_since) == (1, 2)
    end(owner, take)

    assert there(batch) == [(box.code, 1)]
    assert not Movement.objects.still_to_check()


def test_less_is_there_than_is_missing(owner, line, box, batch, take):
    """Eight missing, fifteen sold since: five are still there to be written off, three are not."""
    counted(owner, take, box, {batch: 12})
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=15)

    [one] = differences(take)
    assert (one.over, one.posted, one.gone_since) == (-8, -5, 3)
    end(owner, take)

    assert posted("written_off") == [(batch, -5, None)]
    assert there(batch) == []


def test_nothing_at_all_is_there_any_more(owner, line, box, batch, take):
    """Eight missing, all twenty sold since: nothing is written off, the count stands beside it."""
    counted(owner, take, box, {batch: 12})
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=20)

    end(owner, take)

    assert posted("written_off") == []
    assert CountLine.objects.values_list("recorded", "counted", "movement").get() == (20, 12, None)


def test_missing_bunches_were_promised(owner, line, box, batch, take):
    """Eighteen of twenty promised, five missing: the latest promise is three short."""
    first = hold(by=owner, on=AUGUST_1, line=line, bunches=10, for_what="shop")
    last = hold(by=owner, on=AUGUST_1, line=line, bunches=8, for_what="wedding")
    counted(owner, take, box, {batch: 15})

    done = end(owner, take)

    assert last.changes.get(why="short").bunches == -3
    assert not first.changes.filter(why="short")
    undo_end_take(by=owner, end=done)
    assert not last.changes.standing().filter(why="short")
    assert Balance.objects.values_list("on_hand", "held").get(pk=line.pk) == (20, 18)


def test_found_bunches_bring_back_the_last_shortage(owner, box, batch, take):
    """Three missed on the 1st, then five found: three come back, two are new."""
    missed = count_box(by=owner, on=AUGUST_1, box=box, counted={batch: 17}).lines.get().movement
    counted(owner, take, box, {batch: 22})

    end(owner, take)

    assert posted("found") == [(batch, 3, missed), (batch, 2, None)]
    assert there(batch) == [(box.code, 22)]


def test_what_is_missing_here_and_found_there_is_the_same(owner, line, box, batch, take):
    """Four missing in one box and six over in another: four come back, no promise is short, and all is undone as one."""
    other, kept = BoxFactory(shelf="B1"), hold(by=owner, on=AUGUST_1, line=line, bunches=20, for_what="wedding")
    counted(owner, take, other, {batch: 6})
    counted(owner, take, box, {batch: 16})

    done = end(owner, take)

    missing = Movement.objects.get(kind="written_off")
    assert (missing.box, missing.bunches) == (box, -4)
    assert posted("found") == [(batch, 4, missing), (batch, 2, None)]
    assert there(batch) == [(box.code, 16), (other.code, 6)]
    assert not kept.changes.filter(why="short")

    undo_end_take(by=owner, end=done)
    assert there(batch) == [(box.code, 20)]
    assert not StockCount.objects.standing()
    assert Balance.objects.values_list("on_hand", "held").get(pk=line.pk) == (20, 20)


def test_several_batches_and_what_is_not_boxed(owner, line, box, batch, take):
    """One count a box, one for what is not boxed; each batch its own row and reason."""
    loose, other = batch_of(line, 5), batch_of(LineFactory(stems=10, colour="white"), 8, box=box)
    counted(owner, take, box, {batch: 19, other: 9})
    counted(owner, take, None, {loose: 3})

    whys = {one.counted.pk: f"why {one.counted.counted}" for one in differences(take)}
    done = end_take(by=owner, on=AUGUST_6, take=take, reasons=whys)

    assert [(count.box, count.lines.count()) for count in done.counts.order_by("pk")] == [(box, 2), (None, 1)]
    rows = Movement.objects.filter(count_line__isnull=False).order_by("pk").values_list("batch", "box", "bunches", "reason")
    assert list(rows) == [
        (batch.pk, box.pk, -1, "why 19"), (loose.pk, None, -2, "why 3"), (other.pk, box.pk, 1, "why 9"),
    ]
    assert str(done.counts.get(box=None)) == "Count of what is not boxed, 2024-08-06"


def test_a_batch_the_record_does_not_know_there_is_found(owner, line, box, batch, take):
    """Two of a batch that lies elsewhere by the record."""
    other = batch_of(line, 5)
    counted(owner, take, box, {batch: 20, other: 2})

    end(owner, take)

    assert there(batch, other) == [(box.code, 20), (box.code, 2), ("", 5)]


def test_a_recount_undoes_the_earlier_count(owner, box, batch, take):
    """Seventeen, then nineteen: one missing."""
    [first] = counted(owner, take, box, {batch: 17})
    [again] = counted(owner, take, box, {batch: 19}, on=AUGUST_6)

    first.refresh_from_db()
    assert not first.stands
    assert again.replaces == first
    assert [one.over for one in differences(take)] == [-1]


def test_a_box_counted_by_itself_since_is_left_as_that_count_says(owner, box, batch, take):
    """Seventeen for the stock-take, eighteen for the box alone: only two are written off."""
    counted(owner, take, box, {batch: 17})
    count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 18})

    assert [one.counted for one in counted_again(take)] == [17]
    assert differences(take) == []
    end(owner, take)

    assert there(batch) == [(box.code, 18)]


def test_two_stock_takes_write_nothing_off_twice(owner, box, batch, take):
    """Both counted seventeen of twenty; the first one ended wrote off three."""
    other = begin_take(by=owner, on=AUGUST_5, shelf="A1")
    counted(owner, take, box, {batch: 17})
    counted(owner, other, box, {batch: 17})

    end(owner, take)
    end(owner, other)

    assert posted("written_off") == [(batch, -3, None)]


def test_an_undone_end_can_be_counted_on(owner, box, batch, take):
    """Seventeen, put into the book and taken out again; then eighteen."""
    counted(owner, take, box, {batch: 17})
    done = end(owner, take)
    assert list(open_takes()) == []

    undo_end_take(by=owner, end=done)
    assert list(open_takes()) == [take]
    assert there(batch) == [(box.code, 20)]

    counted(owner, take, box, {batch: 18}, on=AUGUST_6)
    end(owner, take, on=AUGUST_9)
    assert there(batch) == [(box.code, 18)]


def test_an_end_that_agrees_everywhere_is_undone_too(owner, box, batch, take):
    """Nothing was put right, nothing is taken out."""
    counted(owner, take, box, {batch: 20})
    done = end(owner, take)

    undo_end_take(by=owner, end=done)

    assert list(open_takes()) == [take]


def test_a_part_of_an_ended_stock_take_is_undone_with_its_end(owner, box, batch, take):
    """Neither its counts nor its rows nor what was counted, nor the stock-take itself."""
    [row] = counted(owner, take, box, {batch: 17})
    done = end(owner, take)

    with refused("part_of_more"):
        undo_count(by=owner, count=done.counts.get())
    with refused("rested_on"):
        undo_movement(by=owner, movement=Movement.objects.get(kind="written_off"))
    with refused("ended"):
        undo_counted(by=owner, counted=row)
    with refused("rested_on"):
        undo_take(by=owner, take=take)


def test_what_was_found_and_sold_keeps_its_end(owner, line, box, batch, take):
    """Two found, all twenty-two sold."""
    counted(owner, take, box, {batch: 22})
    done = end(owner, take)
    sell_bunches(by=owner, on=AUGUST_9, line=line, bunches=22)

    with refused("not_there_then"):
        undo_end_take(by=owner, end=done)


def test_an_open_stock_take_is_undone_with_all_that_was_counted(owner, box, batch, take):
    """Nothing is left of it, and nothing more is counted for it."""
    counted(owner, take, box, {batch: 17})

    undo_take(by=owner, take=take)

    assert not TakeCounted.objects.standing()
    with refused("undone"):
        counted(owner, take, box, {batch: 17})


def test_one_count_is_undone_alone(owner, box, batch, take):
    """It is not yet counted then."""
    [row] = counted(owner, take, box, {batch: 17})
    undo_counted(by=owner, counted=row)

    with refused("nothing_counted"):
        end(owner, take)


def test_a_write_off_after_counting_is_no_second_one(owner, box, batch, take):
    """Twenty counted; two written off since by hand: nothing is missing."""
    counted(owner, take, box, {batch: 20})
    write_off(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=2, reason="mice")

    end(owner, take)

    assert there(batch) == [(box.code, 18)]


def test_one_shortage_is_brought_back_once_though_found_in_two_places(owner, line, box, batch):
    """A count missed two; a stock-take finds two in that box and two in another: two of the four bring the shortage back."""
    other = BoxFactory(shelf="Z2")
    move(by=owner, on=AUGUST_1, batch=batch, bunches=5, source=box, target=other)
    count_box(by=owner, on=AUGUST_5, box=box, counted={batch: 13})
    take = begin_take(by=owner, on=AUGUST_6)
    counted(owner, take, box, {batch: 15}, on=AUGUST_6)
    counted(owner, take, other, {batch: 7}, on=AUGUST_6)

    end(owner, take)

    assert sum(bunches for _batch, bunches, back in posted("found") if back is not None) == 2
    assert sorted(there(batch)) == sorted([(box.code, 15), (other.code, 7)])


def test_what_a_later_sale_found_is_not_found_again_by_a_take_of_an_earlier_day(owner, line, box, batch, take):
    """Twenty in the record; 22 sold on the 6th, two of them found; counted as of the 5th there were 23: three over, two known."""
    sell_bunches(by=owner, on=AUGUST_6, line=line, bunches=22, box=box, batch=batch, beyond_record=True)
    counted(owner, take, box, {batch: 23})

    end(owner, take)

    assert there(batch) == [(box.code, 1)]


def test_an_ended_takes_page_asks_no_more_for_more_lines(owner, line, box, client_as):
    """As many statements for one batch put right as for four."""
    counts = []
    for several in (1, 4):
        place = BoxFactory(shelf=f"Y{several}")
        batches = [batch_of(line, 5, on=AUGUST_1, box=place) for _ in range(several)]
        take = begin_take(by=owner, on=AUGUST_5, shelf=place.shelf)
        counted(owner, take, place, dict.fromkeys(batches, 4))
        end(owner, take)
        with CaptureQueriesContext(connection) as asked:
            assert client_as(owner).get(take.get_absolute_url()).status_code == 200
        counts.append(len(asked))

    assert counts[0] == counts[1]
