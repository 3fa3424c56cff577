"""Customers: changed with a history, blanked for good."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.models import Amendment, User
from ledger.sales.actions import Sold, add_customer, blank_customer, cancel, change_customer, pay, sell
from tests.factories.pricing import StallFactory
from tests.factories.sales import CustomerFactory, invoiced, order_of, ready
from tests.refusals import refused


def test_a_change_keeps_what_stood_before(owner: User) -> None:
    """The history says what it was, what it became and who changed it."""
    customer = CustomerFactory(name="Quill")
    change_customer(by=owner, customer=customer, changes={"name": "Petal", "days_to_pay": 30})
    change = Amendment.objects.get()
    assert (change.field, change.before, change.after, change.by) == ("name", "Quill", "Petal", owner)


def test_blanking_removes_details_and_their_history(owner: User) -> None:
    """Nothing personal is left, not even in the history; the customer can no longer be used or changed."""
    customer = add_customer(by=owner, name="Quill", contact="A. Quill", email="quill@example.org", address="The Yard")
    change_customer(by=owner, customer=customer, changes={"contact": "B. Quill", "days_to_pay": 14})

    blank = blank_customer(by=owner, customer=customer)

    assert (blank.name, blank.contact, blank.email, blank.address) == (f"Customer {customer.pk}", "", "", "")
    changes = Amendment.objects.filter(record_pk=str(customer.pk)).order_by("field").values_list("field", "before", "after")
    assert list(changes) == [("contact", "", ""), ("days_to_pay", "30", "14")]
    with refused("blanked"):
        change_customer(by=owner, customer=customer, changes={"name": "Quill"})
    with refused("blanked"):
        blank_customer(by=owner, customer=customer)


def test_nobody_is_blanked_while_something_is_open(owner: User) -> None:
    """A promise, then an unpaid invoice, keep the details; settled, they go."""
    order = order_of(ready(20), 3)
    with refused("still_open"):
        blank_customer(by=owner, customer=order.customer)
    cancel(by=owner, order_line=order.lines.get(), on=date(2024, 9, 2), bunches=3)
    assert blank_customer(by=owner, customer=order.customer).blanked_at

    invoice = invoiced(3)
    with refused("still_open"):
        blank_customer(by=owner, customer=invoice.customer)
    pay(by=owner, invoice=invoice, on=date(2024, 9, 20), amount=1026)
    assert blank_customer(by=owner, customer=invoice.customer).blanked_at


def test_a_blanked_customer_buys_nothing(owner: User) -> None:
    """A retail sale cannot name them either; before, it can."""
    stock, customer = ready(20), CustomerFactory(trade=False)
    given = {"by": owner, "on": date(2024, 9, 7), "way": StallFactory(), "lines": [Sold(1, line=stock.line, price=5)]}
    assert sell(customer=customer, **given).customer == customer
    blank_customer(by=owner, customer=customer)
    with refused("blanked"):
        sell(customer=customer, **given)


def test_a_hand_adds_no_customer(hand: User) -> None:
    """Customers are for owner and seller."""
    with pytest.raises(PermissionDenied):
        add_customer(by=hand, name="Quill")
