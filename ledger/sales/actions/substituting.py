"""Other bunches packed in the place of what cannot be found."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, refusal
from ledger.sales.models import OrderLine
from ledger.stock.actions import release
from ledger.stock.models import Batch, Box

from .orders import lock_order_line
from .packing import pack
from .promises import stand_in


@action("packing")
def substitute(
    *, by: User, order_line: OrderLine, on: date, batch: Batch, box: Box | None, bunches: int, price: int | None = None
) -> OrderLine:
    """Pack bunches of another line in the place of an order's line: they stand in for it, and its promise of them is free again.

    `price`: net of one; None: what the line it stands in for costs.
    """
    order_line = lock_order_line(order_line, [batch.line_id])
    left = order_line.not_packed
    if not 1 <= bunches <= left:
        raise refusal("bunches", _("Only %(left)d are neither packed nor sent."), code="too_many", left=left)
    promised = bunches - min(bunches, order_line.lacking)
    if promised:
        release(by=by, hold=order_line.hold, on=on, bunches=promised)
    instead = stand_in(by=by, order_line=order_line, on=on, line=batch.line, bunches=bunches, price=price)
    pack(by=by, order_line=instead, on=on, batch=batch, box=box, bunches=bunches)
    return instead
