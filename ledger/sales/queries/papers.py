"""Questions about what is still to be invoiced, credited or paid."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from django.db.models import F, QuerySet

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
    """An invoice's lines with `left`: how many can still be credited, and `left_net`: how much, net minor units."""
    credited, back = (total(rows("InvoiceLine"), "credits_line", what) for what in ("quantity", "net"))
    lines = rows("InvoiceLine").filter(invoice=invoice, credits_line__isnull=True)
    lines = lines.annotate(left=F("quantity") - credited, left_net=F("net") - back).order_by("pk")
    return lines.select_related("dispatch_line", "carriage_of", "charge", "broken")


def on_paper(invoice: Invoice) -> dict[str, Any]:
    """What an issued paper shows: like lines together, the days of sending or doing, the deposits used on it.

    Lines are (words, how many, price of one, net); of prices with tax (words, how many, price of all with it, net).
    """
    lines: dict[tuple[str, int], list[int]] = {}
    days = set()
    for line in invoice.lines.select_related("dispatch_line__dispatch", "charge__done", "broken"):
        so_far = lines.setdefault((line.description, _price_shown(line)), [0, 0])
        so_far[0] += line.quantity
        so_far[1] += line.net
        days |= {thing.on for thing in _what_happened(line)}
    shown = [(description, quantity, price, net) for (description, price), (quantity, net) in lines.items()]
    deposits = invoice.payments.filter(undone_at=None, deposit_of__isnull=False).order_by("on", "pk")
    used = sum(one.amount for one in deposits)
    heads = (2 if invoice.with_tax else 3) + (invoice.status == TaxStatus.Status.REGISTERED)
    about = {"deposits": deposits, "left_to_pay": invoice.gross - used, "heads": heads}
    return {"rows": shown, "happened_on": sorted(days), **about}


def _price_shown(line: InvoiceLine) -> int:
    """The price of one, or of all with the tax it holds."""
    if not line.invoice.with_tax:
        return line.price
    of = line.charge.amount if line.charge else line.broken.charge if line.broken else line.price
    return of


def _what_happened(line: InvoiceLine) -> list[Any]:
    """The dispatch, the doing of a job or the coming back of its hire that a line bills; carriage goes with its dispatch."""
    sent, charge = line.dispatch_line, line.charge
    found = [sent.dispatch if sent else None, charge.done if charge else None, line.broken]
    return [thing for thing in found if thing is not None]
