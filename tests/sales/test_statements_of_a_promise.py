"""A promise sends few statements: others wait for every one of them."""

from django.db import connection
from django.test.utils import CaptureQueriesContext

from ledger.sales.actions import Asked, promise_more, take_order
from ledger.sales.models import Order
from tests.factories.sales import ORDERED, CustomerFactory, line_of, order_of, ready


def sent(work):
    """What a verb sends; around it lies the savepoint of the test, in the place of its transaction."""
    with CaptureQueriesContext(connection) as captured:
        work()
    return [one["sql"] for one in captured.captured_queries][1:-1]


def test_an_order_of_one_line_is_fifteen_statements(owner):
    """The form's key, all checks and locks, and no savepoint among them."""
    stock, customer = ready(20), CustomerFactory()
    given = {"by": owner, "on": ORDERED, "customer": customer, "way": stock.way, "lines": [Asked(stock.line, 1, price=400)]}

    bare, pressed = sent(lambda: take_order(**given)), sent(lambda: take_order(key="a-press", **given))

    assert (len(bare), len(pressed), Order.objects.count()) == (13, 15, 2)
    assert not [one for one in pressed if "SAVEPOINT" in one]


def test_one_more_of_a_line_is_nine_statements(owner):
    """Order, line and hold are read under their locks, what is free is asked once."""
    order = order_of(ready(20), 12, promised=10)
    line = line_of(order)
    line.order = order

    assert len(sent(lambda: promise_more(by=owner, order_line=line, on=ORDERED, bunches=1))) == 9
