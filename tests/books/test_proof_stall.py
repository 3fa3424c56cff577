"""The proof of what a stall day did to the stock: what came back, and bunches put down to seconds."""

from datetime import date

import pytest

from ledger.books.queries.proof_sold import sold_differences
from ledger.facts.models import User
from ledger.growing.models import Parting
from ledger.sales.actions import BackBox, BackBunches, Sold, bring_back, load_boxes, sell, sell_as_seconds, undo_bring_back
from ledger.sales.models import Sale, SaleTaking, StallBack
from ledger.stock.models import StockCount
from tests.factories.growing import LotFactory
from tests.factories.sales import StallDayFactory, ready

ON = date(2024, 9, 7)


@pytest.fixture
def back(owner: User) -> StallBack:
    """A box of five counted to four, one of those thrown out."""
    day, stock = StallDayFactory(), ready(5)
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    counted = [BackBunches(stock.batch, 4, thrown=1)]
    return bring_back(by=owner, on=ON, stall_day=day, boxes=[BackBox(stock.box, counted)], why="wet")


def test_what_was_put_away_proves_before_and_after_its_undoing(owner: User, back: StallBack) -> None:
    """Each of its facts stands and falls with it."""
    assert list(sold_differences()) == []
    undo_bring_back(by=owner, stall_back=back)
    assert list(sold_differences()) == []


@pytest.mark.unproved
def test_a_fact_that_does_not_stand_as_its_putting_away_does_is_told(owner: User, back: StallBack) -> None:
    """The count of a standing back undone behind its back, and one that lies on another day."""
    StockCount.objects.update(undone_at=back.recorded_at, undone_by=owner)
    found = list(sold_differences())
    assert len(found) == 1 and found[0].startswith(f"stall back {back.pk}: Count of box")
    StockCount.objects.update(undone_at=None, undone_by=None, on=date(2024, 9, 8))
    assert len(list(sold_differences())) == 1


@pytest.mark.unproved
def test_seconds_whose_run_does_not_stand_with_their_sale_are_told(owner: User) -> None:
    """The run undone behind the sale's back; and a sale that took other bunches than it put down."""
    stock, day = ready(5), StallDayFactory()
    sale = sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=1, price=200)
    assert list(sold_differences()) == []
    other = sell(by=owner, on=ON, way=day.way, lines=[Sold(1, line=stock.line, price=500)])
    type(sale.rework).objects.filter(pk=sale.rework.pk).update(undone_at=sale.recorded_at, undone_by=owner)
    assert list(sold_differences()) == [f"sale {sale.pk}: the run of its seconds does not stand as it does"]
    type(sale.rework).objects.filter(pk=sale.rework.pk).update(undone_at=None, undone_by=None)
    taken = SaleTaking.objects.get(sale=other)
    SaleTaking.objects.get(sale=sale).delete()
    SaleTaking.objects.filter(pk=taken.pk).update(sale=sale, line=sale.lines.get())
    assert f"sale {sale.pk}: it took other bunches than those put down to seconds for it" in list(sold_differences())
    assert Sale.objects.count() == 2


@pytest.mark.unproved
def test_fresh_bunches_that_are_not_alike_are_told(owner: User) -> None:
    """Three bunches cannot be made of 31 stems."""
    day, lot = StallDayFactory(), LotFactory(stems=200, on=date(2024, 9, 6))
    sale = sell(by=owner, on=ON, way=day.way, lines=[Sold(3, lot=lot, price=400, stems_each=10)])
    Parting.objects.filter(sale_line__sale=sale).update(stems=31)
    pk = sale.lines.get().pk
    assert list(sold_differences()) == [f"sale line {pk}: 3 bunches of alike stems sold, 31 stems left the lot"]
