"""The whole way of a trade order."""

from datetime import date

from ledger.facts.models import User
from ledger.sales import actions
from ledger.stock.models import Balance
from tests.factories.sales import line_of, order_of, packed, ready, sent


def test_an_order_in_two_parts_gives_two_invoices(owner: User) -> None:
    """Ten promised: six go and are invoiced, then four, each under its own number."""
    stock = ready(20)
    order = order_of(stock, 10, price=342)
    sent(order, stock, 6, on=date(2024, 9, 4))
    first = actions.invoice(by=owner, order=order, on=date(2024, 9, 5))
    sent(order, stock, 4, on=date(2024, 9, 10))
    second = actions.invoice(by=owner, order=order, on=date(2024, 9, 11))

    assert [(first.number, first.net), (second.number, second.net)] == [(1, 2052), (2, 1368)]
    assert order.parcels.count() == 2
    balance = Balance.objects.get(line=stock.line)
    assert (balance.on_hand, balance.held) == (10, 0)


def test_how_an_order_stands_follows_each_step(owner: User) -> None:
    """Promised, packed and sent are told apart on the line."""
    stock = ready(20)
    order = order_of(stock, 10)
    packed(order, stock, 6)
    line = line_of(order)
    assert (line.kept, line.packed, line.to_pack, line.sent) == (10, 6, 4, 0)

    actions.send(by=owner, order=order, on=date(2024, 9, 4))

    line = line_of(order)
    assert (line.kept, line.packed, line.to_pack, line.sent, line.invoiced) == (4, 0, 4, 6, 0)
