"""Orders that come round: agreed once, taken on each of their days, or left out, until they end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.pricing.models import Way
from ledger.sales.models import Customer, Order, StandingEnd, StandingLeftOut, StandingLine, StandingOrder
from ledger.sales.queries.standing import comes_round, last_day
from ledger.stock.actions import lock_lines
from ledger.stock.models import Line
from ledger.stock.queries import lowest_free

from .customers import require_named
from .orders import Asked, take_order
from .retail import MOST


@dataclass(frozen=True)
class EachTime:
    """So many of a line each time; `price` net of one, None: what is agreed or listed that day."""

    line: Line
    asked: int
    price: int | None = None


@action("selling")
def agree_standing_order(
    *, by: User, on: date, customer: Customer, way: Way, first_on: date, lines: Sequence[EachTime], every: int = 1,
    unit: str = StandingOrder.Every.WEEKS, reference: str = "",
) -> StandingOrder:
    """Agree an order that is wanted first on a day and then every so many weeks or months; nothing is promised by it yet."""
    require_named(customer)
    if not lines:
        raise refusal("lines", _("Say what is wanted each time."), code="no_lines")
    if len({each.line.pk for each in lines}) < len(lines):
        raise refusal("lines", _("A line is named twice."), code="twice")
    if not all(1 <= each.asked <= MOST for each in lines):
        raise refusal("asked", _("Between 1 and %(most)d, please."), code="absurd", most=MOST)
    standing = record(
        StandingOrder(on=on, customer=customer, way=way, first_on=first_on, every=every, unit=unit, reference=reference), by=by
    )
    for each in lines:
        keep(StandingLine(standing_order=standing, line=each.line, asked=each.asked, price=each.price))
    return standing


@action("selling")
def undo_standing_order(*, by: User, standing_order: StandingOrder) -> StandingOrder:
    """Undo an agreement of which no order was taken."""
    standing = StandingOrder.objects.lock(standing_order)
    if standing.orders.standing().exists():
        raise refusal(None, _("Orders of it were taken. End it instead."), code="rested_on")
    for more in (*standing.ends.standing(), *standing.left_out.standing()):
        mark_undone(more, by=by)
    return mark_undone(standing, by=by)


@action("selling")
def end_standing_order(*, by: User, standing_order: StandingOrder, on: date) -> StandingEnd:
    """End it: nothing of it is wanted from that day on. Orders taken already stay."""
    standing = _standing(standing_order, on)
    last = last_day(standing)
    if last is not None:
        raise refusal("on", _("It was ended on %(on)s."), code="ended", on=last)
    return record(StandingEnd(on=on, standing_order=standing), by=by)


@action("selling")
def undo_standing_end(*, by: User, end: StandingEnd) -> StandingEnd:
    """Undo an ending: it comes round as before."""
    return undo_within(end, by=by)


@action("selling")
def take_standing_order(*, by: User, standing_order: StandingOrder, on: date, wanted_on: date) -> Order:
    """Take the order that is wanted on one of its days: what is free is promised, the rest stands as asked and not promised."""
    standing = _open_day(standing_order, on, wanted_on)
    if on > wanted_on:
        raise refusal(
            "on", _("It was wanted for %(day)s. Leave that day out, or take it as of a day up to then."), code="too_late",
            day=wanted_on,
        )
    lines = list(standing.lines.select_related("line__variety__species"))
    lock_lines(each.line for each in lines)
    asked = [
        Asked(each.line, each.asked, min(each.asked, max(lowest_free(each.line, on), 0)), each.price) for each in lines
    ]
    return take_order(
        by=by, on=on, customer=standing.customer, way=standing.way, lines=asked, wanted_on=wanted_on,
        reference=standing.reference, standing_order=standing, all_the_same=True,
    )


@action("selling")
def leave_out(*, by: User, standing_order: StandingOrder, on: date, wanted_on: date) -> StandingLeftOut:
    """Leave one of its days out: nothing is wanted then."""
    standing = _open_day(standing_order, on, wanted_on)
    return record(StandingLeftOut(on=on, standing_order=standing, wanted_on=wanted_on), by=by)


@action("selling")
def undo_leaving_out(*, by: User, left_out: StandingLeftOut) -> StandingLeftOut:
    """Undo a leaving out: that day is to be taken again."""
    return undo_within(left_out, by=by)


def _standing(standing_order: StandingOrder, on: date) -> StandingOrder:
    standing = StandingOrder.objects.lock(standing_order)
    require_standing(standing)
    if on < standing.on:
        raise refusal("on", _("It was agreed only on %(on)s."), code="too_early", on=standing.on)
    return standing


def _open_day(standing_order: StandingOrder, on: date, wanted_on: date) -> StandingOrder:
    """The agreement, that day being one on which it comes round and of which nothing was said yet."""
    standing = _standing(standing_order, on)
    if not comes_round(standing, wanted_on):
        raise refusal("wanted_on", _("It does not come round on %(day)s."), code="not_due", day=wanted_on)
    last = last_day(standing)
    if last is not None and wanted_on >= last:
        raise refusal("wanted_on", _("It was ended on %(on)s."), code="ended", on=last)
    if standing.orders.standing().filter(wanted_on=wanted_on).exists():
        raise refusal("wanted_on", _("That day's order is taken already."), code="twice")
    if standing.left_out.standing().filter(wanted_on=wanted_on).exists():
        raise refusal("wanted_on", _("That day is left out already."), code="twice")
    return standing
