"""Net income by line."""

from collections.abc import Callable
from datetime import date

import pytest

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.sales.actions import Sold, credit, invoice, sell, undo_dispatch, undo_sale
from ledger.sales.queries.income import income
from tests.factories.drying import LotFactory
from tests.factories.pricing import StallFactory, TradeFactory
from tests.factories.sales import SENT, StallDayFactory, invoiced, order_of, ready, sent

ON = date(2024, 9, 7)
LATER = date(2024, 9, 20)


@pytest.fixture
def registered(owner: User) -> None:
    """Registered for tax at 20 %."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="GB 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)


def test_a_sales_tax_is_that_of_its_sum_shared_over_its_lines(registered: None, owner: User) -> None:
    """Three lines of 0.50 hold 0.25 tax together, 0.09 + 0.08 + 0.08, so that they add up."""
    stocks = [ready(5) for _line in range(3)]

    sell(by=owner, on=ON, way=StallFactory(), lines=[Sold(1, line=stock.line, price=50) for stock in stocks])

    lines = income(None, ON)
    assert [(line.gross, line.net) for line in lines] == [(50, 41), (50, 42), (50, 42)]


def test_prices_kept_net_get_the_tax_on_top(registered: None, owner: User) -> None:
    """A retail way that keeps net prices: 10.26 net is 12.31 gross."""
    stock = ready(5)
    sell(by=owner, on=ON, way=TradeFactory(trade=False), lines=[Sold(3, line=stock.line, price=342)])
    assert [(line.net, line.gross) for line in income(None, ON)] == [(1026, 1231)]


def test_a_line_says_what_it_took_and_what_bears_its_selling(owner: User) -> None:
    """Dried names its movements, fresh its parting; a stall day bears the selling of its sales, else the sale itself."""
    stock, lot, day = ready(20), LotFactory(stems=100), StallDayFactory(on=ON)
    at_stall = sell(by=owner, on=ON, way=day.way, stall_day=day, lines=[Sold(2, line=stock.line, price=550)])
    fresh = sell(by=owner, on=ON, way=day.way, lines=[Sold(10, lot=lot, price=40)])

    dried, cut = income(None, ON)

    taken = at_stall.takings.get().movement_id
    assert (dried.kind, dried.movements, dried.partings, dried.spent_on) == ("dried", ((taken, 2),), (), day.pk)
    assert (dried.line, dried.variety, dried.net) == (stock.line.pk, stock.line.variety_id, 1100)
    assert (cut.kind, cut.movements, cut.line) == ("fresh", (), None)
    assert (cut.partings, cut.spent_on) == ((fresh.lines.get().parting_id,), fresh.pk)
    assert (cut.variety, cut.net) == (lot.planting.variety_id, 400)


def test_a_dispatch_is_income_on_its_day_less_what_was_credited(registered: None, owner: User) -> None:
    """Three sent at 3.42, one credited on the 20th: 10.26 until then, 6.84 from then on."""
    issued = invoiced(3, price=342)
    credit(by=owner, invoice=issued, on=LATER, lines=[(issued.lines.get(), 1)], why="blown")

    before, after = income(None, date(2024, 9, 19)), income(None, LATER)

    assert [(line.on, line.net, line.gross) for line in before] == [(SENT, 1026, 1231)]
    assert [(line.net, line.gross) for line in after] == [(684, 821)]
    assert after[0].spent_on == issued.order_id and after[0].customer == issued.customer_id


def test_income_counts_from_the_sending_whether_invoiced_or_not(owner: User) -> None:
    """Not the day before, not for days after; the invoice changes nothing."""
    stock = ready(20)
    order = order_of(stock, 3, price=342)
    sent(order, stock, 3)
    stretches = [(None, date(2024, 9, 3)), (SENT, SENT), (date(2024, 9, 5), LATER)]
    found = [[line.net for line in income(*stretch)] for stretch in stretches]
    invoice(by=owner, order=order, on=LATER)
    assert found == [[], [1026], []]
    assert found == [[line.net for line in income(*stretch)] for stretch in stretches]


def test_what_was_undone_is_no_income(owner: User) -> None:
    """An undone sale and an undone dispatch brought in nothing."""
    stock = ready(20)
    undo_sale(by=owner, sale=sell(by=owner, on=ON, way=StallFactory(), lines=[Sold(1, line=stock.line, price=5)]))
    undo_dispatch(by=owner, dispatch=sent(order_of(stock, 3), stock, 3))
    assert income(None, LATER) == []


def test_the_number_of_queries_is_fixed(owner: User, django_assert_num_queries: Callable) -> None:
    """Four queries for sales and orders, ten for jobs and workshops, however much was sold."""
    for _again in range(3):
        invoiced(3)
        stock = ready(20)
        sell(by=owner, on=ON, way=StallFactory(), lines=[Sold(1, line=stock.line, price=5), Sold(2, lot=LotFactory(), price=5)])
    with django_assert_num_queries(14):
        assert len(income(None, LATER)) == 9
