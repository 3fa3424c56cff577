"""Counts of a stock-take that a correction overtook: they are counted again before anything is written off."""

import pytest

from ledger.stock.actions import begin_take, draw, move, sell_bunches, undo_movement, undo_take
from ledger.stock.queries import differences, overtaken, places_of
from tests.factories.stock import BoxFactory, batch_of, there
from tests.stock.browsing import words
from tests.stock.taking import AUGUST_1, AUGUST_5, counted, end, posted


@pytest.fixture
def sold(owner, line, box, batch):
    """Five of twenty, sold on the 5th before anything was counted."""
    return sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5, box=box)[0]


def test_a_sale_entered_anew_after_counting_writes_no_good_bunches_off(owner, line, box, batch, take, sold):
    """Fifteen counted; the sale of five is undone and entered again that day: the five are no longer told from missing ones."""
    counted(owner, take, box, {batch: 15})
    undo_movement(by=owner, movement=sold)
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5, box=box)

    assert [one.counted.batch for one in overtaken(take)] == [batch] and differences(take) == []
    [place] = places_of(take)
    assert not place.is_counted
    end(owner, take)
    assert posted("written_off") == [] and there(batch) == [(box.code, 15)]


def test_counted_again_it_is_put_right(owner, line, box, batch, take, sold):
    """Fifteen, then fourteen after the correction: one is missing."""
    counted(owner, take, box, {batch: 15})
    undo_movement(by=owner, movement=sold)
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5, box=box)

    counted(owner, take, box, {batch: 14})

    assert overtaken(take) == [] and places_of(take)[0].is_counted
    end(owner, take)
    assert there(batch) == [(box.code, 14)]


def test_a_sale_only_undone_asks_for_another_count(owner, box, batch, take, sold):
    """Fifteen counted, then the sale is undone: whether it happened otherwise is not known yet."""
    counted(owner, take, box, {batch: 15})
    undo_movement(by=owner, movement=sold)
    assert len(overtaken(take)) == 1


def test_a_sale_put_right_to_another_box_asks_there_too(owner, line, box, batch, take, sold):
    """The five came out of the box on B1: there fifteen were counted of twenty by the record, here all twenty."""
    other = BoxFactory(shelf="B1")
    second = batch_of(line, 20, box=other)
    counted(owner, take, box, {batch: 20})
    counted(owner, take, other, {second: 15})
    undo_movement(by=owner, movement=sold)
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5, box=other)

    assert [one.counted.batch for one in overtaken(take)] == [second]
    assert [(one.counted.batch, one.over) for one in differences(take)] == [(batch, 0)]


def test_a_sale_of_an_earlier_day_entered_anew_changes_nothing(owner, line, box, batch, take):
    """Sold on the 1st, undone and entered again for the 1st: fifteen are in the record as before, one is missing."""
    early = sell_bunches(by=owner, on=AUGUST_1, line=line, bunches=5, box=box)[0]
    counted(owner, take, box, {batch: 14})
    undo_movement(by=owner, movement=early)
    sell_bunches(by=owner, on=AUGUST_1, line=line, bunches=5, box=box)

    assert overtaken(take) == [] and [one.over for one in differences(take)] == [-1]


def test_what_agrees_all_the_same_needs_no_other_count(owner, line, box, batch, take):
    """Drawn and undone again before the sum was changed: twenty counted, twenty in the record."""
    gone = draw(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=2, reason="display")
    counted(owner, take, box, {batch: 20})
    undo_movement(by=owner, movement=gone)
    assert overtaken(take) == [] and [one.over for one in differences(take)] == [0]


def test_what_goes_on_after_counting_asks_for_nothing(owner, line, box, batch, take, sold):
    """A sale and a move entered and undone after counting were never part of it."""
    other = BoxFactory(shelf="B1")
    counted(owner, take, box, {batch: 14})
    later = sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=3, box=box)[0]
    undo_movement(by=owner, movement=later)
    move(by=owner, on=AUGUST_5, batch=batch, bunches=2, source=box, target=other)
    assert overtaken(take) == [] and [one.over for one in differences(take)] == [-1]


def test_the_pages_say_what_is_to_be_counted_again(owner, as_owner, line, box, batch, take, sold):
    """Today, the stock-take, the box and the end; nothing where the stock-take is undone."""
    counted(owner, take, box, {batch: 15})
    assert "to be counted again" not in words(as_owner, "today")
    undo_movement(by=owner, movement=sold)
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5, box=box)

    assert f"{take}: 1 count is to be made again, an earlier entry was put right since" in words(as_owner, "today")
    assert "1 batch to be counted again" in words(as_owner, "stock:take", take.pk)
    assert "Count it again" in words(as_owner, "stock:count_in_take", take.pk)
    field = as_owner.get(f"/stock/takes/{take.pk}/count/").context["form"][f"counted_{batch.pk}"]
    assert field.value() is None
    assert "stay as the record says" in words(as_owner, "stock:end_take", take.pk)
    undo_take(by=owner, take=take)
    assert "is to be made again" not in words(as_owner, "today")


def test_today_names_each_open_stock_take_once_more_only(owner, as_owner, take):
    """One that nothing overtook is named once."""
    begin_take(by=owner, on=AUGUST_5, shelf="")
    assert words(as_owner, "today").count("is not put into the book yet") == 2
