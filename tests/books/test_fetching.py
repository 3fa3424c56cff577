"""What stock will fetch: promised bunches at their own price, the rest by the ways lately sold."""

from datetime import date

import pytest

from ledger.books.queries.valuing import stock_value
from ledger.pricing import actions as pricing
from ledger.reckoning.sharing import MILLION
from ledger.sales import actions as sales
from ledger.stock import actions as stock
from tests.factories.sales import CustomerFactory
from tests.thread import BUNCHED, spin_thread

YEAR_END = date(2024, 12, 31)
ORDERED = date(2024, 9, 1)


@pytest.fixture
def thread(owner):
    """27 bunches; 2.00 net by trade, which takes a fee of 10 %."""
    thread = spin_thread(owner)
    thread.trade = pricing.add_way(by=owner, name="Trade", with_tax=False, trade=True)
    pricing.set_terms(by=owner, way=thread.trade, on=BUNCHED, fee_bp=1000)
    pricing.set_price(by=owner, way=thread.trade, line=thread.line, on=BUNCHED, amount=200)
    return thread


def promise(owner, thread, bunches, price):
    """So many promised at a net price each."""
    lines = [sales.Asked(thread.line, bunches, bunches, price)]
    return sales.take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=thread.trade, lines=lines)


def fetches(method="fifo"):
    """What the one line will fetch, in minor units."""
    (line,) = stock_value(YEAR_END, method=method).lines
    return line.realisable / MILLION


def test_promised_bunches_fetch_their_price_less_the_ways_fee(owner, thread):
    """Ten promised at 6.00 and seventeen at 2.00, each less a tenth: 54.00 + 30.60."""
    promise(owner, thread, 10, 600)

    assert fetches() == 5400 + 3060


def test_what_was_sent_is_promised_no_longer(owner, thread):
    """Four of ten sent: six at 6.00 and seventeen at 2.00 are left on hand."""
    order = promise(owner, thread, 10, 600)
    sales.pack(by=owner, order_line=order.lines.get(), on=ORDERED, batch=thread.batch, box=thread.box, bunches=4)
    sales.send(by=owner, order=order, on=ORDERED)

    assert fetches() == 3240 + 3060


def test_a_promise_left_short_counts_only_what_is_on_hand(owner, thread):
    """25 of 27 promised, then all but ten eaten: ten at 6.00, nothing for what is not there."""
    promise(owner, thread, 25, 600)
    stock.write_off(by=owner, on=date(2024, 10, 1), batch=thread.batch, box=thread.box, bunches=17, reason="moth")

    assert fetches() == 5400


def test_what_costs_more_to_sell_than_it_fetches_is_worth_nil(owner, thread):
    """A pitch of 30.00 shared over takings of 10.00 eats every price: value nil, never less."""
    pricing.set_terms(by=owner, way=thread.trade, on=date(2024, 9, 1), fee_bp=0, fixed_day=3000, usual_takings=1000)
    valued = stock_value(YEAR_END, method="fifo")

    assert (fetches(), valued.value) == (0, 0)
    assert valued.write_down == valued.flows["closing_cost"]


def test_rounding_never_shows_bunches_made_where_none_were(owner, thread):
    """Days with one sale and no run: opening is what was sold and what is left, and the odd minor unit lies with the sale."""
    for day in (3, 4, 5):
        stock.sell_bunches(by=owner, on=date(2025, 1, day), line=thread.line, bunches=1)
        shown = stock_value(date(2025, 1, day), since=date(2025, 1, day)).in_minor()
        assert shown["made"] == 0
        assert shown["opening"] == shown["sold"] + shown["closing_cost"]
