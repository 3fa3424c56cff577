"""What is said anew of an order: when it is wanted, the customer's reference, the carriage."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, mark_undone, record, refusal, require_standing
from ledger.sales.models import Order, OrderChange
from ledger.sales.queries.carriage import carriage_sent


@action("selling")
def change_order(
    *, by: User, order: Order, on: date, wanted_on: date | None = None, reference: str = "", carriage: int | None = None
) -> OrderChange:
    """Say anew when an order is wanted, its reference and its carriage (None: as it was), not below what of it was sent."""
    order = Order.objects.lock(order)
    require_standing(order)
    said = order.said
    if on < said.on:
        raise refusal("on", _("It was said so only on %(on)s."), code="too_early", on=said.on)
    if wanted_on is not None and wanted_on < order.on:
        raise refusal("wanted_on", _("It was ordered only on %(on)s."), code="too_early", on=order.on)
    carriage = said.carriage if carriage is None else carriage
    if (wanted_on, reference, carriage) == (said.wanted_on, said.reference, said.carriage):
        raise refusal(None, _("Nothing is changed by that."), code="unchanged")
    _require_carriage(order, carriage)
    return record(OrderChange(on=on, order=order, wanted_on=wanted_on, reference=reference, carriage=carriage), by=by)


@action("selling")
def undo_order_change(*, by: User, change: OrderChange) -> OrderChange:
    """Undo what was said anew: what was said before holds again, its carriage not below what was sent."""
    order = Order.objects.lock(change.order)
    change = mark_undone(OrderChange.objects.lock(change), by=by)
    _require_carriage(order, order.said.carriage)
    return change


def _require_carriage(order: Order, carriage: int) -> None:
    if carriage < carriage_sent(order):
        raise refusal("carriage", _("More carriage than that was sent with a parcel already."), code="carriage_sent")
