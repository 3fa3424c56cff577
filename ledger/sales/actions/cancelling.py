"""All that is left of an order cancelled at once."""

from __future__ import annotations

from datetime import date

from django.db.models import F
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, refusal, require_standing
from ledger.sales.models import Order, OrderLine
from ledger.stock.actions import lock_lines

from .promises import cancel


@action("selling")
def cancel_order(*, by: User, order: Order, on: date) -> Order:
    """Note that the customer wants no more of an order: of each line all that is neither packed nor sent, as `cancel` notes it.

    What stands in for a line goes first, so that what it stood in for is cancelled with it. Each line's change is undone by
    itself, the last first.
    """
    order = Order.objects.lock(order)
    require_standing(order)
    lines = list(order.lines.order_by(F("instead_of").asc(nulls_last=True), "pk").values_list("pk", "line"))
    lock_lines(line for _key, line in lines)
    cancelled = [_cancelled(by, key, on) for key, _line in lines]
    if not any(cancelled):
        raise refusal(None, _("All of it is packed, sent or cancelled already."), code="nothing_left")
    return order


def _cancelled(by: User, key: int, on: date) -> bool:
    line = OrderLine.objects.with_standing().get(pk=key)
    if line.not_packed > 0:
        cancel(by=by, order_line=line, on=on, bunches=line.not_packed)
    return line.not_packed > 0
