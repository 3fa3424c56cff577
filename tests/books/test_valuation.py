"""Stock valued by all four methods from the ledger's own records."""

from datetime import date, timedelta

import pytest

from ledger.books.queries.valuing import FLOWS, stock_value
from ledger.drying import actions as drying
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.valuation import METHODS
from ledger.stock import actions as stock
from tests.thread import BUNCHED, spin_thread

YEAR_END = date(2024, 12, 31)
SOLD = date(2024, 9, 1)


def two_sides(flows):
    """Opening and what came in; what went out and closing cost."""
    return sum(flows[name] for name in FLOWS[:4]), sum(flows[name] for name in FLOWS[4:])


def busy(owner):
    """27 bunches at 124.00, of which 7 are sold, 2 come back, 3 are drawn, 1 is written off and 2 are found."""
    thread = spin_thread(owner)
    (sold,) = stock.sell_bunches(by=owner, on=SOLD, line=thread.line, bunches=7)
    stock.take_back(by=owner, on=date(2024, 9, 10), movement=sold, bunches=2, box=thread.box)
    stock.draw(by=owner, on=date(2024, 9, 11), batch=thread.batch, box=thread.box, bunches=3, reason="display")
    stock.write_off(by=owner, on=date(2024, 9, 12), batch=thread.batch, box=thread.box, bunches=1, reason="moth")
    stock.count_box(by=owner, on=date(2024, 9, 13), box=thread.box, counted={thread.batch: 20})
    return thread


@pytest.mark.parametrize("method", METHODS)
def test_both_sides_agree_on_every_day(owner, method):
    """opening + made + bought + found = sold + made up + drawn + written off + closing cost, day by day."""
    busy(owner)

    for number in range(16):
        on = date(2024, 8, 30) + timedelta(number)
        valued = stock_value(on, since=BUNCHED, method=method)
        came_in, went_out = two_sides(valued.flows)
        assert came_in == went_out
        assert two_sides(valued.in_minor())[0] == two_sides(valued.in_minor())[1]


def test_returns_bring_back_their_own_cost(owner):
    """7 of 27 sold and 2 back: what is sold in the end is 5 of 27 of 124.00."""
    busy(owner)
    valued = stock_value(YEAR_END, method="traced")

    assert valued.flows["sold"] == pytest.approx(12400 * MILLION * 5 / 27, abs=2)


def second_batch(owner, thread):
    """Ten bunches more, made only of the bench's hour: dearer or cheaper, but not the same."""
    lot = growing.cut(by=owner, planting=thread.planting, on=date(2024, 9, 1), stage="full", stems=100)
    hanging = drying.hang(by=owner, lot=lot, on=date(2024, 9, 2), place=thread.hanging.place, stems=100)
    drying.take_down(by=owner, hanging=hanging, on=date(2024, 9, 20), stems=100)
    output = stock.Output(line=thread.line, made=10, box=thread.box)
    stock.make_run(by=owner, on=date(2024, 9, 21), inputs=[(hanging, 100)], outputs=[output])


def test_methods_differ_where_they_should(owner):
    """With two batches of other unit costs, first in first out, moving and periodic average part ways."""
    thread = spin_thread(owner)
    stock.sell_bunches(by=owner, on=date(2024, 8, 1), line=thread.line, bunches=10)
    second_batch(owner, thread)
    stock.sell_bunches(by=owner, on=date(2024, 10, 1), line=thread.line, bunches=20)
    closing = {method: stock_value(YEAR_END, method=method).flows["closing_cost"] for method in METHODS}

    assert len({closing["fifo"], closing["moving-average"], closing["periodic-average"]}) == 3
    assert closing["traced"] == closing["fifo"]


def test_stock_is_written_down_to_what_it_will_fetch(owner):
    """27 bunches that cost 124.00 and fetch 2.00 each are worth 54.00."""
    thread = spin_thread(owner)
    way = pricing.add_way(by=owner, name="Gate", with_tax=True)
    pricing.set_price(by=owner, way=way, line=thread.line, on=BUNCHED, amount=200)
    valued = stock_value(YEAR_END, method="fifo")

    assert (valued.flows["closing_cost"], valued.write_down, valued.value) == (12400 * MILLION, 7000 * MILLION, 5400 * MILLION)


def test_stock_without_a_price_is_not_written_down(owner):
    """No price is known: what it will fetch is not made up, and cost stands."""
    spin_thread(owner)
    (line,) = stock_value(YEAR_END).lines

    assert (line.realisable, line.write_down) == (None, 0)


def test_work_in_progress_stands_apart(owner):
    """What hangs is not stock of bunches, and the same by every method."""
    spin_thread(owner)
    found = {tuple(stock_value(date(2024, 7, 10), method=method).in_progress.items()) for method in METHODS}

    assert found == {(("in water", 0), ("hanging", 8960 * MILLION), ("loose", 0))}
