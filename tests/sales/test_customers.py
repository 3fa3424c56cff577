"""Customers: changed with a history, blanked for good."""

from datetime import date

import pytest
from django.apps import apps
from django.core.exceptions import PermissionDenied

from ledger.facts.models import Amendment, CostObject, User
from ledger.sales.actions import (
    Sold,
    add_customer,
    blank_customer,
    cancel,
    cancel_job,
    change_customer,
    change_job,
    hold_workshop,
    pay,
    sell,
    sell_places,
)
from ledger.sales.models import Job
from tests.factories.jobs import JobFactory, PieceFactory, kept_for
from tests.factories.pricing import StallFactory
from tests.factories.sales import CustomerFactory, invoiced, order_of, ready
from tests.factories.workshops import WorkshopFactory
from tests.refusals import refused

STAGES = {"books", "costing", "daybook", "drying", "facts", "growing", "pricing", "sales", "stock"}


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


def test_a_blanked_customers_name_stands_nowhere(owner: User) -> None:
    """In no text of any table: jobs are called by their kind, also where bunches were kept and work was noted for them."""
    customer = add_customer(by=owner, name="Quill", contact="A. Quill", email="quill@example.org")
    job = JobFactory(name="Wedding of A. Quill", customer=customer, note="Ms Quill likes blue")
    PieceFactory(job=job, note="for Ms Quill")
    stock = ready(20)
    kept_for(job, stock, 2)
    change_job(by=owner, job=job, on=date(2024, 8, 21), held_on=job.held_on, note="Mr Quill rang")
    cancel_job(by=owner, job=job, on=date(2024, 8, 22))
    workshop = WorkshopFactory()
    sell_places(by=owner, workshop=workshop, on=workshop.on, places=1, customer=customer, who="Aunt Quill")
    hold_workshop(by=owner, workshop=workshop, on=workshop.held_on)
    assert "stock.Hold.for_what" in _texts_with("Quill") and "sales.PlacesSold.who" in _texts_with("Quill")

    blank_customer(by=owner, customer=customer)

    assert _texts_with("Quill") == set()
    assert str(Job.objects.get()) == f"wedding, job {job.pk}" == CostObject.objects.get(pk=job.pk).label


def _texts_with(word: str) -> set[str]:
    """The columns of text, of the ledger's tables, that hold a word somewhere."""
    texts = [
        (model, field.name) for model in apps.get_models() if model._meta.app_label in STAGES
        for field in model._meta.local_fields if field.get_internal_type() in ("CharField", "TextField", "EmailField")
    ]
    assert len(texts) > 50
    found = [(model, name) for model, name in texts if model.objects.filter(**{f"{name}__icontains": word}).exists()]
    return {f"{model._meta.label}.{name}" for model, name in found}
