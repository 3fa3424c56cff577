"""Money received on invoices, and given back."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal
from ledger.pricing.queries.words import in_money
from ledger.sales.models import Invoice, Payment


@action("invoices")
def pay(*, by: User, invoice: Invoice, on: date, amount: int, how: str = "") -> Payment:
    """Record money received on an invoice; never more than is owed on it."""
    invoice = _lock(invoice, on, amount)
    if amount > invoice.owed:  # type: ignore[attr-defined]
        raise refusal("amount", _("More than is still owed on it."), code="too_much")
    return record(Payment(on=on, invoice=invoice, amount=amount, how=how), by=by)


@action("invoices")
def give_money_back(*, by: User, invoice: Invoice, on: date, amount: int, how: str = "") -> Payment:
    """Record money given back on an invoice paid beyond what is left of it after credits; never more than that.

    A payment below nothing, minor units.
    """
    invoice = _lock(invoice, on, amount)
    over = max(-invoice.owed, 0)  # type: ignore[attr-defined]
    if amount > over:
        raise refusal("amount", _("%(over)s more was paid than it asks for."), code="too_much", over=in_money(over))
    return record(Payment(on=on, invoice=invoice, amount=-amount, how=how), by=by)


@action("invoices")
def undo_payment(*, by: User, payment: Payment) -> Payment:
    """Undo a payment, or a giving back: the invoice is owed again; never so that more was given back than was overpaid."""
    invoice = Invoice.objects.lock(payment.invoice)
    payment = undo_within(payment, by=by)
    gave_back = invoice.payments.standing().filter(amount__lt=0).exists()
    if gave_back and Invoice.objects.with_owed().get(pk=invoice.pk).owed > 0:
        raise refusal(None, _("Money was given back since, as too much was paid. Undo that first."), code="given_back")
    return payment


def _lock(invoice: Invoice, on: date, amount: int) -> Invoice:
    """The invoice with what is owed on it now, locked; refused on a day or for an amount that cannot be."""
    Invoice.objects.lock(invoice)
    invoice = Invoice.objects.with_owed().get(pk=invoice.pk)
    if invoice.kind != Invoice.Kind.INVOICE:
        raise refusal(None, _("Nothing is owed on a credit."), code="not_an_invoice")
    if on < invoice.on:
        raise refusal("on", _("It was invoiced only on %(on)s."), code="too_early", on=invoice.on)
    if amount < 1:
        raise refusal("amount", _("A payment is more than nothing."), code="too_few")
    return invoice
