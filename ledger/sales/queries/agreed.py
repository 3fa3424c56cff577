"""What a customer is charged for a line: the own price first, else the price list, each with its quantity steps."""

from __future__ import annotations

from datetime import date

from ledger.pricing.models import Way
from ledger.pricing.queries import price_on, without_tax
from ledger.sales.models import Customer, CustomerPrice
from ledger.stock.models import Line

Steps = list[tuple[int, int]]


def own_price_on(customer: Customer | None, line: Line, way: Way, on: date, quantity: int = 1) -> int | None:
    """The customer's own price of one of so many, as the way keeps it; None where none holds that day."""
    if customer is None:
        return None
    steps = CustomerPrice.objects.in_force(on).filter(customer=customer, line=line, way=way, at_least__lte=quantity)
    return steps.order_by("-at_least", "-pk").values_list("amount", flat=True).first()


def agreed_price(customer: Customer | None, line: Line, way: Way, on: date, quantity: int = 1) -> int | None:
    """What one of so many costs this customer that day, as the way keeps it; None where nothing was set."""
    own = own_price_on(customer, line, way, on, quantity)
    return price_on(line, way, on, quantity) if own is None else own


def agreed_net(customer: Customer | None, line: Line, way: Way, on: date, quantity: int = 1) -> int | None:
    """The same without tax, however the way keeps its prices."""
    price = agreed_price(customer, line, way, on, quantity)
    return None if price is None else without_tax(price, way, on)


def own_steps(way: Way, on: date, customer: Customer | None = None) -> dict[int, dict[Customer, Steps]]:
    """By line's key and customer: (at least, own price) that day, the lowest step first; `customer` None: everybody's."""
    rows = CustomerPrice.objects.in_force(on).filter(way=way, customer__blanked_at__isnull=True)
    rows = rows.filter(customer=customer) if customer else rows
    found: dict[int, dict[Customer, Steps]] = {}
    for row in rows.select_related("customer").order_by("customer__name", "customer", "line", "at_least"):
        assert row.amount is not None
        found.setdefault(row.line_id, {}).setdefault(row.customer, []).append((row.at_least, row.amount))
    return found
