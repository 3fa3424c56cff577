"""Invoices and credits: issued once, never edited, never undone."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from django.db.models import Sum
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import TaxStatus, User
from ledger.facts.queries import rate_on_invoice, tax_status_on
from ledger.facts.writing import action, keep, refusal
from ledger.reckoning.tax import credit_part_of_tax, credit_tax, tax_on
from ledger.sales.models import Dispatch, DispatchLine, Invoice, InvoiceLine, Order
from ledger.sales.queries.papers import lines_to_credit, not_invoiced

from .issuing import issue


@action("invoices")
def invoice(*, by: User, order: Order, on: date) -> Invoice:
    """Invoice all sent by that day and not yet invoiced, carriage in lines of its own; tax on the summed net, half up."""
    order = Order.objects.lock(order)
    sent = list(not_invoiced(order, on))
    if not sent:
        raise refusal(None, _("Nothing was sent by that day that is not invoiced already."), code="nothing_to_invoice")
    rate, status = rate_on_invoice(on, order.customer.tax_number), tax_status_on(on)
    carried = [one for one in dict.fromkeys(line.dispatch for line in sent) if one.carriage]
    net = sum(line.bunches * line.order_line.price for line in sent) + sum(one.carriage for one in carried)
    issued = issue(
        by, order.customer, order=order, on=on, kind=Invoice.Kind.INVOICE, due_on=on + timedelta(days=order.customer.days_to_pay),
        status=status.status if status else TaxStatus.Status.NONE, rate_bp=rate, net=net, tax=tax_on(net, rate),
        seller_tax_number=status.number if status else "",
    )
    for line in sent:
        _bill(issued, line)
    for dispatch in carried:
        _bill_carriage(issued, dispatch)
    return issued


def _bill(issued: Invoice, line: DispatchLine) -> InvoiceLine:
    price = line.order_line.price
    return keep(
        InvoiceLine(
            invoice=issued, dispatch_line=line, description=str(line.order_line.line)[:240], quantity=line.bunches,
            price=price, net=line.bunches * price,
        )
    )


def _bill_carriage(issued: Invoice, dispatch: Dispatch) -> InvoiceLine:
    net = dispatch.carriage
    return keep(
        InvoiceLine(invoice=issued, carriage_of=dispatch, description=str(_("Carriage")), quantity=1, price=net, net=net)
    )


@action("invoices")
def credit(
    *, by: User, invoice: Invoice, on: date, lines: Sequence[tuple[InvoiceLine, int]], why: str
) -> Invoice:
    """Credit part or all of an invoice; no more of a line than was invoiced and not yet credited.

    Its tax is the tax on all credits so far less the tax already credited; of an invoice with tax in its prices, the
    invoice's tax in the proportion of the net credited so far less that.
    """
    invoice = Invoice.objects.lock(invoice)
    _check(invoice, on, lines, why)
    net = sum(line.price * quantity for line, quantity in lines)
    issued = issue(
        by, invoice.customer, order=invoice.order, job=invoice.job, on=on, kind=Invoice.Kind.CREDIT, credits=invoice,
        due_on=on, status=invoice.status, rate_bp=invoice.rate_bp, with_tax=invoice.with_tax, net=net,
        tax=_tax_of_credit(invoice, net), seller_tax_number=invoice.seller_tax_number, why=why.strip(),
    )
    for line, quantity in lines:
        _credit_line(issued, line, quantity)
    return issued


def _tax_of_credit(invoice: Invoice, net: int) -> int:
    before = invoice.credited_by.aggregate(net=Coalesce(Sum("net"), 0), tax=Coalesce(Sum("tax"), 0))
    if invoice.with_tax:
        return credit_part_of_tax((invoice.net, invoice.tax), (before["net"], before["tax"]), net)
    return credit_tax(before["net"], before["tax"], net, invoice.rate_bp)


def _check(invoice: Invoice, on: date, lines: Sequence[tuple[InvoiceLine, int]], why: str) -> None:
    if invoice.kind != Invoice.Kind.INVOICE:
        raise refusal(None, _("Only an invoice can be credited."), code="not_an_invoice")
    if on < invoice.on:
        raise refusal("on", _("It was invoiced only on %(on)s."), code="too_early", on=invoice.on)
    if not lines:
        raise refusal("lines", _("Say what is credited."), code="no_lines")
    if not why.strip():
        raise refusal("why", _("Say why."), code="no_reason")
    open_lines = {line.pk: line.left for line in lines_to_credit(invoice)}
    for line, quantity in lines:
        if line.pk not in open_lines:
            raise refusal("lines", _("%(what)s is not on this invoice."), code="not_invoiced", what=line.description)
        if not 1 <= quantity <= open_lines[line.pk]:
            raise refusal("lines", _("%(left)d of %(what)s can still be credited."), code="too_many",
                          left=open_lines[line.pk], what=line.description)
        open_lines[line.pk] -= quantity


def _credit_line(issued: Invoice, line: InvoiceLine, quantity: int) -> InvoiceLine:
    return keep(
        InvoiceLine(
            invoice=issued, dispatch_line=line.dispatch_line, carriage_of=line.carriage_of, charge=line.charge,
            broken=line.broken, credits_line=line, description=line.description, quantity=quantity, price=line.price,
            net=quantity * line.price,
        )
    )
