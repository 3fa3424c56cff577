"""Customers: adding, changing, and removing personal details when the law asks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details
from ledger.facts.models import Amendment, CostObject, User
from ledger.facts.writing import action, keep, refusal
from ledger.sales.models import Customer, Job, JobChange, JobPiece, Order, PlacesSold
from ledger.sales.queries.job_lists import hires_out, to_be_billed
from ledger.sales.queries.workshops import places_still_sold
from ledger.stock.models import Hold

PERSONAL = ("name", "contact", "email", "address", "tax_number")


@action("selling")
def add_customer(
    *, by: User, name: str, trade: bool = True, contact: str = "", email: str = "", address: str = "",
    tax_number: str = "", days_to_pay: int = 30,
) -> Customer:
    """Add a customer, trade unless said otherwise."""
    return keep(
        Customer(
            name=name, trade=trade, contact=contact, email=email, address=address, tax_number=tax_number,
            days_to_pay=days_to_pay,
        )
    )


@action("selling")
def change_customer(
    *, by: User, customer: Customer, changes: Mapping[str, Any], seen: Mapping[str, str] | None = None
) -> Customer:
    """Change a customer's details, keeping what stood before; papers already issued stay as they are."""
    require_named(customer)
    return change_details(customer, by=by, seen=dict(seen or {}), changes=dict(changes))


@action("selling")
def blank_customer(*, by: User, customer: Customer) -> Customer:
    """Remove a customer's personal details for good, also from the history; papers issued are kept as the law asks.

    Their jobs are called by their kind from then on: names of weddings are names of people.
    """
    customer = require_named(customer)
    _require_nothing_open(customer)
    for field in PERSONAL:
        setattr(customer, field, "")
    customer.name = str(_("Customer %(key)s") % {"key": customer.pk})
    customer.blanked_at = timezone.now()
    of_customer = Amendment.objects.filter(model=Customer._meta.label, record_pk=str(customer.pk))
    of_customer.filter(field__in=PERSONAL).update(before="", after="")
    PlacesSold.objects.filter(customer=customer).update(who="")
    for job in Job.objects.filter(customer=customer):
        _blank_job(job)
    return keep(customer)


def _blank_job(job: Job) -> None:
    """Call a job by its kind, wherever it is named, and leave out what was noted of it."""
    job.name = str(job.get_kind_display())
    Job.objects.filter(pk=job.pk).update(name=job.name, note="")
    JobChange.objects.filter(job=job).update(note="")
    JobPiece.objects.filter(job=job).update(note="")
    CostObject.objects.filter(pk=job.pk).update(label=str(job))
    Hold.objects.filter(job_hold__job=job).update(for_what=str(job))


def require_named(customer: Customer) -> Customer:
    """Read a customer again and hold the row; refuse one whose details were removed."""
    customer = Customer.objects.select_for_update(no_key=True).get(pk=customer.pk)
    if customer.blanked_at is not None:
        raise refusal("customer", _("The details of %(who)s were removed."), code="blanked", who=customer)
    return customer


def _require_nothing_open(customer: Customer) -> None:
    orders = Order.objects.standing().filter(customer=customer).with_standing()
    if any(order.kept or order.packed or order.to_invoice for order in orders):
        raise refusal(None, _("An order of theirs is still open. Send and invoice it, or cancel it."), code="still_open")
    jobs = Job.objects.standing().filter(customer=customer)
    if jobs.open().exists() or jobs.filter(to_be_billed()).exists():
        raise refusal(None, _("A job of theirs is still open. Do and invoice it, or cancel it."), code="still_open")
    if jobs.with_deposits().filter(deposits_held__gt=0).exists():
        raise refusal(None, _("A deposit of theirs is still held. Use it or give it back."), code="still_open")
    if hires_out().filter(job__customer=customer).exists():
        raise refusal(None, _("Something hired out to them is not back yet. Note it as back, or as lost."), code="still_open")
    _require_no_place(customer)
    if Customer.objects.with_owed().get(pk=customer.pk).owed:
        raise refusal(None, _("Something is still owed between you."), code="still_open")


def _require_no_place(customer: Customer) -> None:
    """Refuse while a place of a workshop still to come is theirs; of one called off none is."""
    for sold in PlacesSold.objects.standing().filter(customer=customer).select_related("workshop"):
        if not sold.workshop.holdings.standing().exists() and places_still_sold(sold):
            raise refusal(None, _("A place of theirs is paid for: %(workshop)s."), code="still_open", workshop=sold.workshop)
