"""Giving an invoice or a credit its number, with seller and customer as they are named that day."""

from __future__ import annotations

from typing import Any

from django.db.models import Max

from ledger.facts.models import Holding, User
from ledger.facts.writing import record
from ledger.sales.models import Customer, Invoice


def issue(by: User, customer: Customer, *, net: int, tax: int, **given: Any) -> Invoice:
    """Give the next number, under a lock on the holding, and name seller and customer as they are."""
    holding = Holding.objects.select_for_update(no_key=True).get(pk=1)
    number = (Invoice.objects.aggregate(last=Max("number"))["last"] or 0) + 1
    billed_to = [customer.name, customer.contact, customer.address, customer.tax_number]
    return record(
        Invoice(
            number=number, customer=customer, net=net, tax=tax, gross=net + tax,
            seller=f"{holding.name}\n{holding.address}".strip(),
            billed_to="\n".join(part.strip() for part in billed_to if part.strip()), **given,
        ),
        by=by,
    )
