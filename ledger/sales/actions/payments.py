"""Money received on invoices."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal
from ledger.sales.models import Invoice, Payment


@action("invoices")
def pay(*, by: User, invoice: Invoice, on: date, amount: int, how: str = "") -> Payment:
    """Record money received on an invoice; never more than is owed on it."""
    Invoice.objects.lock(invoice)
    invoice = Invoice.objects.with_owed().get(pk=invoice.pk)
    if invoice.kind != Invoice.Kind.INVOICE:
        raise refusal(None, _("Nothing is owed on a credit."), code="not_an_invoice")
    if on < invoice.on:
        raise refusal("on", _("It was invoiced only on %(on)s."), code="too_early", on=invoice.on)
    if amount < 1:
        raise refusal("amount", _("A payment is more than nothing."), code="too_few")
    if amount > invoice.owed:
        raise refusal("amount", _("More than is still owed on it."), code="too_much")
    return record(Payment(on=on, invoice=invoice, amount=amount, how=how), by=by)


@action("invoices")
def undo_payment(*, by: User, payment: Payment) -> Payment:
    """Undo a payment: the invoice is owed again."""
    Invoice.objects.lock(payment.invoice)
    return undo_within(payment, by=by)
