"""The net sales of some days, worked by hand."""

from datetime import date

import pytest

from ledger.books.queries.net_sales import net_sales
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import Sold, credit, sell, undo_dispatch, undo_sale
from ledger.sales.queries.income import income
from tests.factories.drying import LotFactory
from tests.factories.pricing import OfferFactory, StallFactory, TradeFactory
from tests.factories.sales import SENT, invoiced, order_of, ready, sent

MADE, ON, LATER = date(2024, 1, 1), date(2024, 9, 7), date(2024, 9, 20)


@pytest.fixture
def registered(owner: User) -> None:
    """Registered for tax at 20 %."""
    set_tax_status(by=owner, on=MADE, status="registered", number="XX 000")
    set_tax_rate(by=owner, on=MADE, rate_bp=2000)


def test_retail_is_what_was_taken_less_the_tax_of_each_sales_sum(registered: None, owner: User) -> None:
    """Four at 4.50 are 16.50 with three for 12.00, 2.75 of it tax; three at 0.50 hold 0.25, not 0.24: 13.75 + 1.25 + 10.26."""
    stock, way = ready(20), StallFactory()
    set_price(by=owner, way=way, line=stock.line, on=MADE, amount=450)
    OfferFactory(way=way, lines=[stock.line])
    sell(by=owner, on=ON, way=way, lines=[Sold(4, line=stock.line)])
    sell(by=owner, on=ON, way=way, lines=[Sold(1, lot=LotFactory(), price=50) for _again in range(3)])
    sell(by=owner, on=ON, way=TradeFactory(trade=False), lines=[Sold(3, line=stock.line, price=342)])
    undo_sale(by=owner, sale=sell(by=owner, on=ON, way=way, lines=[Sold(1, line=stock.line)]))

    assert net_sales(ON, ON) == 1375 + 125 + 1026
    assert [net_sales(date(2024, 9, 8), LATER), net_sales(MADE, date(2024, 9, 6))] == [0, 0]


def test_sending_counts_on_its_day_less_the_credits_issued_by_the_last(registered: None, owner: User) -> None:
    """Three sent at 3.42, one credited on the 20th: 10.26 until then, 6.84 from then on; of the credit's own day nothing."""
    issued = invoiced(3, price=342)
    credit(by=owner, invoice=issued, on=LATER, lines=[(issued.lines.get(), 1)], why="blown")

    assert [net_sales(SENT, SENT), net_sales(MADE, date(2024, 9, 19)), net_sales(SENT, LATER)] == [1026, 1026, 684]
    assert [net_sales(LATER, LATER), net_sales(MADE, date(2024, 9, 3))] == [0, 0]


def test_what_was_not_sent_after_all_is_not_sold(owner: User) -> None:
    """Three sent and undone, two of another order sent: 6.84, beside 10.26 that were only promised."""
    stock = ready(20)
    undo_dispatch(by=owner, dispatch=sent(order_of(stock, 3), stock, 3))
    sent(order_of(stock, 2), stock, 2)
    assert net_sales(MADE, LATER) == 684


def test_added_up_apart_they_are_the_income(registered: None, owner: User) -> None:
    """Sales, sendings and credits over a month come to the income of its lines, day by day and together."""
    stock, way = ready(20), StallFactory()
    for price in (333, 450, 77):
        sell(by=owner, on=ON, way=way, lines=[Sold(1, line=stock.line, price=price), Sold(3, lot=LotFactory(), price=35)])
    issued = invoiced(7, price=199)
    credit(by=owner, invoice=issued, on=LATER, lines=[(issued.lines.get(), 2)], why="blown")
    days = [(SENT, SENT), (ON, ON), (SENT, LATER)]
    found = [net_sales(*of) for of in days]
    assert found == [sum(line.net for line in income(*of)) for of in days]
    assert found[1] > 0 and found[2] == 5 * 199 + found[1]
