"""Questions about what is still to be invoiced, credited or paid."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from django.db.models import F, QuerySet

from ledger.drying.queries import total

from .sets import rows

if TYPE_CHECKING:
    from ledger.sales.models import Invoice, Order


def not_invoiced(order: Order, on: date) -> QuerySet:
    """Lines of an order's dispatches up to that day that are on no invoice, the first sent first."""
    sent = rows("DispatchLine").filter(dispatch__order=order, dispatch__undone_at__isnull=True, dispatch__on__lte=on)
    sent = sent.filter(invoice_lines__isnull=True).select_related("order_line__line__variety__species", "dispatch")
    return sent.order_by("dispatch__on", "pk")


def lines_to_credit(invoice: Invoice) -> QuerySet:
    """An invoice's lines with `left`: how many can still be credited."""
    credited = total(rows("InvoiceLine"), "credits_line", "quantity")
    lines = rows("InvoiceLine").filter(invoice=invoice, credits_line__isnull=True)
    return lines.annotate(left=F("quantity") - credited).select_related("dispatch_line", "carriage_of").order_by("pk")


def on_paper(invoice: Invoice) -> dict[str, Any]:
    """What an issued paper shows: like lines together, the days of sending, how much the unit is."""
    lines: dict[tuple[str, int], list[int]] = {}
    days = set()
    for line in invoice.lines.select_related("dispatch_line__dispatch"):
        so_far = lines.setdefault((line.description, line.price), [0, 0])
        so_far[0] += line.quantity
        so_far[1] += line.net
        if line.dispatch_line is not None:
            days.add(line.dispatch_line.dispatch.on)
    rows = [(description, quantity, price, net) for (description, price), (quantity, net) in lines.items()]
    return {"rows": rows, "sent_on": sorted(days)}
