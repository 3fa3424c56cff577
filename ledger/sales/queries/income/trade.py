"""Income of what was sent on orders, on the day of sending."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from ledger.sales.models import DispatchLine, InvoiceLine

from ..carriage import shared_over_lines
from .line import DRIED, IncomeLine
from .papers import with_tax_shares


def of_orders(first: date, last: date) -> Iterable[IncomeLine]:
    """What was sent, each line with its share of its dispatch's carriage."""
    rows = DispatchLine.objects.filter(dispatch__undone_at__isnull=True, dispatch__on__gte=first, dispatch__on__lte=last)
    sent = list(rows.select_related("dispatch", "order_line__order", "order_line__line").order_by("dispatch__on", "pk"))
    papers = _on_papers(first, last)
    kept = {row.dispatch_id: row.dispatch.carriage + papers.carriage_changed[row.dispatch_id] for row in sent}
    carried, carried_tax = shared_over_lines(sent, kept), shared_over_lines(sent, papers.carriage_taxes)
    for row in sent:
        order = row.order_line.order
        net = row.bunches * row.order_line.price - papers.credited[row.pk] + carried[row.pk]
        yield IncomeLine(
            on=row.dispatch.on, kind=DRIED, movements=((row.movement_id, row.bunches),), partings=(), net=net,
            gross=net + papers.taxes[row.pk] + carried_tax[row.pk], way=order.way_id, customer=order.customer_id,
            spent_on=order.pk, line=row.order_line.line_id, variety=row.order_line.line.variety_id,
        )


@dataclass(frozen=True)
class _Papers:
    """By dispatch line: the share of the tax of invoices less credits, and the net credited; by dispatch: that of carriage.

    `carriage_changed`: what was billed with a dispatch beyond what went with it, less what was credited.
    """

    taxes: dict[int | None, int]
    credited: dict[int | None, int]
    carriage_taxes: dict[int, int]
    carriage_changed: dict[int, int]


def _on_papers(first: date, last: date) -> _Papers:
    rows = InvoiceLine.objects.filter(invoice__on__lte=last, invoice__order__dispatches__on__gte=first).distinct()
    found = _Papers(defaultdict(int), defaultdict(int), defaultdict(int), defaultdict(int))
    for line, tax in with_tax_shares(rows.select_related("invoice", "carriage_of").order_by("invoice__number", "pk")):
        sign = -1 if line.invoice.kind == "credit" else 1
        _note(found, line, sign * tax, line.net if sign < 0 else 0)
    return found


def _note(found: _Papers, line: InvoiceLine, tax: int, credited: int) -> None:
    if line.carriage_of is None:
        found.taxes[line.dispatch_line_id] += tax
        found.credited[line.dispatch_line_id] += credited
    else:
        found.carriage_taxes[line.carriage_of.pk] += tax
        billed_later = line.net - line.carriage_of.carriage if line.credits_line_id is None else 0
        found.carriage_changed[line.carriage_of.pk] += billed_later - credited
