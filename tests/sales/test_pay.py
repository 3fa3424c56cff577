"""Payments on invoices."""

from collections.abc import Callable
from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.test import Client
from django.urls import reverse

from ledger.books.actions import close_year
from ledger.facts.models import User
from ledger.sales.actions import blank_customer, credit, give_money_back, invoice_job, pay, undo_payment
from ledger.sales.models import Customer, Invoice
from tests.factories.jobs import HELD, PieceFactory, deposited, job_done
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


def overpaid(owner: User, *, credited: int = 1) -> Invoice:
    """10.26 paid for three at 3.42, then so many of them credited."""
    invoice = invoiced(3, price=342)
    pay(by=owner, invoice=invoice, on=BILLED, amount=1026)
    credit(by=owner, invoice=invoice, on=LATER, lines=[(invoice.lines.get(), credited)], why="blown")
    return invoice


def test_what_was_paid_too_much_is_given_back(owner: User) -> None:
    """One of three credited: 3.42, in parts, and not a penny more; the customer is even."""
    invoice = overpaid(owner)
    with refused("too_much"):
        give_money_back(by=owner, invoice=invoice, on=LATER, amount=343)
    first = give_money_back(by=owner, invoice=invoice, on=LATER, amount=300, how="transfer")
    assert (first.amount, first.back, first.how, owed(invoice)) == (-300, 300, "transfer", -42)
    give_money_back(by=owner, invoice=invoice, on=LATER, amount=42)
    assert owed(invoice) == 0 and Customer.objects.with_owed().get().owed == 0
    with refused("too_much"):
        give_money_back(by=owner, invoice=invoice, on=LATER, amount=1)


def test_a_payment_is_not_undone_under_what_was_given_back_of_it(owner: User) -> None:
    """The giving back first; then both are gone."""
    invoice = overpaid(owner)
    back = give_money_back(by=owner, invoice=invoice, on=LATER, amount=342)
    payment = invoice.payments.get(amount=1026)
    with refused("given_back"):
        undo_payment(by=owner, payment=payment)
    undo_payment(by=owner, payment=back)
    undo_payment(by=owner, payment=payment)
    assert owed(invoice) == 684


def test_money_that_cannot_be_given_back(owner: User, hand: User) -> None:
    """Nothing, before the invoice, of a credit, of one not overpaid, by a hand."""
    invoice = overpaid(owner)
    for code, change in (
        ("too_few", {"amount": 0}), ("too_early", {"on": date(2024, 9, 4)}),
        ("not_an_invoice", {"invoice": invoice.credited_by.get()}), ("too_much", {"invoice": invoiced(3)}),
    ):
        with refused(code):
            give_money_back(**{"by": owner, "invoice": invoice, "on": LATER, "amount": 5, **change})
    with pytest.raises(PermissionDenied):
        give_money_back(by=hand, invoice=invoice, on=LATER, amount=5)


def test_a_deposit_used_in_a_closed_year_is_given_back_in_the_next(owner: User) -> None:
    """Used in 2024, all credited in 2025: 10.00 back makes them even, and the customer can be forgotten."""
    job = PieceFactory(quantity=1, price=1000).job
    deposited(job, 1000)
    job_done(job)
    invoice = invoice_job(by=owner, job=job, on=HELD)
    close_year(by=owner, on=date(2024, 12, 31))
    credit(by=owner, invoice=invoice, on=date(2025, 1, 5), lines=[(invoice.lines.get(), 1)], why="not delivered")
    with refused("still_open"):
        blank_customer(by=owner, customer=job.customer)

    give_money_back(by=owner, invoice=invoice, on=date(2025, 1, 6), amount=1000)

    assert owed(invoice) == 0
    blank_customer(by=owner, customer=job.customer)


def test_the_pages_offer_and_show_money_given_back(owner: User, client_as: Callable[[User], Client]) -> None:
    """Begun with all of it; then the invoice and the list of payments tell of it."""
    invoice, client = overpaid(owner), client_as(owner)
    url = reverse("sales:give_money_back", args=[invoice.pk])
    assert url in client.get(invoice.get_absolute_url()).content.decode()
    form = client.get(url).context["form"]
    assert form["amount"].value() == "3.42"

    client.post(url, {"form_key": form["form_key"].value(), "amount": "3.42", "how": "transfer", "on": "2024-09-20"})

    back = invoice.payments.get(amount=-342)
    for page in (client.get(address).content.decode() for address in (invoice.get_absolute_url(), reverse("sales:payments"))):
        assert "given back" in page and reverse("sales:undo_payment", args=[back.pk]) in page
    assert url not in client.get(invoice.get_absolute_url()).content.decode()
    assert str(back) == "Given back of invoice 1, 2024-09-20"
