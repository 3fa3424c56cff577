"""Trade orders: taken and undone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.pricing.models import Way
from ledger.sales.models import Customer, Order, OrderLine, StandingOrder
from ledger.sales.queries.agreed import agreed_net
from ledger.sales.queries.terms import carriage_proposed, order_terms_on
from ledger.stock.actions import hold, lock_lines, undo_hold
from ledger.stock.models import Balance, Line
from ledger.stock.queries import lowest_free
from ledger.stock.queries.seasons import lowest_free_of_season

from .customers import require_named
from .retail import MOST, named_cost_object
from .terms import require_least, require_packs


@dataclass(frozen=True)
class Asked:
    """So many of a line asked for; `promised` None: all of them.

    `price` net of one, left alone; None: the customer's own price, else the list with its steps. `season`: only bunches made
    in that season will do (None: of any).
    """

    line: Line
    asked: int
    promised: int | None = None
    price: int | None = None
    season: int | None = None

    @property
    def to_promise(self) -> int:
        return self.asked if self.promised is None else self.promised


@action("selling")
def take_order(
    *, by: User, on: date, customer: Customer, way: Way, lines: Sequence[Asked], wanted_on: date | None = None,
    reference: str = "", standing_order: StandingOrder | None = None, carriage: int | None = None,
    all_the_same: bool = False, sale_or_return: bool = False, what_is_free: bool = False,
) -> Order:
    """Take a trade order and keep what is promised; refused when more is promised than is free.

    `standing_order`: the agreement that came round, `wanted_on` its day. `carriage`: net minor units; None: by the terms of
    the way that day. An order below their least, or off a pack's size, is refused unless it is taken `all_the_same`.
    `sale_or_return`: what is handed over stays the holding's until it is reported sold. `what_is_free`: where no number is
    said to be promised, as many as are free and asked for.
    """
    require_named(customer)
    _check(lines, on, wanted_on)
    if not all_the_same:
        require_packs(lines, way, on)
    locked = lock_lines(asked.line for asked in lines)
    lines = [_as_free(asked, on) for asked in lines] if what_is_free else lines
    prices = [_price(asked, customer, way, on) for asked in lines]
    net = sum(asked.asked * price for asked, price in zip(lines, prices, strict=True))
    terms = order_terms_on(way, on)
    if not all_the_same:
        require_least(net, terms)
    order = record(
        Order(
            cost_object=named_cost_object("order", str(_("Order %(key)s"))), on=on, customer=customer, way=way,
            wanted_on=wanted_on, reference=reference, standing_order=standing_order,
            sale_or_return=sale_or_return, carriage=carriage_proposed(terms, net) if carriage is None else carriage,
        ),
        by=by,
    )
    for asked, price in zip(lines, prices, strict=True):
        promise_line(by, order, asked, order.on, price, locked=locked[asked.line.pk])
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


def _as_free(asked: Asked, on: date) -> Asked:
    if asked.promised is not None:
        return asked
    return replace(asked, promised=min(asked.asked, free_of(asked.line, asked.season, on)))


def free_of(line: Line, season: int | None, on: date) -> int:
    """How many bunches of a line (of one season only, where asked) could be promised that day."""
    free = lowest_free(line, on)
    return max(free if season is None else min(free, lowest_free_of_season(line, season, on)), 0)


def promise_line(
    by: User, order: Order, asked: Asked, on: date, price: int, instead_of: OrderLine | None = None, locked: Balance | None = None
) -> OrderLine:
    """A line of an order, with the hold that keeps what of it is promised on a day; `locked`: its balance, just locked."""
    kept = hold(
        by=by, on=on, line=asked.line, bunches=asked.to_promise, for_what=order.cost_object.label, season=asked.season,
        locked=locked,
    )
    return keep(
        OrderLine(
            order=order, line=asked.line, asked=asked.asked, promised=asked.to_promise, price=price, hold=kept,
            instead_of=instead_of,
        )
    )


def _price(asked: Asked, customer: Customer, way: Way, on: date) -> int:
    """The net price of one: as typed, else what was agreed or listed."""
    if asked.price is not None and asked.price < 0:
        raise refusal("price", _("A price cannot be below zero."), code="negative")
    if asked.price is not None:
        return asked.price
    agreed = agreed_net(customer, asked.line, way, on, asked.asked)
    if agreed is None:
        raise refusal("price", _("%(what)s has no price by %(way)s that day. Give one."), code="no_price",
                      what=asked.line, way=way)
    return agreed


@action("selling")
def undo_order(*, by: User, order: Order) -> Order:
    """Undo an order of which nothing was packed, given back or left short."""
    order = Order.objects.lock(order)
    lines = list(OrderLine.objects.standing().with_standing().filter(order=order).select_related("hold").order_by("line"))
    lock_lines(line.line_id for line in lines)
    for line in lines:
        if why := _rests_on(line):
            raise refusal(None, why, code="rested_on", line=line)
    for change in order.said_anew.standing():
        mark_undone(change, by=by)
    order = mark_undone(order, by=by)
    for line in lines:
        for more in (*line.laters.standing(), *line.asked_changes.standing()):
            mark_undone(more, by=by)
        undo_hold(by=by, hold=line.hold)
    return order


def _rests_on(line: Any) -> Any:
    """Why an order with this line, with its standing, cannot be undone; None where nothing rests on it."""
    if line.packed or line.sent:
        return _("Something of %(line)s was packed or sent. Cancel what is left instead.")
    if line.given_back:
        return _("Some of %(line)s was given back. Cancel what is left instead.")
    if line.short:
        return _("Some of %(line)s was left short. Cancel what is left instead.")
    return None


def lock_order_line(order_line: OrderLine, also: Iterable[int] = ()) -> OrderLine:
    """The line as it stands now, its order locked and its stock with it, that of the bunch lines `also` (keys) at once."""
    order = Order.objects.lock(order_line.order)
    require_standing(order)
    lock_lines({order_line.line_id, *also})
    return OrderLine.objects.with_standing().select_related("order", "hold__line", "line").get(pk=order_line.pk)
