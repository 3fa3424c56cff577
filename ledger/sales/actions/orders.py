"""Trade orders: asked for, promised, given back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.pricing.models import Way
from ledger.sales.models import Customer, Order, OrderLine, StandingOrder
from ledger.sales.queries.agreed import agreed_net
from ledger.stock.actions import hold, hold_more, lock_lines, release, undo_hold_change
from ledger.stock.models import Hold, HoldChange, Line

from .customers import require_named
from .retail import MOST, named_cost_object


@dataclass(frozen=True)
class Asked:
    """So many of a line asked for; `promised` None: all of them.

    `price` net of one, left alone; None: the customer's own price, else the list with its steps.
    """

    line: Line
    asked: int
    promised: int | None = None
    price: int | None = None

    @property
    def to_promise(self) -> int:
        return self.asked if self.promised is None else self.promised


@action("selling")
def take_order(
    *, by: User, on: date, customer: Customer, way: Way, lines: Sequence[Asked], wanted_on: date | None = None,
    reference: str = "", standing_order: StandingOrder | None = None,
) -> Order:
    """Take a trade order and keep what is promised; refused when more is promised than is free.

    `standing_order`: the agreement that came round, `wanted_on` its day.
    """
    require_named(customer)
    _check(lines, on, wanted_on)
    lock_lines(asked.line for asked in lines)
    order = record(
        Order(
            cost_object=named_cost_object("order", str(_("Order %(key)s"))), on=on, customer=customer, way=way,
            wanted_on=wanted_on, reference=reference, standing_order=standing_order,
        ),
        by=by,
    )
    for asked in lines:
        _promise(by, order, asked)
    return order


def _check(lines: Sequence[Asked], on: date, wanted_on: date | None) -> None:
    if not lines:
        raise refusal("lines", _("Say what is asked for."), code="no_lines")
    if len({asked.line.pk for asked in lines}) < len(lines):
        raise refusal("lines", _("A line is named twice."), code="twice")
    for asked in lines:
        if not 1 <= asked.asked <= MOST:
            raise refusal("asked", _("Between 1 and %(most)d, please."), code="absurd", most=MOST)
        if not 0 <= asked.to_promise <= asked.asked:
            raise refusal("promised", _("%(asked)d of %(line)s are asked for; promise no more."), code="too_many",
                          asked=asked.asked, line=asked.line)
    if wanted_on is not None and wanted_on < on:
        raise refusal("wanted_on", _("It was ordered only on %(on)s."), code="too_early", on=on)


def _promise(by: User, order: Order, asked: Asked) -> OrderLine:
    price = _price(asked, order)
    kept = hold(by=by, on=order.on, line=asked.line, bunches=asked.to_promise, for_what=order.cost_object.label)
    return keep(
        OrderLine(
            order=order, line=asked.line, asked=asked.asked, promised=asked.to_promise, price=price, hold=kept
        )
    )


def _price(asked: Asked, order: Order) -> int:
    """The net price of one: as typed, else what was agreed or listed."""
    if asked.price is not None and asked.price < 0:
        raise refusal("price", _("A price cannot be below zero."), code="negative")
    if asked.price is not None:
        return asked.price
    agreed = agreed_net(order.customer, asked.line, order.way, order.on, asked.asked)
    if agreed is None:
        raise refusal("price", _("%(what)s has no price by %(way)s that day. Give one."), code="no_price",
                      what=asked.line, way=order.way)
    return agreed


@action("selling")
def promise_more(*, by: User, order_line: OrderLine, on: date, bunches: int) -> HoldChange:
    """Promise more of what was asked for; never beyond what was asked."""
    order_line = lock_order_line(order_line)
    open_to_promise = order_line.asked - order_line.entered + order_line.given_back
    if bunches > open_to_promise:
        raise refusal("bunches", _("Only %(open)d more were asked for."), code="too_many", open=open_to_promise)
    return hold_more(by=by, hold=order_line.hold, on=on, bunches=bunches)


@action("selling")
def cancel(*, by: User, order_line: OrderLine, on: date, bunches: int) -> HoldChange:
    """Give back the part of a promise that is neither packed nor sent."""
    order_line = lock_order_line(order_line)
    if bunches > order_line.to_pack:
        raise refusal("bunches", _("Only %(left)d are neither packed nor sent."), code="too_many",
                      left=order_line.to_pack)
    return release(by=by, hold=order_line.hold, on=on, bunches=bunches)


@action("selling")
def undo_promise(*, by: User, change: HoldChange) -> HoldChange:
    """Undo a later promise, or a giving back; never so that less is kept than is packed."""
    order_line = lock_order_line(OrderLine.objects.get(hold=change.hold))
    if change.why not in {HoldChange.Why.PROMISED, HoldChange.Why.RELEASED} or change.pk == _first(order_line).pk:
        raise refusal(None, _("That is part of the order or of a dispatch. Undo that instead."), code="part_of_more")
    if change.bunches > order_line.to_pack:
        raise refusal(None, _("They are packed already. Unpack them first."), code="rested_on")
    if order_line.entered - order_line.given_back - change.bunches > order_line.asked:
        raise refusal(None, _("As many as were asked for are promised again."), code="rested_on")
    return undo_hold_change(by=by, change=change)


def _first(order_line: OrderLine) -> HoldChange:
    """The promise made when the order was taken; an empty change where nothing was promised then."""
    first = order_line.hold.changes.order_by("pk").first()
    return first if order_line.promised and first else HoldChange()


@action("selling")
def undo_order(*, by: User, order: Order) -> Order:
    """Undo an order of which nothing was packed, given back or left short."""
    order = Order.objects.lock(order)
    lines = list(OrderLine.objects.with_standing().filter(order=order).select_related("hold").order_by("line"))
    lock_lines(line.line_id for line in lines)
    if any(line.packed or line.sent or line.kept != line.entered for line in lines):
        raise refusal(None, _("Something of it was packed, sent or given back. Cancel what is left instead."),
                      code="rested_on")
    order = mark_undone(order, by=by)
    for line in lines:
        for change in line.hold.changes.standing().order_by("-pk"):
            undo_hold_change(by=by, change=change)
        mark_undone(Hold.objects.lock(line.hold), by=by)
    return order


def lock_order_line(order_line: OrderLine) -> OrderLine:
    """The line as it stands now, its order locked and its stock with it."""
    order = Order.objects.lock(order_line.order)
    require_standing(order)
    lock_lines([order_line.line_id])
    return OrderLine.objects.with_standing().select_related("order", "hold", "line").get(pk=order_line.pk)
