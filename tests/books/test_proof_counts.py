"""Counts, stock-takes and boxes repacked, spoilt beneath the verbs and found by the proof."""

from datetime import date

import pytest
from django.utils import timezone

from ledger.books.queries.proof_counts import count_differences
from ledger.facts.models import User
from ledger.stock.actions import begin_take, count_box, count_in_take, empty_box, end_take, sell_bunches, undo_end_take
from ledger.stock.models import CountLine, RepackedRow, Repacking, StockCount, StockTake, TakeEnd
from tests.factories.stock import BoxFactory, LineFactory, batch_of

pytestmark = [pytest.mark.django_db, pytest.mark.unproved]
ON = date(2024, 8, 5)


@pytest.fixture
def box(owner):
    """A box on a shelf."""
    return BoxFactory()


@pytest.fixture
def batch(box):
    """Twenty bunches in it."""
    return batch_of(LineFactory(stems=10), 20, box=box)


def counted(by, batch, box, number):
    """A stock-take of everything with one batch counted, put into the book."""
    take = begin_take(by=by, on=ON)
    [row] = count_in_take(by=by, on=ON, take=take, box=box, counted={batch: number})
    return end_take(by=by, on=ON, take=take, reasons={row.pk: "mice"})


def undone():
    """What marks a row undone."""
    return {"undone_at": timezone.now(), "undone_by": User.objects.first()}


def test_counts_and_steps_as_the_verbs_write_them_are_right(owner, box, batch):
    """Missing, found of two kinds, undone, repacked; a stock-take that could write off only what was there."""
    count_box(by=owner, on=ON, box=box, counted={batch: 18})
    count_box(by=owner, on=ON, box=box, counted={batch: 21})
    undo_end_take(by=owner, end=counted(owner, batch, box, 15))
    take = begin_take(by=owner, on=ON)
    [row] = count_in_take(by=owner, on=ON, take=take, box=box, counted={batch: 11})
    sell_bunches(by=owner, on=ON, line=batch.line, bunches=15)
    end_take(by=owner, on=ON, take=take, reasons={row.pk: "mice"})
    empty_box(by=owner, on=ON, box=batch_of(LineFactory(stems=10), 3, box=BoxFactory()).contents.get().box)

    assert list(count_differences()) == []


@pytest.mark.parametrize(("number", "spoilt"), [(18, 17), (18, 21), (20, 19), (22, 25)])
def test_a_count_line_that_says_another_number_is_named(owner, box, batch, number, spoilt):
    """Counted alone, every row must agree."""
    count_box(by=owner, on=ON, box=box, counted={batch: number})
    CountLine.objects.update(counted=spoilt)

    [said] = count_differences()

    assert said.startswith(f"count line {CountLine.objects.get().pk}: {spoilt} counted of 20")


@pytest.mark.parametrize(("number", "spoilt"), [(17, 18), (17, 20), (22, 21), (22, 19)])
def test_a_stock_take_put_no_more_right_than_it_found(owner, box, batch, number, spoilt):
    """It may have put less right, never more, never the other way."""
    counted(owner, batch, box, number)
    CountLine.objects.update(counted=spoilt)

    assert [said.split(":")[0] for said in count_differences()] == [f"count line {CountLine.objects.get().pk}"]


def test_a_row_of_another_place_is_named(owner, box, batch):
    """The count says it was of another box."""
    count_box(by=owner, on=ON, box=box, counted={batch: 17})
    StockCount.objects.update(box=BoxFactory())

    assert any("another batch, box or day" in said for said in count_differences())


def test_an_end_that_does_not_stand_as_its_counts_is_named(owner, box, batch):
    """Undone beneath the verbs; and the whole stock-take."""
    counted(owner, batch, box, 17)
    TakeEnd.objects.update(**undone())
    assert any("the end of its stock-take" in said for said in count_differences())

    StockTake.objects.update(**undone())

    assert any("its stock-take is undone" in said for said in count_differences())


def test_a_step_that_lost_bunches_or_its_rows_is_named(owner, box, batch):
    """One row of two gone, then both; then undone while its rows stand."""
    repacking = empty_box(by=owner, on=ON, box=box)
    rows = list(RepackedRow.objects.order_by("pk"))
    rows[0].delete()
    assert list(count_differences()) == [
        f"repacking {repacking.pk}: +20 of batch {batch.pk} came from nowhere or went nowhere"
    ]

    Repacking.objects.update(**undone())
    assert any("does not stand as it does" in said for said in count_differences())

    rows[1].delete()
    Repacking.objects.update(undone_at=None, undone_by=None)
    assert list(count_differences()) == [f"repacking {repacking.pk}: moved nothing"]
