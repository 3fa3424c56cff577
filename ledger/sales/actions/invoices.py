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
from ledger.pricing.queries.words import in_money
from ledger.reckoning.tax import credit_part_of_net, credit_tax, tax_on
from ledger.sales.models import Dispatch, DispatchLine, Invoice, InvoiceLine, Order
from ledger.sales.queries.carriage import carriage_left
from ledger.sales.queries.papers import lines_to_credit, not_invoiced, pieces_with_tax

from .issuing import issue


@action("invoices")
def invoice(*, by: User, order: Order, on: date, carriage_too: bool = False) -> Invoice:
    """Invoice all sent by that day and not yet invoiced, carriage in lines of its own; tax on the summed net, half up.

    `carriage_too`: also what of the order's carriage went with no parcel, billed with the last one whose carriage is on no
    paper yet, and income of its day.
    """
    order = Order.objects.lock(order)
    sent = list(not_invoiced(order, on))
    carried = {one: one.carriage for one in dict.fromkeys(line.dispatch for line in sent) if one.carriage}
    late = carriage_left(order) if carriage_too else 0
    if late and order.dispatches.standing_on(on).exists():
        bears = _bears_carriage(order, on)
        carried[bears] = bears.carriage + late
    if not sent and not carried:
        raise refusal(None, _("Nothing was sent by that day that is not invoiced already."), code="nothing_to_invoice")
    rate, status = rate_on_invoice(on, order.customer.tax_number), tax_status_on(on)
    net = sum(line.bunches * line.order_line.price for line in sent) + sum(carried.values())
    issued = issue(
        by, order.customer, order=order, on=on, kind=Invoice.Kind.INVOICE, due_on=on + timedelta(days=order.customer.days_to_pay),
        status=status.status if status else TaxStatus.Status.NONE, rate_bp=rate, net=net, tax=tax_on(net, rate),
        seller_tax_number=status.number if status else "",
    )
    for line in sent:
        _bill(issued, line)
    for dispatch, amount in carried.items():
        _bill_carriage(issued, dispatch, amount)
    return issued


def _bears_carriage(order: Order, on: date) -> Dispatch:
    """The last parcel sent by a day whose carriage is on no invoice: what is billed late of it is billed with that one."""
    sent = order.dispatches.standing_on(on).filter(carriage_lines__isnull=True).order_by("on", "pk")
    bears: Dispatch | None = sent.last()
    if bears is None:
        raise refusal(
            "carriage_too", _("The carriage of every parcel sent is on an invoice already, and a parcel's is billed once. "
                              "Let the rest go with another parcel."), code="carriage_on_paper",
        )
    return bears


def _bill(issued: Invoice, line: DispatchLine) -> InvoiceLine:
    price = line.order_line.price
    return keep(
        InvoiceLine(
            invoice=issued, dispatch_line=line, description=str(line.order_line.line)[:240], quantity=line.bunches,
            price=price, net=line.bunches * price,
        )
    )


def _bill_carriage(issued: Invoice, dispatch: Dispatch, net: int) -> InvoiceLine:
    return keep(
        InvoiceLine(invoice=issued, carriage_of=dispatch, description=str(_("Carriage")), quantity=1, price=net, net=net)
    )


@action("invoices")
def credit(
    *, by: User, invoice: Invoice, on: date, lines: Sequence[tuple[InvoiceLine, int]], why: str,
    carriage: Sequence[tuple[InvoiceLine, int]] = (),
) -> Invoice:
    """Credit part or all of an invoice; no more of a line than was invoiced and not yet credited.

    `lines`: how many of each, of a job quoted with tax how many of the pieces charged; `carriage`: of lines that bill
    carriage, how much of it, net minor units.
    Its tax is the tax on all credits so far less the tax already credited; of an invoice with tax in its prices, what the
    prices of all that is credited hold beyond its net.
    """
    invoice = Invoice.objects.lock(invoice)
    _check(invoice, on, [*lines, *carriage], why)
    _check_left(invoice, lines, carriage)
    rows = [*_credited(invoice, lines), *((line, 1, amount, amount) for line, amount in carriage)]
    net = sum(net for *_line, net in rows)
    issued = issue(
        by, invoice.customer, order=invoice.order, job=invoice.job, on=on, kind=Invoice.Kind.CREDIT, credits=invoice,
        due_on=on, status=invoice.status, rate_bp=invoice.rate_bp, with_tax=invoice.with_tax, net=net,
        tax=_tax_of_credit(invoice, rows), seller_tax_number=invoice.seller_tax_number, why=why.strip(),
    )
    for line, quantity, price, of_line in rows:
        _credit_line(issued, line, quantity, price, of_line)
    return issued


def _credited(invoice: Invoice, lines: Sequence[tuple[InvoiceLine, int]]) -> list[tuple[InvoiceLine, int, int, int]]:
    """Each line with how many, the price of one and the net of them; of prices with tax their part of the line's net."""
    if not invoice.with_tax:
        return [(line, quantity, line.price, quantity * line.price) for line, quantity in lines]
    before = {line.pk: line.pieces - line.left for line in lines_to_credit(invoice)}
    rows = []
    for line, quantity in lines:
        pieces, price = pieces_with_tax(line)
        net = credit_part_of_net(line.net, pieces=pieces, before=before[line.pk], now=quantity)
        rows.append((line, quantity, price, net))
        before[line.pk] += quantity
    return rows


def _tax_of_credit(invoice: Invoice, rows: Sequence[tuple[InvoiceLine, int, int, int]]) -> int:
    net = sum(net for *_line, net in rows)
    if invoice.with_tax:
        return sum(quantity * price for _line, quantity, price, _net in rows) - net
    before = invoice.credited_by.aggregate(net=Coalesce(Sum("net"), 0), tax=Coalesce(Sum("tax"), 0))
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


def _check_left(
    invoice: Invoice, lines: Sequence[tuple[InvoiceLine, int]], carriage: Sequence[tuple[InvoiceLine, int]]
) -> None:
    """No more of any line than is left of it, whether by number or by amount."""
    there = list(lines_to_credit(invoice))
    open_lines, amounts = {line.pk: line.left for line in there}, {line.pk: line.left_net for line in there}
    for line, quantity in lines:
        if line.pk not in open_lines:
            raise refusal("lines", _("%(what)s is not on this invoice."), code="not_invoiced", what=line.description)
        if not 1 <= quantity <= open_lines[line.pk]:
            raise refusal("lines", _("%(left)d of %(what)s can still be credited."), code="too_many",
                          left=open_lines[line.pk], what=line.description)
        open_lines[line.pk] -= quantity
        amounts[line.pk] -= quantity * line.price
    for line, amount in carriage:
        if line.pk not in amounts or line.carriage_of is None:
            raise refusal("lines", _("%(what)s is no carriage on this invoice."), code="not_carriage", what=line.description)
        if not 1 <= amount <= amounts[line.pk]:
            raise refusal("lines", _("%(left)s of %(what)s can still be credited."), code="too_much",
                          left=in_money(amounts[line.pk]), what=line.description)
        amounts[line.pk] -= amount


def _credit_line(issued: Invoice, line: InvoiceLine, quantity: int, price: int, net: int) -> InvoiceLine:
    words = line.description
    if issued.with_tax and line.charge is not None:
        words = str(_("%(n)d x %(what)s") % {"n": quantity, "what": line.charge.description})[:240]
    return keep(
        InvoiceLine(
            invoice=issued, dispatch_line=line.dispatch_line, carriage_of=line.carriage_of, charge=line.charge,
            broken=line.broken, credits_line=line, description=words, quantity=quantity, price=price, net=net,
        )
    )
