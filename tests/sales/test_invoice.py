"""Invoices and credits by the seller's tax status."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.sales.actions import add_customer, change_customer, credit, invoice
from ledger.sales.models import Invoice
from tests.factories.sales import BILLED, SENT, CustomerFactory, invoiced, order_of, ready, sent
from tests.refusals import refused

LATER = date(2024, 9, 20)


def registered(owner: User, *, rate_bp: int = 2000) -> None:
    """The seller is registered for tax at a rate."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="GB 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=rate_bp)


def test_an_unregistered_seller_adds_nothing(owner: User) -> None:
    """Not registered: no rate, no tax, the sum is the net."""
    issued = invoiced(3, price=342)
    assert (issued.status, issued.rate_bp, issued.net, issued.tax, issued.gross) == ("none", 0, 1026, 0, 1026)


def test_a_registered_seller_adds_tax_on_the_summed_net(owner: User) -> None:
    """10.26 at 20 % is 2.05, half up (hand-worked 19)."""
    registered(owner)
    issued = invoiced(3, price=342)
    assert (issued.status, issued.seller_tax_number, issued.rate_bp) == ("registered", "GB 000", 2000)
    assert (issued.net, issued.tax, issued.gross) == (1026, 205, 1231)


def test_a_flat_rate_farmer_adds_the_addition(owner: User) -> None:
    """Four per cent on 10.26 is 0.41, charged to registered buyers only (VAT Notice 700/46, paragraphs 1.4 and 1.5)."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="flat_rate", number="FR 1", addition_bp=400)
    issued = invoiced(3, price=342, customer=CustomerFactory(tax_number="GB 1"))
    unregistered = invoiced(3, price=342)
    assert (issued.status, issued.rate_bp, issued.tax) == ("flat_rate", 400, 41)
    assert (unregistered.status, unregistered.rate_bp, unregistered.tax) == ("flat_rate", 0, 0)


def test_two_credits_of_half_give_back_the_whole_tax(owner: User) -> None:
    """20 %: of 2.05 tax, credits of 5.13 net each give back 1.03 and 1.02 (hand-worked 19)."""
    registered(owner)
    issued = invoiced(2, price=513)
    line = issued.lines.get()

    credits = [credit(by=owner, invoice=issued, on=LATER, lines=[(line, 1)], why="blown") for _half in range(2)]

    assert issued.tax == 205
    assert [(one.number, one.net, one.tax) for one in credits] == [(2, 513, 103), (3, 513, 102)]
    assert Invoice.objects.with_owed().get(pk=issued.pk).owed == 0


def test_a_credit_keeps_the_rate_of_its_invoice(owner: User) -> None:
    """The rate went up between invoice and credit; the credit is at the old one."""
    registered(owner)
    issued = invoiced(2, price=500)
    set_tax_rate(by=owner, on=date(2024, 9, 10), rate_bp=2500)

    given = credit(by=owner, invoice=issued, on=LATER, lines=[(issued.lines.get(), 1)], why="blown")

    assert (given.rate_bp, given.tax, given.credits, given.due_on) == (2000, 100, issued, LATER)


def test_no_more_is_credited_than_was_invoiced(owner: User) -> None:
    """Three invoiced, two credited: one more, also when one line is named twice."""
    issued = invoiced(3)
    line = issued.lines.get()
    credit(by=owner, invoice=issued, on=LATER, lines=[(line, 2)], why="blown")
    for lines in ([(line, 2)], [(line, 0)], [(line, 1), (line, 1)]):
        with refused("too_many"):
            credit(by=owner, invoice=issued, on=LATER, lines=lines, why="blown")
    assert credit(by=owner, invoice=issued, on=LATER, lines=[(line, 1)], why="blown").number == 3


def test_a_credit_says_what_and_why_and_of_which_invoice(owner: User) -> None:
    """No lines, no reason, before the invoice, another's line, or of a credit: refused."""
    issued, other = invoiced(3), invoiced(3)
    line = issued.lines.get()
    given = {"by": owner, "invoice": issued, "on": LATER, "lines": [(line, 1)], "why": "blown"}
    for code, change in (
        ("no_lines", {"lines": []}), ("no_reason", {"why": " "}), ("too_early", {"on": date(2024, 9, 4)}),
        ("not_invoiced", {"lines": [(other.lines.get(), 1)]}),
    ):
        with refused(code):
            credit(**{**given, **change})
    made = credit(**given)
    with refused("not_an_invoice"):
        credit(**{**given, "invoice": made})


def test_an_invoice_takes_what_was_sent_by_its_day(owner: User) -> None:
    """Sent on the 4th and the 10th: an invoice of the 9th takes the first only, and no line twice."""
    stock = ready(20)
    order = order_of(stock, 10)
    sent(order, stock, 4, on=SENT)
    sent(order, stock, 6, on=date(2024, 9, 10))

    first = invoice(by=owner, order=order, on=date(2024, 9, 9))
    with refused("nothing_to_invoice"):
        invoice(by=owner, order=order, on=date(2024, 9, 9))
    second = invoice(by=owner, order=order, on=date(2024, 9, 10))

    assert [line.quantity for one in (first, second) for line in one.lines.all()] == [4, 6]


def test_nothing_sent_is_nothing_to_invoice(owner: User) -> None:
    """A promise alone is not invoiced; sent that day it is."""
    stock = ready(20)
    order = order_of(stock, 10)
    with refused("nothing_to_invoice"):
        invoice(by=owner, order=order, on=BILLED)
    sent(order, stock, 4, on=SENT)
    with refused("nothing_to_invoice"):
        invoice(by=owner, order=order, on=date(2024, 9, 3))
    assert invoice(by=owner, order=order, on=SENT).net == 4 * 342


def test_a_paper_keeps_the_names_of_its_day(owner: User) -> None:
    """A customer who moves later is where they were on papers already issued; it is due after their days."""
    customer = add_customer(by=owner, name="Quill", address="The Yard", tax_number="T 9", days_to_pay=14)
    stock = ready(20)
    order = order_of(stock, 1, customer=customer)
    sent(order, stock, 1)
    issued = invoice(by=owner, order=order, on=BILLED)

    change_customer(by=owner, customer=customer, changes={"address": "The Barn", "days_to_pay": 60})

    issued.refresh_from_db()
    assert (issued.billed_to, issued.due_on) == ("Quill\nThe Yard\nT 9", date(2024, 9, 19))
    assert issued.seller == "Hollow Lane Flowers"


def test_a_hand_and_a_seller(hand: User, seller: User, bookkeeper: User, owner: User) -> None:
    """Invoices are for owner, seller and bookkeeper; a hand issues none."""
    stock = ready(20)
    order = order_of(stock, 4)
    sent(order, stock, 2)
    with pytest.raises(PermissionDenied):
        invoice(by=hand, order=order, on=BILLED)
    issued = invoice(by=seller, order=order, on=BILLED)
    assert credit(by=bookkeeper, invoice=issued, on=LATER, lines=[(issued.lines.get(), 1)], why="blown").number == 2


def test_the_second_press_issues_one_invoice(owner: User) -> None:
    """The same form's key gives the first invoice again; no number is lost."""
    stock = ready(20)
    order = order_of(stock, 4)
    sent(order, stock, 2)
    first = invoice(by=owner, key="k" * 36, order=order, on=BILLED)
    assert invoice(by=owner, key="k" * 36, order=order, on=BILLED) == first
    assert list(Invoice.objects.values_list("number", flat=True)) == [1]
