"""Questions about what is still to be invoiced, credited or paid."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from django.db.models import Case, F, QuerySet, When

from ledger.drying.queries import total
from ledger.facts.models import TaxStatus

from .sets import rows

if TYPE_CHECKING:
    from ledger.sales.models import Invoice, InvoiceLine, Order


def not_invoiced(order: Order, on: date) -> QuerySet:
    """Lines of an order's dispatches up to that day that are on no invoice, the first sent first."""
    sent = rows("DispatchLine").filter(dispatch__order=order, dispatch__undone_at__isnull=True, dispatch__on__lte=on)
    sent = sent.filter(invoice_lines__isnull=True).select_related("order_line__line__variety__species", "dispatch")
    return sent.order_by("dispatch__on", "pk")


def lines_to_credit(invoice: Invoice) -> QuerySet:
    """An invoice's lines with `left`: how many can still be credited, and `left_net`: how much, net minor units.

    `pieces`: how many there were; of a charge with tax in it, which is billed as one, how many were charged.
    """
    credited, back = (total(rows("InvoiceLine"), "credits_line", what) for what in ("quantity", "net"))
    lines = rows("InvoiceLine").filter(invoice=invoice, credits_line__isnull=True)
    charged = When(invoice__with_tax=True, charge__isnull=False, then=F("charge__quantity"))
    lines = lines.annotate(pieces=Case(charged, default=F("quantity")))
    lines = lines.annotate(left=F("pieces") - credited, left_net=F("net") - back).order_by("pk")
    return lines.select_related("dispatch_line", "carriage_of", "charge", "broken")


def on_paper(invoice: Invoice) -> dict[str, Any]:
    """What an issued paper shows: like lines together, the days of sending or doing, what is left after the deposit used on it.

    Lines are (words, how many, price of one, net); of prices with tax each by itself: (words, how many, price of all, net).
    """
    lines: dict[tuple[str, int, int], list[int]] = {}
    days = set()
    for line in invoice.lines.select_related("dispatch_line__dispatch", "charge__done", "broken"):
        apart = line.pk if invoice.with_tax else 0
        so_far = lines.setdefault((line.description, price_shown(line), apart), [0, 0])
        so_far[0] += line.quantity
        so_far[1] += line.net
        days |= {thing.on for thing in _what_happened(line)}
    shown = [(description, quantity, price, net) for (description, price, _apart), (quantity, net) in lines.items()]
    heads = (2 if invoice.with_tax else 3) + (invoice.status == TaxStatus.Status.REGISTERED)
    return {"rows": shown, "happened_on": sorted(days), "left_to_pay": invoice.gross - invoice.deposit, "heads": heads}


def price_shown(line: InvoiceLine) -> int:
    """The price of one; of a paper whose prices are with tax that of all of a line with the tax it holds."""
    if not line.invoice.with_tax:
        return line.price
    if line.credits_line_id is not None:
        return line.quantity * line.price
    pieces, price = pieces_with_tax(line)
    return pieces * price


def pieces_with_tax(line: InvoiceLine) -> tuple[int, int]:
    """How many an invoice's line of prices with tax bills, and the price of one with the tax it holds."""
    if line.charge is not None:
        return line.charge.quantity, line.charge.price
    return 1, line.broken.charge if line.broken else line.price


def _what_happened(line: InvoiceLine) -> list[Any]:
    """The dispatch, the doing of a job or the coming back of its hire that a line bills; carriage goes with its dispatch."""
    sent, charge = line.dispatch_line, line.charge
    found = [sent.dispatch if sent else None, charge.done if charge else None, line.broken]
    return [thing for thing in found if thing is not None]
