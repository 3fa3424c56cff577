"""Payments on invoices."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.models import User
from ledger.sales.actions import credit, pay, undo_payment
from ledger.sales.models import Customer, Invoice
from tests.factories.sales import BILLED, invoiced
from tests.refusals import refused

LATER = date(2024, 9, 20)


def owed(invoice: Invoice) -> int:
    """What is owed on it now."""
    return Invoice.objects.with_owed().get(pk=invoice.pk).owed


def test_an_invoice_is_paid_in_parts(owner: User) -> None:
    """10.26 owed: 6.00 and 4.26 pay it, and not a penny more is taken."""
    invoice = invoiced(3, price=342)
    pay(by=owner, invoice=invoice, on=BILLED, amount=600, how="cash")
    with refused("too_much"):
        pay(by=owner, invoice=invoice, on=LATER, amount=427)
    pay(by=owner, invoice=invoice, on=LATER, amount=426)
    assert owed(invoice) == 0 and Customer.objects.with_owed().get().owed == 0


def test_what_was_credited_is_not_owed(owner: User) -> None:
    """One of three credited: 6.84 is left, on the invoice and of the customer."""
    invoice = invoiced(3, price=342)
    credit(by=owner, invoice=invoice, on=LATER, lines=[(invoice.lines.get(), 1)], why="blown")
    assert owed(invoice) == 684 and Customer.objects.with_owed().get().owed == 684
    with refused("too_much"):
        pay(by=owner, invoice=invoice, on=LATER, amount=685)


def test_a_payment_undone_is_owed_again(owner: User) -> None:
    """The invoice is open again for as much."""
    invoice = invoiced(3, price=342)
    undo_payment(by=owner, payment=pay(by=owner, invoice=invoice, on=LATER, amount=1026))
    assert owed(invoice) == 1026


def test_payments_that_cannot_be(owner: User) -> None:
    """Nothing, before the invoice, or of a credit: refused; on the invoice's own day it is taken."""
    invoice = invoiced(3)
    made = credit(by=owner, invoice=invoice, on=LATER, lines=[(invoice.lines.get(), 1)], why="blown")
    for code, change in (
        ("too_few", {"amount": 0}), ("too_early", {"on": date(2024, 9, 4)}), ("not_an_invoice", {"invoice": made})
    ):
        with refused(code):
            pay(**{"by": owner, "invoice": invoice, "on": BILLED, "amount": 5, **change})
    assert pay(by=owner, invoice=invoice, on=BILLED, amount=5).on == BILLED


def test_overdue_from_the_day_after_the_due_day(owner: User) -> None:
    """Due on 5 October: not overdue that day, overdue the next, never when paid."""
    invoice = invoiced(3)
    assert not Invoice.objects.overdue(date(2024, 10, 5)).exists()
    assert Invoice.objects.overdue(date(2024, 10, 6)).get() == invoice
    pay(by=owner, invoice=invoice, on=LATER, amount=1026)
    assert not Invoice.objects.overdue(date(2024, 10, 6)).exists()


def test_a_hand_takes_no_money(hand: User, owner: User) -> None:
    """Payments are for owner, seller and bookkeeper."""
    invoice = invoiced(3)
    with pytest.raises(PermissionDenied):
        pay(by=hand, invoice=invoice, on=LATER, amount=5)


def test_the_second_press_pays_once(owner: User) -> None:
    """The same form's key gives the first payment again."""
    invoice = invoiced(3)
    first = pay(by=owner, key="k" * 36, invoice=invoice, on=LATER, amount=26)
    assert pay(by=owner, key="k" * 36, invoice=invoice, on=LATER, amount=26) == first
    assert owed(invoice) == 1000
