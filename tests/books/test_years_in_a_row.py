"""Years closed one after another: what was frozen stays, whatever later facts say."""

from datetime import date, timedelta

import pytest

from ledger.books.actions import close_year, reopen_year
from ledger.books.models import ClosedLine
from ledger.books.queries.places import PUT_RIGHT, places_on
from ledger.books.queries.valuing import FLOWS, stock_value
from ledger.growing import actions as growing
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.valuation import METHODS
from ledger.stock import actions as stock
from ledger.stock.models import Movement
from tests.books.test_closing import bunch_all, case_twenty, long_season, spend
from tests.thread import spin_thread

__all__ = ["long_season"]

FIRST, SECOND = date(2024, 12, 31), date(2025, 12, 31)
ONE_DAY = timedelta(1)
POUND = 100 * MILLION


def late_bill(owner):
    """27 bunches that cost 124.00, 10 of them sold; the year closed; a bill of 27.00 for the bed comes in May."""
    thread = spin_thread(owner)
    (sold,) = stock.sell_bunches(by=owner, on=date(2024, 9, 1), line=thread.line, bunches=10)
    close_year(by=owner, on=FIRST)
    spend(owner, thread.planting, date(2025, 5, 1), 2700)
    return thread, sold


def test_what_was_put_right_stays_put_right_after_the_next_close(owner):
    """Ten of 27.00 belong to bunches sold in the first year: put right in the second, and in the third still so."""
    late_bill(owner)
    before = places_on(SECOND)
    close_year(by=owner, on=SECOND)
    after = places_on(SECOND + ONE_DAY)

    assert before[PUT_RIGHT].paid == pytest.approx(10 * POUND, abs=10)
    assert after == before


@pytest.fixture
def autumn_years(holding):
    """Books that end with September."""
    holding.year_end_month, holding.year_end_day = 9, 30
    holding.save()


def test_each_year_puts_right_what_came_late_to_it(owner, autumn_years):
    """Of 27.00 and of 5.40, the parts of bunches sold in years already closed: 10.00, and then 2.00 and 1.00."""
    thread = spin_thread(owner, cleared=False)
    growing.clear(by=owner, planting=thread.planting, on=date(2024, 9, 2))
    stock.sell_bunches(by=owner, on=date(2024, 9, 1), line=thread.line, bunches=10)
    close_year(by=owner, on=date(2024, 9, 30))
    spend(owner, thread.planting, date(2025, 5, 1), 2700)
    stock.sell_bunches(by=owner, on=date(2025, 6, 1), line=thread.line, bunches=5)
    close_year(by=owner, on=date(2025, 9, 30))
    closed = places_on(date(2025, 9, 30))
    spend(owner, thread.planting, date(2025, 11, 1), 540)
    places = places_on(date(2025, 11, 1))

    assert places["cost of sales"] == closed["cost of sales"]
    assert closed[PUT_RIGHT].paid == pytest.approx(10 * POUND, abs=10)
    assert places[PUT_RIGHT].paid == pytest.approx(13 * POUND, abs=10)


def test_more_stems_than_expected_put_the_closed_year_right_the_other_way(owner, long_season):
    """Hand-worked case 20 with 1,500 more stems at no cost: 100.00 on 2,000, so 400 sold bore 20.00 too much."""
    planting, place = case_twenty(owner)
    close_year(by=owner, on=FIRST)
    bunch_all(owner, planting, place, date(2025, 2, 1), 1500)
    places = places_on(date(2025, 3, 31))

    assert places[PUT_RIGHT].paid == -20 * POUND
    assert (places["cost of sales"].paid, places["boxed"].paid) == (40 * POUND, 80 * POUND)


@pytest.mark.parametrize("method", METHODS)
def test_opening_is_what_the_close_froze_by_every_method(owner, method):
    """Seventeen bunches open at what was frozen; seventeen parts of the late bill are added after it; both sides agree."""
    late_bill(owner)
    valued = stock_value(date(2025, 6, 30), since=FIRST + ONE_DAY, method=method)
    (frozen,) = ClosedLine.objects.filter(method=method)

    assert valued.flows["opening"] == frozen.cost
    assert valued.put_right == valued.flows["made"] == pytest.approx(17 * POUND, abs=20)
    assert sum(valued.flows[name] for name in FLOWS[:4]) == sum(valued.flows[name] for name in FLOWS[4:])


def test_bunches_sold_in_a_closed_year_come_back_in_the_next(owner):
    """Two of ten come back in May with what they took; the closed year's cost of sales stays."""
    thread, sold = late_bill(owner)
    frozen = places_on(FIRST + ONE_DAY)["cost of sales"].paid
    stock.take_back(by=owner, on=date(2025, 5, 2), movement=sold, bunches=2, box=thread.box)
    places = places_on(date(2025, 5, 31))
    valued = stock_value(date(2025, 5, 31), since=FIRST + ONE_DAY, method="traced")

    assert frozen - places["cost of sales"].paid == -valued.flows["sold"] == pytest.approx(151 * POUND * 2 / 27, abs=10)
    assert sum(at.paid for at in places.values()) == 127 * POUND


def test_a_year_opened_again_is_frozen_anew(owner):
    """What was forgotten is entered in the opened year; closed again, it is the year's own and nothing is put right."""
    thread = spin_thread(owner)
    close = close_year(by=owner, on=FIRST)
    reopen_year(by=owner, close=close)
    stock.draw(by=owner, on=date(2024, 11, 1), batch=thread.batch, box=thread.box, bunches=3, reason="display")
    again = close_year(by=owner, on=FIRST)

    assert places_on(FIRST + ONE_DAY)[PUT_RIGHT].full == 0
    assert {row.quantity for row in again.lines.all()} == {24}
    assert {row.quantity for row in close.lines.all()} == {27}


def test_batch_sold_out_before_a_late_cost_holds_none_of_it(owner):
    """All 27 sold in the closed year: the whole late bill is put right, and no stock carries any."""
    thread = spin_thread(owner)
    stock.sell_bunches(by=owner, on=date(2024, 9, 1), line=thread.line, bunches=27)
    close_year(by=owner, on=FIRST)
    spend(owner, thread.planting, date(2025, 5, 1), 2700)
    valued = stock_value(date(2025, 6, 30), since=FIRST + ONE_DAY)

    assert places_on(date(2025, 6, 30))[PUT_RIGHT].paid == 27 * POUND
    assert (valued.flows["opening"], valued.flows["closing_cost"], valued.lines) == (0, 0, [])


def test_found_after_a_counted_shortage_of_a_closed_year(owner):
    """Three missed by the year's last count and found in March come back with the cost they took."""
    thread = spin_thread(owner)
    stock.count_box(by=owner, on=date(2024, 12, 30), box=thread.box, counted={thread.batch: 24})
    close_year(by=owner, on=FIRST)
    stock.count_box(by=owner, on=date(2025, 3, 1), box=thread.box, counted={thread.batch: 28})
    found = Movement.objects.filter(kind="found").order_by("pk")

    assert [(one.bunches, one.brings_back is not None) for one in found] == [(3, True), (1, False)]
    assert places_on(date(2025, 3, 1))["written off"].paid == 0
    assert stock_value(date(2025, 3, 1), since=FIRST + ONE_DAY).flows["closing_cost"] == 124 * POUND
