"""Customers, orders and sales, made by the stage's own verbs."""

from dataclasses import dataclass
from datetime import date

import factory

from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.models import Customer, Dispatch, Invoice, Order, OrderLine, Packing, StallDay
from ledger.stock.models import Balance, Batch, Box, Line

from .drying import ByOwner, owner
from .pricing import StallFactory, TradeFactory
from .stock import BoxFactory, LineFactory, batch_of

ORDERED, PACKED, SENT, BILLED = date(2024, 9, 1), date(2024, 9, 3), date(2024, 9, 4), date(2024, 9, 5)


class CustomerFactory(ByOwner):
    class Meta:
        model = Customer

    name = factory.Sequence(lambda n: f"Quill and Petal {n}")
    _act = staticmethod(actions.add_customer)


class StallDayFactory(ByOwner):
    class Meta:
        model = StallDay

    on = date(2024, 9, 7)
    name = "Saturday market"
    way = factory.SubFactory(StallFactory)
    _act = staticmethod(actions.open_stall_day)


@dataclass
class Ready:
    """Twenty bunches of a line in a box on a shelf, and a way to sell them on order."""

    line: Line
    batch: Batch
    box: Box
    way: Way


def ready(made: int = 20, *, on: date = date(2024, 8, 1)) -> Ready:
    """So many bunches of a new line, in a new box."""
    line, box = LineFactory(), BoxFactory()
    return Ready(line, batch_of(line, made, on=on, box=box), box, TradeFactory())


def figures(stock: Ready) -> tuple[int, int]:
    """On hand and held of the one line."""
    balance = Balance.objects.get(line=stock.line)
    return balance.on_hand, balance.held


def order_of(
    stock: Ready, asked: int = 10, *, promised: int | None = None, price: int = 342, on: date = ORDERED,
    customer: Customer | None = None,
) -> Order:
    """An order of so many of the one line at a net price."""
    lines = [actions.Asked(stock.line, asked, promised, price)]
    return actions.take_order(by=owner(), on=on, customer=customer or CustomerFactory(), way=stock.way, lines=lines)


def line_of(order: Order) -> OrderLine:
    """The order's only line as it stands now."""
    return OrderLine.objects.with_standing().get(order=order)


def packed(order: Order, stock: Ready, bunches: int, *, on: date = PACKED) -> Packing:
    """So many packed from the box."""
    return actions.pack(by=owner(), order_line=order.lines.get(), on=on, batch=stock.batch, box=stock.box, bunches=bunches)


def sent(order: Order, stock: Ready, bunches: int, *, on: date = SENT) -> Dispatch:
    """So many packed and sent on a day."""
    packed(order, stock, bunches, on=min(on, PACKED))
    return actions.send(by=owner(), order=order, on=on)


def invoiced(bunches: int = 3, *, price: int = 342, on: date = BILLED, customer: Customer | None = None) -> Invoice:
    """An invoice of so many bunches at a net price, all sent."""
    stock = ready()
    order = order_of(stock, bunches, price=price, customer=customer)
    sent(order, stock, bunches)
    return actions.invoice(by=owner(), order=order, on=on)
