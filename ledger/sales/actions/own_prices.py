"""One customer's own prices."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal
from ledger.pricing.models import Way
from ledger.sales.models import Customer, CustomerPrice
from ledger.stock.models import Line

from .customers import require_named


@action("prices")
def set_own_price(
    *, by: User, customer: Customer, way: Way, line: Line, on: date, amount: int | None, at_least: int = 1
) -> CustomerPrice:
    """Give a customer its own price of a line from a day on, as the way keeps its prices; None: the price list holds again.

    `at_least`: for so many or more at once; the end of the own price of one ends its own steps too.
    What was promised before keeps its price.
    """
    require_named(customer)
    if amount is not None and amount < 1:
        raise refusal("amount", _("A price is more than nothing."), code="too_few")
    given = {"customer": customer, "way": way, "line": line, "at_least": at_least}
    if amount is None and not CustomerPrice.objects.in_force(on).filter(**given).exists():
        raise refusal("amount", _("%(who)s has no such own price that day."), code="no_price", who=customer)
    return record(CustomerPrice(on=on, amount=amount, **given), by=by)


@action("prices")
def undo_own_price(*, by: User, own_price: CustomerPrice) -> CustomerPrice:
    """Undo an own price: what held before holds again, and with an ending the own steps that ended with it."""
    return undo_within(own_price, by=by)
