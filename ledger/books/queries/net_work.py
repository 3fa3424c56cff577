"""What jobs, their hire and workshops brought in, added up from what was charged, kept and paid, apart from all tracing.

What was invoiced counts as on the paper; the rest of a job holds the tax of its sum.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import date

from django.db.models import F, QuerySet, Sum

from ledger.reckoning.tax import tax_within
from ledger.sales.models import (
    HireBack,
    Invoice,
    InvoiceLine,
    JobCancelled,
    JobCharge,
    PlacesGivenBack,
    PlacesSold,
    WorkshopCalledOff,
    WorkshopHeld,
)


def net_work(first: date, last: date) -> int:
    """Net of jobs done, of hire, of deposits kept and of workshops from a day up to and including another, minor units.

    Credits issued by the last day come off.
    """
    return _charged(first, last) + _broken(first, last) + _kept(first, last) + _workshops(first, last)


def _charged(first: date, last: date) -> int:
    charges = JobCharge.objects.filter(done__undone_at=None, done__on__gte=first, done__on__lte=last)
    billed = InvoiceLine.objects.filter(invoice__on__lte=last, charge__in=charges)
    open_charges = charges.exclude(pk__in=billed.values("charge"))
    sums: dict[tuple[int, int, bool], int] = defaultdict(int)
    for done, rate, with_tax, amount in open_charges.values_list(
        "done", "done__rate_bp", "done__job__way__with_tax", F("quantity") * F("price")
    ):
        sums[done, rate, with_tax] += amount
    return _on_papers(billed) + sum(_net(amount, rate, with_tax) for (_done, rate, with_tax), amount in sums.items())


def _broken(first: date, last: date) -> int:
    backs = HireBack.objects.standing_on(last).filter(on__gte=first, charge__gt=0)
    billed = InvoiceLine.objects.filter(invoice__on__lte=last, broken__in=backs)
    rest = backs.exclude(pk__in=billed.values("broken")).values_list("charge", "rate_bp", "hire__job__way__with_tax")
    return _on_papers(billed) + sum(_net(*row) for row in rest)


def _on_papers(billed: QuerySet) -> int:
    credited: int = billed.filter(invoice__kind=Invoice.Kind.CREDIT).aggregate(n=Sum("net"))["n"] or 0
    invoiced: int = billed.filter(invoice__kind=Invoice.Kind.INVOICE).aggregate(n=Sum("net"))["n"] or 0
    return invoiced - credited


def _kept(first: date, last: date) -> int:
    rows = JobCancelled.objects.standing_on(last).filter(on__gte=first).values_list("kept", "rate_bp")
    return sum(_net(kept, rate, with_tax=True) for kept, rate in rows)


def _workshops(first: date, last: date) -> int:
    """The money of a workshop counts on its day, later money on its own; what one called off kept holds no tax."""
    over = {of.workshop_id: (of.on, of.rate_bp) for of in WorkshopHeld.objects.standing_on(last)}
    over |= {of.workshop_id: (of.on, 0) for of in WorkshopCalledOff.objects.standing_on(last)}
    sold = PlacesSold.objects.standing_on(last).values_list("workshop", "workshop__way__with_tax", "on", F("places") * F("price"))
    back = PlacesGivenBack.objects.standing_on(last).values_list(
        "sold__workshop", "sold__workshop__way__with_tax", "on", -F("returned")
    )
    sums: dict[tuple[date, int, int, bool], int] = defaultdict(int)
    for workshop, with_tax, on, amount in (*sold, *back):
        if workshop in over:
            began, rate = over[workshop]
            sums[max(on, began), workshop, rate, with_tax] += amount
    return sum(_net(amount, rate, with_tax) for (on, _of, rate, with_tax), amount in sums.items() if on >= first)


def _net(amount: int, rate_bp: int, with_tax: bool) -> int:
    return amount - (tax_within(amount, rate_bp) if with_tax else 0)
